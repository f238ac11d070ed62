"""How far each measurement's error moves the value of a log, drawn; the largest on top."""

from __future__ import annotations

from pithline.saw.plan import Plan
from pithline.sheets.charts import Chart, tornado
from pithline.sheets.wording import field_words

__all__ = ["NOTABLE", "retake_chart"]

NOTABLE = 0.005  # of the net: words leave out a measurement that moves it by less
_ROWS = 10  # more are too thin to read on a phone


def retake_chart(plan: Plan) -> Chart | None:
    """Draw the net value with each measurement at its low and at its high; None where none moves it.

    Parameters
    ----------
    plan : Plan
        With `retakes`; the ten that move the value most are drawn.
    """
    rows = sorted((r for r in plan.retakes if r.swing > 0), key=lambda r: -r.swing)[:_ROWS]
    if not rows:
        return None
    unit = plan.rates.currency or "tally"
    return tornado(
        [f"{field_words(r.field)} {r.value} ± {r.error}" for r in rows],
        [r.net_low for r in rows],
        [r.net_high for r in rows],
        plan.net,
        title="What each reading moves",
        along=f"net value, {unit}",
        sides=("were it lower", "were it higher"),
    )
