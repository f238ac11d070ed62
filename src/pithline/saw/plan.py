"""The answer: what to cut, what comes of it, and how to set the rail."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.rates import Rates
from pithline.saw.uses.use import Piece
from pithline.slab.outline import SlabOutline

__all__ = [
    "Cut",
    "Doubt",
    "Ledger",
    "LedgerLine",
    "Ordered",
    "Plan",
    "PlannedSlab",
    "RailSetup",
    "Retake",
    "Spread",
    "Way",
    "Worth",
]


@dataclass(frozen=True, slots=True)
class Cut:
    """One pass of the saw, in the order of sawing. Lengths in metres.

    Heights are above the pith line (negative: below) along the cut normal, so they
    add up from one mark and an error in one cut is not carried into the next.

    Attributes
    ----------
    number : int
        From 1, in sawing order.
    side : int
        1 as it lies; 2 after the log has been turned over.
    upper : float
        Upper side of the kerf at mid-length (the lower face of the piece above).
    set_to : float
        What the mill is set to: guide (rail or sawn face) to the kerf's near side.
    face_butt, face_top : float
        The new sawn face on the wood that stays, at each end.
    width : float
        Widest chord that the bar passes, bark as the aims say.
    bar_needed : float
        `width` plus clearance.
    area : float
        [m2]
    minutes : float
    frees : str
        What the cut frees: "opening piece", "slab 3", "waste".
    """

    number: int
    side: int
    upper: float
    set_to: float
    face_butt: float
    face_top: float
    width: float
    bar_needed: float
    area: float
    minutes: float
    frees: str


@dataclass(frozen=True, slots=True, eq=False)
class PlannedSlab:
    """One slab of the plan, numbered from the top of the log as it lies.

    Attributes
    ----------
    number : int
    aim : ThicknessAim
    upper, lower : float
        Its faces above the pith line at mid-length. [m]
    outline : SlabOutline
        Faces under bark at the plan's stations; `outline.thickness` is green.
    start, end : float
        The usable run along the log. [m]
    least_width, mean_width : float
        Of the tally width over the run: least narrow face; mean by the tally rule. [m]
    rough_dry, finished : float
        Thickness dried at the aims' moisture; flattened after that. [m]
    dry_width : float
        Mean tally width after drying. [m]
    solid : float
        All wood between the two planes. [m3]
    tally : float
        In the unit of the aims.
    value, own_cost : float
        Money (or tally units): before costs; the slab's own cost.
    weight, weight_high : float
        Green, whole slab under bark; `weight_high` is for lifting and loads. [kg]
    flat, rift, quarter : float
        Shares of the width by ring angle, at mid-length.
    holds_pith : bool
    figure_share : float
    pieces : tuple of Piece
        What it is sold as where there are uses, from the butt up; empty = by the tally alone.
    pair_with : int or None
        The slab that it makes a pair with.
    """

    number: int
    aim: ThicknessAim
    upper: float
    lower: float
    outline: SlabOutline
    start: float
    end: float
    least_width: float
    mean_width: float
    rough_dry: float
    finished: float
    dry_width: float
    solid: float
    tally: float
    value: float
    own_cost: float
    weight: float
    weight_high: float
    flat: float
    rift: float
    quarter: float
    holds_pith: bool
    figure_share: float
    pieces: tuple[Piece, ...] = ()
    pair_with: int | None = None

    @property
    def length(self) -> float:
        """Usable length. [m]"""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One place where wood went. `volume` under bark [m3]."""

    name: str
    volume: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class Worth:
    """What one loss is worth in money (or tally units), and what would win it back."""

    name: str
    value: float
    note: str


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where the wood went: lines add up to `log` exactly."""

    log: float  # under bark [m3]
    lines: tuple[LedgerLine, ...]
    worths: tuple[Worth, ...] = ()


@dataclass(frozen=True, slots=True)
class RailSetup:
    """How to set the rail for the first cut. Lengths in metres.

    Attributes
    ----------
    rail_butt, rail_top : float
        Rail's underside above the pith mark.
    above_ground_butt, above_ground_top : float
    ledge_butt, ledge_top : float
        Gap between the rail's underside and the bark below it.
    first_depth : float
        What the mill is set to for the first cut, below the rail's underside.
    overhang : float
        Rail beyond each end of the log.
    screws_low, screws_high : float
        Bracket screws above the pith line at mid-length, clear of the first cut.
    last_face_above_ground : float
        Lower side of the last kerf sawn as the log lies above the ground, at its tighter end.
    remarks : tuple of str
    """

    rail_butt: float
    rail_top: float
    above_ground_butt: float
    above_ground_top: float
    ledge_butt: float
    ledge_top: float
    first_depth: float
    overhang: float
    screws_low: float
    screws_high: float
    last_face_above_ground: float
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Spread:
    """10, 50 and 90 % of something over the draws of the measuring error."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something assumed, and what the best plan would be worth if it were otherwise.

    Attributes
    ----------
    field : str
        Where it would stand in the record.
    value : str
        What was assumed.
    low, high : str
        What it might be instead.
    net_low, net_high : float
        Net value of the best plan then, in money or tally units.
    swing : float
        The larger departure from the plan's net value.
    """

    field: str
    value: str
    low: str
    high: str
    net_low: float
    net_high: float
    swing: float


@dataclass(frozen=True, slots=True)
class Retake:
    """A measurement, and what its own error costs if all others are right.

    Attributes
    ----------
    field : str
        Where it stands in the record.
    value, error : str
        As a person writes them; the error is one standard deviation.
    net_low, net_high : float
        Net value of the best plan if the measurement were off by 1.28 standard deviations down
        and up (one in ten lies beyond each), in money or tally units.
    kept_low, kept_high : float
        The same with the plan's own cuts.
    swing : float
        The larger departure of the best plan's net value.
    regret : float
        Mean loss of the plan's cuts against the best ones: the most that knowing this
        measurement exactly is worth.
    moved : float
        How far the best cuts then lie from the plan's nearest, at the most. [m]
    """

    field: str
    value: str
    error: str
    net_low: float
    net_high: float
    kept_low: float
    kept_high: float
    swing: float
    regret: float
    moved: float


@dataclass(frozen=True, slots=True)
class Ordered:
    """What became of an order.

    Attributes
    ----------
    name : str
    wanted, cut : int
        Pieces, or pairs.
    cost : float
        What the best plan would gain if this order alone did not come first, at the
        plan's roll and pitch; in money or tally units.
    missing : str
        Why not all of it is cut; "" where it is.
    """

    name: str
    wanted: int
    cut: int
    cost: float
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """Another way to saw the same log, for comparison."""

    name: str
    net: float  # value less costs
    tally: float
    slabs: int
    cuts: int
    area: float  # [m2]
    minutes: float
    note: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """The whole answer of one reckoning.

    Attributes
    ----------
    roll, pitch : float
        [rad], [m/m]
    step, kerf : float
        The planner's grid, and the kerf rounded up to it. [m]
    doubts : tuple of Doubt
        What was assumed, the one worth most first.
    retakes : tuple of Retake
        What was measured, the one worth most to take again first; empty where nobody asked.
    orders : tuple of Ordered
    orders_cost : float
        What all orders together cost against the best plan where none comes first, at
        the roll and pitch that are best for it.
    value, cost, net : float
        Of all slabs; of all cuts and slabs; the difference, which was maximised.
    """

    shape: LogShape
    lie: Lie
    mill: Mill
    aims: Aims
    rates: Rates
    roll: float
    pitch: float
    step: float
    kerf: float
    cuts: tuple[Cut, ...]
    slabs: tuple[PlannedSlab, ...]
    value: float
    cost: float
    net: float
    ledger: Ledger
    setup: RailSetup
    net_spread: Spread | None = None
    tally_spread: Spread | None = None
    ways: tuple[Way, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    retakes: tuple[Retake, ...] = ()
    orders: tuple[Ordered, ...] = ()
    orders_cost: float = 0.0
    remarks: tuple[str, ...] = ()

    @property
    def money(self) -> bool:
        """Whether values are money; else they are tally units."""
        return bool(self.rates.currency)

    @property
    def tally(self) -> float:
        """Sum over the slabs, in the unit of the aims."""
        return sum(s.tally for s in self.slabs)

    @property
    def area(self) -> float:
        """Cut area. [m2]"""
        return sum(c.area for c in self.cuts)

    @property
    def minutes(self) -> float:
        """Sawing and handling of all cuts; turning the log over not. [min]"""
        return sum(c.minutes for c in self.cuts)

    @property
    def turns(self) -> int:
        """How often the log is turned over."""
        return sum(a.side != b.side for a, b in pairwise(self.cuts))

    @property
    def turning_minutes(self) -> float:
        """[min]"""
        return self.turns * self.mill.minutes_per_turn
