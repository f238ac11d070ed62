"""What would change the answer about a log most, drawn: the same chart on page, paper and as a file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pithline.sheets.charts import Chart, tornado

if TYPE_CHECKING:
    from pithline.money.doubt import Swing

__all__ = ["KEY", "doubts_chart"]

KEY = (
    "Each doubtful figure alone at its 10 % (hatched) and at its 90 % (grey), all else in its middle (line)."
)
_SHOWN = 9  # more rows are too thin to read on a phone


def doubts_chart(
    doubts: Sequence[Swing],
    currency: str,
    most: int = _SHOWN,
    title: str = "What would change the answer most",
) -> Chart | None:
    """Draw the largest doubts; None where nothing is in doubt.

    Parameters
    ----------
    doubts : sequence of Swing
        The largest first.
    currency : str
    most : int
        Rows.
    title : str
    """
    rows = [row for row in doubts if row.swing > 0][:most]
    if not rows:
        return None
    return tornado(
        [row.name for row in rows],
        [row.at_low for row in rows],
        [row.at_high for row in rows],
        rows[0].base,
        title=title,
        along=f"left over, {currency}",
    )
