"""What the sawyer wants out of the log."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from pithline.saw.uses.use import Use
from pithline.slab.tally import TallyRule, TallyUnit

__all__ = ["Aims", "BarkWay", "Following", "PithRule", "SizeKind", "ThicknessAim"]


class SizeKind(StrEnum):
    """Which of the three thicknesses a number names."""

    GREEN = "green"  # as sawn
    ROUGH_DRY = "rough dry"  # what 8/4 or 12/4 means: dried, not flattened
    FINISHED = "finished"  # dried and flattened


class PithRule(StrEnum):
    """What may happen to the pith."""

    THROUGH = "cut through it"  # no slab holds the pith inside
    BOX = "box it in one slab"  # no cut touches the pith
    FREE = "free, with a deduction"


class Following(StrEnum):
    """What the cuts run parallel to."""

    PITH = "pith"
    BARK = "bark"
    GIVEN = "given pitch"
    BEST = "best"  # whichever pitch pays most


class BarkWay(StrEnum):
    """How much bark the bar has to pass."""

    ON = "on"
    STRIPPED = "stripped along the cuts"
    OFF = "off"


@dataclass(frozen=True, slots=True)
class ThicknessAim:
    """One entry of the thickness menu, as wanted: ``12/4`` is 76.2 mm rough dry."""

    label: str
    kind: SizeKind
    size: float  # [m], of that kind
    quarters: int | None = None  # n of n/4 in, where it was given so


@dataclass(frozen=True, slots=True)
class Aims:
    """Wishes and rules of one plan. Lengths in metres, angles in radians.

    Attributes
    ----------
    thicknesses : tuple of ThicknessAim
    moisture : float
        The slabs will be dried to this. [kg/kg, dry basis]
    tally, unit : TallyRule, TallyUnit
    least_width, least_length : float
        Of a usable slab, under bark, both faces.
    trim_butt, trim_top : float
        Lost to end checks at each end of the log.
    pith, pith_deduction : PithRule, float
        The deduction is a fraction of the value of a slab that holds the pith.
    follow, pitch : Following, float
        `pitch` [m/m], rise of the cuts from butt to top against the pith line.
    roll, roll_free : float, bool
        Anticlockwise seen from the butt; 0 as it lies.
    crotch_plane : bool
        Nobody gave a roll: where the log has a second pith, the cuts are held to the plane of both.
    both_sides : bool
        The log may be turned over part way, so the ground no longer ends the sawing.
    alternate : bool
        Cuts are made from both sides in turn, so that growth stress is let go evenly; with `both_sides`.
    bark : BarkWay
    least_waste : float or None
        Thinnest piece that may be thrown away between two cuts; None = one kerf.
    sawing_variation : float
        Added to green thickness over shrinkage.
    flattening : tuple of (width, allowance)
        Allowance up to and including that width.
    flat_below, quarter_above : float
        Limits of ring angle between flat, rift and quarter.
    orders : tuple of Use
        Pieces that come before all else.
    feather : float
        How far the figure of a crotch reaches from the plane of its two piths, fading. [m]
    skips : tuple of (low, high)
        Heights above the pith line that no slab may hold: a shake, a split, rot in a plane. [m]
    """

    thicknesses: tuple[ThicknessAim, ...]
    moisture: float = 0.08
    tally: TallyRule = TallyRule.MEAN
    unit: TallyUnit = TallyUnit.M3
    least_width: float = 0.15
    least_length: float = 1.2
    trim_butt: float = 0.05
    trim_top: float = 0.05
    pith: PithRule = PithRule.FREE
    pith_deduction: float = 0.10
    follow: Following = Following.PITH
    pitch: float = 0.0
    roll: float = 0.0
    roll_free: bool = False
    crotch_plane: bool = False
    both_sides: bool = False
    bark: BarkWay = BarkWay.ON
    least_waste: float | None = None
    sawing_variation: float = 0.001
    # common practice, no source
    flattening: tuple[tuple[float, float], ...] = (
        (0.3, 0.005),
        (0.5, 0.008),
        (0.7, 0.012),
        (math.inf, 0.016),
    )
    flat_below: float = math.radians(30)
    quarter_above: float = math.radians(60)
    orders: tuple[Use, ...] = ()
    feather: float = 0.06
    skips: tuple[tuple[float, float], ...] = ()
    alternate: bool = False
