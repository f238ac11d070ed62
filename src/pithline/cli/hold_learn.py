"""``pithline hold learn``: who comes and what they pay, out of one's own listings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.hold_options import Line, Money, show_hold, terms_of, terms_options

if TYPE_CHECKING:
    from pithline.money.hold.listing import Spells
    from pithline.money.hold.listing_range import Learned

__all__ = ["best_law", "learn"]


@click.command(
    "learn",
    epilog="""
\b
Examples:
  pithline hold learn demo/sales.toml --reference "900 USD" --holding 6 --interest "8 %"
  pithline hold learn demo/sales.toml --reference "900 USD" --holding 6 --asked 1100 --json
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--reference", required=True, metavar="MONEY", help="What such a piece should bring.")
@click.option("--asked", metavar="MONEY", help="Look at this price instead of the best.")
@click.option(
    "--within", default="12 months", show_default=True, metavar="TIME", help="Chance of a sale by then."
)
@click.option(
    "--limits",
    type=click.Choice(["exponential", "lognormal", "better"]),
    default="better",
    show_default=True,
    help="Law of what buyers would pay; better: the one that the listings fit.",
)
@terms_options
def learn(
    file: Path, reference: str, asked: str | None, within: str, limits: str, as_json: bool, **said: Any
) -> None:
    """Best price by your own listings in FILE."""
    from pithline.cli.log_input import read_document
    from pithline.errors import BadValue
    from pithline.money.amount import show_money
    from pithline.money.hold.listing import spells
    from pithline.money.hold.listing_fit import ENOUGH, sale_rate_fit
    from pithline.money.hold.listing_range import learn as weigh
    from pithline.money.hold.listing_range import outlook
    from pithline.money.months import months, show_months
    from pithline.money.price.written import read_sales

    book = read_sales(read_document(file))
    money, code = Money(book.currency), book.currency
    terms = terms_of(said, money)
    worth = money.above_nothing(reference, "--reference")
    at = money.above_nothing(asked, "--asked") if asked is not None else None
    cut = spells(book.listings) if book.listings else None
    learned, odds = best_law(cut) if limits == "better" else (weigh(cut, limits), None)
    view = outlook(learned, worth, terms, months(within, "--within"), at)
    lines = [
        Line("Listings, cut at price changes", "spells", learned.spells, str(learned.spells)),
        Line("  of these ended in a sale", "sold", learned.sold, str(learned.sold)),
        Line("Limits of buyers", "limits", learned.law, learned.law),
        Line("Price looked at", "price_money", view.price, show_money(view.price, code)),
        _three("Best price, 10 to 90 %", "best_price_money", view.best, lambda v: show_money(v, code)),
        _three("Months on offer, 10 to 90 %", "months", view.months, show_months),
        _three(
            f"Sold within {within}, 10 to 90 %",
            "chance_sold_percent",
            tuple(100 * v for v in view.by_then),
            lambda v: f"{v:.0f} %",
        ),
        Line("Brings on average, today's worth", "worth_money", view.worth, show_money(view.worth, code)),
    ]
    show_hold("learn", code, lines, as_json, {"limits_odds": odds, "best_price_at_end": view.at_end})
    if learned.sold < ENOUGH:
        click.echo(
            f"Under {ENOUGH} sales: the range is wide, and leans on a guess (a sale a year at the "
            "reference, limits scattered by a third of it: common practice, no source).",
            err=True,
        )
    else:
        try:
            fit = sale_rate_fit(cut) if cut is not None else None
        except BadValue as wrong:
            click.echo(str(wrong), err=True)
        else:
            if fit is not None:
                click.echo(
                    f"Most likely: sales a month = {fit.level:.3g} exp(-{fit.slope:.3g} x), "
                    f"x = price over reference, slope +- {fit.slope_error:.2g}.",
                    err=True,
                )
    if odds is not None:
        click.echo(
            f"The listings fit {learned.law} limits {odds:.1f} times as well as the other law.", err=True
        )
    if view.at_end:
        click.echo("The best price lies at the end of what was tried; do not take it as told.", err=True)


def best_law(cut: Spells | None) -> tuple[Learned, float]:
    """The law of limits that the listings fit better, and how many times better."""
    import math

    from pithline.money.hold.listing_range import LAWS
    from pithline.money.hold.listing_range import learn as weigh

    both = sorted((weigh(cut, law) for law in LAWS), key=lambda each: each.evidence)
    return both[1], math.exp(min(both[1].evidence - both[0].evidence, 700.0))


def _three(what: str, key: str, values: Any, show: Any) -> Line:
    low, mid, high = values
    record = {"p10": _finite(low), "p50": _finite(mid), "p90": _finite(high)}
    return Line(what, key, record, f"{show(mid)} ({show(low)} to {show(high)})")


def _finite(value: float) -> float | None:
    return None if value == float("inf") else value
