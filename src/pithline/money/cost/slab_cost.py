"""One slab: what it cost so far, what a further month costs, the floor today, and the full cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.cost.keeping import month_cost

__all__ = ["SlabCost", "slab_cost"]


@dataclass(frozen=True, slots=True)
class SlabCost:
    """Four figures that answer four questions. All money.

    Attributes
    ----------
    spent, still : tuple of (what, amount)
        Line by line.
    so_far : float
        Spent, and gone whatever is asked for it.
    per_month : float
        Of every further month.
    to_spend : float
        Only if it is sold as meant.
    other_use : tuple of (what, amount)
        The best thing that could be done with it instead, and what that would leave.
    floor : float
        The least price that is better than the other use: pays what is still to be spent, and the
        other use forgone, after the fee. What was spent is not in it.
    full : float
        The price that pays everything, after the fee.
    """

    spent: tuple[tuple[str, float], ...]
    still: tuple[tuple[str, float], ...]
    so_far: float
    per_month: float
    to_spend: float
    other_use: tuple[str, float]
    floor: float
    full: float


def slab_cost(
    spent: Mapping[str, float],
    still: Mapping[str, float],
    others: Mapping[str, float],
    *,
    volume: float,
    fee: float = 0.0,
    month_share: float = 0.0,
    per_volume_month: float = 0.0,
    worth: float | None = None,
    months: float = 0.0,
) -> SlabCost:
    """Add up one slab.

    Parameters
    ----------
    spent : mapping
        Its share of the log, hauling, drying so far ... [money]
    still : mapping
        Flattening, photos, delivery: what selling it as meant still takes. [money]
    others : mapping
        Other uses and what each would leave, such as plain lumber or firewood; the best
        counts, and at least 0, as it can be left lying. [money]
    volume : float
        [m3]
    fee : float
        Of the price. [fraction]
    month_share, per_volume_month : float
        See `keeping.month_cost`.
    worth : float, optional
        What it would bring today, on which interest and loss are counted; `so_far` otherwise.
    months : float
        That it will still lie before it is sold; their cost is still to be spent.

    Raises
    ------
    BadValue
        A negative amount, or a fee of the whole price.
    """
    for name, amount in (*spent.items(), *still.items()):
        if not amount >= 0:
            raise BadValue(name, amount, "0 or more")
    if not 0 <= fee < 1:
        raise BadValue("fee", fee, "0 or more, and under 100 % of the price")
    so_far = sum(spent.values())
    per_month = month_cost(so_far if worth is None else worth, volume, month_share, per_volume_month)
    lines = dict(still)
    if months:
        lines[f"{months:g} further months"] = months * per_month
    to_spend = sum(lines.values())
    best = max(others.items(), key=lambda other: other[1], default=("left lying", 0.0))
    if best[1] <= 0:
        best = ("left lying", 0.0)
    return SlabCost(
        spent=tuple(spent.items()),
        still=tuple(lines.items()),
        so_far=so_far,
        per_month=per_month,
        to_spend=to_spend,
        other_use=best,
        floor=(to_spend + best[1]) / (1 - fee),
        full=(so_far + to_spend) / (1 - fee),
    )
