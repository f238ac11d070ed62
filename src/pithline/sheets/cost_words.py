"""What a slab cost, as page and paper say it: line by line, floor and full cost marked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pithline.money.cost.slab_cost import SlabCost

__all__ = ["NEVER_BELOW", "CostRow", "cost_rows"]

NEVER_BELOW = "Asking less than the full cost may be wise, asking less than the floor never is."


@dataclass(frozen=True, slots=True)
class CostRow:
    """A line: what, how much, and whether it is a sum of others."""

    what: str
    amount: str
    chosen: bool = False


def cost_rows(made: SlabCost, code: str, overhead: float | None = None, key: str = "") -> tuple[CostRow, ...]:
    """Word a slab's cost.

    Parameters
    ----------
    made : SlabCost
    code : str
        Of the currency.
    overhead : float, optional
        The slab's part of a month's overhead, which no other line holds. [money]
    key : str
        By what that is shared.
    """
    rows = [CostRow(_begun(what), f"{amount:.2f}") for what, amount in made.spent]
    rows.append(CostRow(f"Spent so far, {code}", f"{made.so_far:.2f}", True))
    rows += [CostRow(f"Still to come: {what}", f"{amount:.2f}") for what, amount in made.still]
    rows.append(CostRow("Each further month: interest, loss, room", f"{made.per_month:.2f}"))
    if overhead is not None:
        told = f"Besides, its part of the month's overhead, by {key}"
        rows.append(CostRow(told, f"{overhead:.2f}"))
    use, leaves = made.other_use
    told = f"Floor now: what is still to be spent, and the best other use ({use}, {leaves:.2f})"
    return (
        *rows,
        CostRow(told, f"{made.floor:.2f}", True),
        CostRow("Full cost", f"{made.full:.2f}", True),
    )


def _begun(told: str) -> str:
    return told[:1].upper() + told[1:]
