"""``pithline cost log``: what a log cost, from the day's real hours, fuel and kilometres."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pithline.cli.cost_hour import costs_options, costs_table
from pithline.cli.cost_share import named
from pithline.cli.sum_show import show_sum

if TYPE_CHECKING:
    from pithline.money.cost.log_cost import Work

__all__ = ["log"]


def _work(raw: str) -> Work:
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.cost.log_cost import Work

    what, parts = named(raw, "--work")
    hours, people, saw, litres, distance = 0.0, 1, None, None, 0.0
    for part in parts:
        if found := re.fullmatch(r"(\d+)\s*(?:people|person)", part):
            people = int(found[1])
        elif found := re.fullmatch(r"saw\s+(.+)", part):
            saw = units.duration(found[1], f"{what} saw") / 60
        elif found := re.fullmatch(r"(\d+(?:\.\d+)?)\s*l", part):
            litres = float(found[1])
        elif found := re.fullmatch(r"(\d+(?:\.\d+)?)\s*(km|miles?|mi)", part):
            distance = float(found[1]) * (1.0 if found[2] == "km" else 1.609344)
        elif re.search(r"\d\s*(h|min)", part):
            hours = units.duration(part, f"{what} hours") / 60
        else:
            remedy = 'Write "6 h, 2 people, saw 3 h, 8 l, 76 km"; what was not written down is left out.'
            raise BadValue(f"--work {what}", part, "hours, people, saw hours, litres or a distance", remedy)
    return Work.of(what, hours, people, saw, litres, distance)


@click.command(
    "log",
    epilog="""
\b
Examples:
  pithline cost log --costs demo/costs.toml --work "cutting: 6 h, 2 people, saw 3 h, 8 l" \\
    --work "drive: 1 h 20 min, 2 people, 76 km" --work "carrying: 4 h, 2 people" --spent "log: 150 USD"
  pithline cost log --costs demo/costs.toml --work "cutting: 5 h, 8 l" --json
""",
)
@costs_options
@click.option("--work", multiple=True, required=True, metavar="WHAT: FIGURES", help="Repeat for more.")
@click.option(
    "--spent", multiple=True, metavar="WHAT: MONEY", help="Paid: the log, a crane. Not fuel, chains."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-log-cost/1).")
def log(
    costs_file: Path | None, work: tuple[str, ...], spent: tuple[str, ...], as_json: bool, **five: str | None
) -> None:
    """What a log really cost, to be shared over its slabs with `pithline cost share`."""
    from pithline.money.amount import amount, one_currency, show_money
    from pithline.money.cost.log_cost import log_cost
    from pithline.money.cost.written import read_costs

    costs = read_costs(costs_table(costs_file, five, {})).value
    amounts = {}
    for raw in spent:
        name, parts = named(raw, "--spent")
        amounts[name] = amount(", ".join(parts), f"--spent {name}")
    code = one_currency([amount(f"0 {costs.currency}", "costs"), *amounts.values()])
    made = log_cost([_work(raw) for raw in work], {n: float(a) for n, a in amounts.items()}, costs)
    record = {
        "currency": code,
        "lines": [{"what": what, "money": money} for what, money in made.lines],
        "total_money": made.total,
        "hours_h": made.hours,
        "guesses": list(made.guesses),
    }
    lines = [(what, show_money(money, code)) for what, money in made.lines]
    show_sum("log-cost", record, [*lines, ("in all", show_money(made.total, code))], as_json)
    for guess in made.guesses:
        click.echo(f"A guess: {guess}.", err=True)
