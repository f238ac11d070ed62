"""``pithline hold deadline``, ``steps`` and ``lot``: price tags that come down, and sisters."""

from __future__ import annotations

import math
import re
from typing import Any

import click

from pithline.cli.hold_options import (
    Line,
    Money,
    buyers_of,
    buyers_options,
    cash,
    show_hold,
    span,
    terms_of,
)

__all__ = ["deadline", "lot", "steps"]


@click.command(
    "deadline",
    epilog="""
\b
Examples:
  pithline hold deadline --buyers "2 per month" --pays "400 USD" --holding 20 --months "1 year" --salvage 100
  pithline hold deadline --buyers "2 per month" --pays 400 --holding 10 --count 3 --months "2 years" --json
""",
)
@buyers_options
@click.option("--count", default=1, show_default=True, metavar="NUMBER", help="Like slabs on offer.")
@click.option("--months", "left", required=True, metavar="TIME", help="All must be gone by then.")
@click.option("--salvage", metavar="MONEY", help="What each still brings on that day.")
@click.option(
    "--every", default="3 months", show_default=True, metavar="TIME", help="Between two price tags."
)
def deadline(as_json: bool, count: int, left: str, salvage: str | None, every: str, **said: Any) -> None:
    """The markdown path: what to ask as the day comes near."""
    from pithline.money.hold.deadline import Deadline, path_worth, price_steps
    from pithline.money.hold.steps import Step, steps_worth
    from pithline.money.months import months

    money = Money()
    buyers, terms = buyers_of(said, money), terms_of(said, money)
    day = Deadline(count, months(left, "--months"), money.read(salvage, "--salvage"))
    gap = min(months(every, "--every"), day.months)
    path, code = price_steps(day, buyers, terms, gap), money.code
    worth, opening = path_worth(day, buyers, terms), path[0][1][-1]
    lines = [
        cash("Brings on average", "worth", worth, code),
        cash("Opening price", "opening_price", opening, code),
    ]
    if count == 1:
        tags = [
            Step(prices[0], min(gap, day.months - gone)) for gone, prices in path if day.months - gone > 1e-9
        ]
        stepped = steps_worth(tags, buyers, terms, day.salvage)
        lines.append(cash(f"Brings with a tag every {every}", "worth_stepped", stepped, code))
    record = [{"after_months": gone, "price_money_by_count_left": list(prices)} for gone, prices in path]
    if not as_json:
        lines += [Line(f"After {gone:g} months", "", None, _by_count(prices, code)) for gone, prices in path]
    show_hold("deadline", code, lines, as_json, {"path": record})


def _by_count(prices: tuple[float, ...], code: str) -> str:
    from pithline.money.amount import show_money

    if len(prices) == 1:
        return show_money(prices[0], code)
    return ", ".join(f"{n} left: {show_money(p, code)}" for n, p in reversed(list(enumerate(prices, 1))))


@click.command(
    "steps",
    epilog="""
\b
Examples:
  pithline hold steps --buyers "2 per month" --pays "400 USD" --holding 6 --interest "10 %" \\
    --step "1200 for 6 months" --step 900
""",
)
@buyers_options
@click.option(
    "--step",
    "tags",
    multiple=True,
    required=True,
    metavar="TAG",
    help='"1200 for 6 months"; the last may be bare.',
)
@click.option("--salvage", metavar="MONEY", help="What it still brings after the last tag.")
def steps(as_json: bool, tags: tuple[str, ...], salvage: str | None, **said: Any) -> None:
    """What a given row of price tags brings."""
    from pithline.money.hold.steps import Step, steps_worth
    from pithline.money.months import months

    money = Money()
    buyers, terms = buyers_of(said, money), terms_of(said, money)
    row = []
    for tag in tags:
        price, _, held = (part.strip() for part in re.sub(r"\s+for\s+", "\0", tag).partition("\0"))
        row.append(Step(money.read(price, "--step"), months(held, "--step") if held else math.inf))
    worth, code = steps_worth(row, buyers, terms, money.read(salvage, "--salvage")), money.code
    show_hold("steps", code, [cash("Brings on average", "worth", worth, code)], as_json)


@click.command(
    "lot",
    epilog="""
\b
Examples:
  pithline hold lot --buyers "2 per month" --pays "400 USD" --holding 6 --share "30 %" --premium "15 %"
  pithline hold lot --buyers "2 per month" --pays 400 --holding 6 --count 5 --share "5 %" --premium "-20 %"
""",
)
@buyers_options
@click.option(
    "--count", default=2, show_default=True, metavar="NUMBER", help="2: a pair; more: sisters from one log."
)
@click.option("--share", required=True, metavar="SHARE", help="Of the buyers of one, who want all.")
@click.option(
    "--premium", required=True, metavar="SHARE", help="They pay more for each; negative: a lot discount."
)
def lot(as_json: bool, count: int, premium: str, **said: Any) -> None:
    """A pair or sisters: one by one, or together."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.hold.together import sell_apart, sell_together

    money = Money()
    buyers, terms = buyers_of(said, money), terms_of(said, money)
    part, more = units.share(said["share"], "--share"), units.share(premium, "--premium", signed=True)
    if count < 2:
        raise BadValue("--count", count, "2 or more", "One alone: pithline hold price.")
    if part > 1:
        raise BadValue("--share", said["share"], "at most 100 %", "It is a share of the buyers of one.")
    apart, together = sell_apart(count, buyers, terms), sell_together(count, buyers, terms, part, more)
    code = money.code
    level = together.level_share
    better = "together" if together.worth > apart.worth else "apart"
    lines = [
        Line("Apart: prices", "apart_prices_money", [*reversed(apart.prices)], _by_count(apart.prices, code)),
        cash("  brings on average", "apart_worth", apart.worth, code),
        span("  the last is sold after", "apart_months_mean", apart.months),
        cash("Together: price of the lot", "lot_price", together.price, code),
        cash("  brings on average", "lot_worth", together.worth, code),
        span("  sold after", "lot_months_mean", together.months),
        Line(
            "Level if so many want the lot",
            "level_share_percent",
            100 * level,
            "no share would do" if math.isinf(level) else units.show_share(level),
        ),
        Line("Better", "better", better, better),
    ]
    show_hold("lot", code, lines, as_json)
