"""What a plan tells to do and what comes of it: cuts, slabs, the rail."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.saw.aims import ThicknessAim
from pithline.saw.uses.use import Piece
from pithline.slab.outline import SlabOutline

__all__ = ["Cut", "PlannedSlab", "RailSetup"]


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
