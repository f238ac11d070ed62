"""``pithline plan --doubt``: which measurement to take again, the one worth most first."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

from pithline.sheets.retake_chart import NOTABLE
from pithline.sheets.wording import field_words, tally
from pithline.units import show_length

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.plan import Plan
    from pithline.units import System

__all__ = ["show_retakes", "with_retakes"]


def with_retakes(plan: Plan, job: Job) -> Plan:
    """The plan with what each measurement's error costs."""
    from dataclasses import replace

    from pithline.log.retakes import taped_fields
    from pithline.saw.retaken import retaken

    return replace(plan, retakes=retaken(plan, taped_fields(job.record), job.timber))


def show_retakes(plan: Plan, system: System) -> None:
    """Print what was measured, ranked by what knowing it exactly is worth."""
    console = Console(file=sys.stdout, highlight=False, markup=False)
    unit = plan.rates.currency or tally(plan, 0.0).split()[-1]
    title = f"To measure again, in {unit}"
    table = Table(title=title, title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
    heads = ("measured", "worth", "best plan", "these cuts", "moves")
    for n, head in enumerate(heads):
        table.add_column(head, justify="left" if n < 1 else "right", no_wrap=n > 0)

    def figure(value: float) -> str:
        return f"{value:,.0f}" if plan.money else f"{value:.4g}"

    told = [
        r
        for r in plan.retakes
        if r.swing > NOTABLE * abs(plan.net) or r.regret > 0.1 * NOTABLE * abs(plan.net)
    ]
    for r in told:
        table.add_row(
            f"{field_words(r.field)}: {r.value} ± {r.error}",
            figure(r.regret),
            f"{figure(r.net_low)} / {figure(r.net_high)}",
            f"{figure(r.kept_low)} / {figure(r.kept_high)}",
            show_length(r.moved, system),
        )
    table.caption = (
        "±: one standard deviation, judgement. Best plan, these cuts: were it lower / higher; one in ten "
        "lies beyond each; a cut that metal, bar or ground stops ends the sawing. Worth: mean loss of these "
        "cuts against the best. Moves: a cut, at most. Left and right as seen from the butt."
    )
    table.caption_justify = "left"
    console.print(table)
    if len(told) < len(plan.retakes):
        console.print(f"{len(plan.retakes) - len(told)} more measurements move the net by less than 0.5 %.")
