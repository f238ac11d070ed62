"""One slab: what it cost so far, what a month costs, what it may be asked, how long it may wait."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from pithline.errors import BadValue
from pithline.money.cost.joint_cost import WAYS
from pithline.money.cost.keeping import room_cost, tied_up
from pithline.money.cost.slab_cost import slab_cost
from pithline.money.months import DAYS_A_MONTH
from pithline.money.price.piece import Dried
from pithline.units import BOARD_FOOT
from pithline.web.money.as_lumber import as_lumber
from pithline.web.money.load_lines import load_lines
from pithline.web.money.log_sum import cost_of, log_sum, own_hours, volume_of
from pithline.yard.models import Slab
from pithline.yard.price_facts import piece_now

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.cost.slab_cost import SlabCost
    from pithline.money.price.asking import Asking
    from pithline.money.price.piece import Piece
    from pithline.money.price.plain import Plain
    from pithline.slab.outline import SlabOutline
    from pithline.web.money.known_prices import Known

__all__ = ["Priced", "SlabSum", "priced", "slab_sum", "sold_as"]

_DEEP = 12  # cuts of cuts of cuts; a book that goes deeper is tangled


@dataclass(frozen=True, slots=True)
class Priced:
    """What a slab may be asked.

    Attributes
    ----------
    piece : Piece
    asking : Asking or None
        None where nothing like it is known.
    problem : str
        Why not.
    plain : Plain or None
        The same slab as plain lumber.
    whence : str
        Where the rate of plain lumber is from.
    pending : bool
        Its outline is known, but the kernels that rip it are still being compiled.
    """

    piece: Piece
    asking: Asking | None
    problem: str
    plain: Plain | None
    whence: str
    pending: bool = False


@dataclass(frozen=True, slots=True)
class SlabSum:
    """What one slab cost.

    Attributes
    ----------
    made : SlabCost
    way : str
        By which the log's cost is shared.
    by_ways : tuple of (way, amount or None)
        Its share of the log in every way.
    remarks : tuple of str
    volume : float
        [m3]
    """

    made: SlabCost
    way: str
    by_ways: tuple[tuple[str, float | None], ...]
    remarks: tuple[str, ...]
    volume: float


def sold_as(slab: Slab, dried: str = "") -> Piece:
    """The piece as it will be sold: as it is, or dried as said; wood that is still wet, once it is air-dry.

    Raises
    ------
    BadValue
        It was not measured.
    """
    piece = piece_now(slab)
    if dried:
        return replace(piece, dried=Dried(dried))
    return replace(piece, dried=Dried.AIR) if slab.state == Slab.State.DRYING else piece


def priced(
    piece: Piece,
    known: Known,
    rate: float | None = None,
    floor: float = 0.0,
    outline: SlabOutline | None = None,
) -> Priced:
    """Suggest a price.

    Parameters
    ----------
    piece : Piece
    known : Known
    rate : float, optional
        The user's own of a plain green 1 in board, for when nothing like it was sold. [money/bf]
    floor : float
        Never ask less. [money]
    outline : SlabOutline, optional
        Its faces, where they were measured: then it is ripped to be set beside plain lumber.
    """
    from pithline.money.price.asking import asking
    from pithline.money.price.plain import How

    found, problem = None, ""
    try:
        found = asking(piece, known.book.sales, rate, floor, fitted=known.fit)
    except BadValue as wrong:
        problem = wrong.remedy or str(wrong)
    row = known.book.lumber_rate(piece)
    plain = as_lumber(piece, outline, row.rate * BOARD_FOOT) if row else None
    pending = plain is not None and outline is not None and plain.how is How.GUESS
    return Priced(piece, found, problem, plain, row.whence(piece) if row else "", pending)


def slab_sum(
    slab: Slab, costs: Costs, known: Known, today: datetime.date, way: str, worth: float | None = None,
    plain: float | None = None,
) -> SlabSum:  # fmt: skip
    """Add up one slab.

    Parameters
    ----------
    slab : Slab
    costs : Costs
    known : Known
    today : date
    way : str
        One of `joint_cost.WAYS`.
    worth, plain : float, optional
        What it brings today; what it would bring as plain lumber. [money]

    Raises
    ------
    BadValue
        It was not measured.
    """
    volume = volume_of(slab)
    if volume is None:
        raise BadValue("slab", slab.label, "measured", "Measure it anew on its page.")
    remarks: list[str] = []
    by_ways = tuple(zip(WAYS, _joint(slab, costs, known, _DEEP, remarks), strict=True))
    joint = dict(by_ways)[way]
    spent: dict[str, float] = {}
    if joint is None:
        remarks.append(f"its log's cost cannot be shared by {way}: it is not in the sum")
    elif joint > 0:
        spent[f"its share of the log, by {way}"] = joint
    spent |= _stacks(slab, costs, today) | load_lines(slab, costs, remarks)
    own, _ = cost_of(slab, costs)
    spent |= {f"on it alone: {what}": amount for what, amount in own.lines}
    if slab.sawn_on is not None and slab.sawn_on < today:
        months = (today - slab.sawn_on).days / DAYS_A_MONTH
        spent[f"room for {months:.0f} months"] = room_cost(volume, months, costs.space)
        spent["interest on its share meanwhile"] = tied_up(max(joint or 0.0, 0.0), costs.interest, months)
    flat = slab.state == Slab.State.FLATTENED
    still = {
        "selling" if flat or not costs.finish_hours else "finishing and selling": own_hours(costs, flat)
        * costs.wage
    }
    made = slab_cost(
        {what: amount for what, amount in spent.items() if amount > 0},
        still,
        {"plain lumber": plain * (1 - costs.sell_fee)} if plain else {},
        volume=volume,
        fee=costs.sell_fee,
        month_share=costs.month_share,
        per_volume_month=costs.space,
        worth=worth,
    )
    return SlabSum(made, way, by_ways, tuple(dict.fromkeys(remarks)), volume)


def _joint(slab: Slab, costs: Costs, known: Known, deep: int, remarks: list[str]) -> list[float | None]:
    """Its part of its log's cost in every way: its own, or what its parents pass on by their wood."""
    nothing: list[float | None] = [None] * len(WAYS)
    parents = list(slab.came_from.select_related("parent__log"))
    if not parents or not deep:
        if slab.log is None:
            return nothing
        made = log_sum(slab.log, costs, known)
        remarks += made.made.guesses
        remarks += made.spent.remarks
        remarks += made.beside.remarks
        return [made.share(slab, way) for way in WAYS]
    found = nothing
    for one in parents:
        share = one.share if one.share is not None else 1 / one.parent.became.count()
        whole = _joint(one.parent, costs, known, deep - 1, remarks)
        passed = [None if each is None else each * share for each in whole]
        found = [b if a is None else a if b is None else a + b for a, b in zip(found, passed, strict=True)]
    return found


def _stacks(slab: Slab, costs: Costs, today: datetime.date) -> dict[str, float]:
    """Of each stack that it lay in: what that took, shared by volume and days."""
    found = {}
    for stack in {stay.stack for stay in slab.stays.select_related("stack")}:
        total = cost_of(stack, costs)[0].total
        if total <= 0:
            continue
        weights: dict[object, float] = {}
        for stay in stack.stays.select_related("slab").prefetch_related("slab__sizes"):
            days = max(((stay.ends_on or today) - stay.begins_on).days, 1)
            weights[stay.slab_id] = weights.get(stay.slab_id, 0.0) + (volume_of(stay.slab) or 0.0) * days
        whole = sum(weights.values())
        if whole > 0:
            found[f"stack {stack}, by volume and days"] = total * weights.get(slab.pk, 0.0) / whole
    return found
