"""``pithline hold price``, ``offer``, ``green`` and ``wait``: one piece."""

from __future__ import annotations

from typing import Any

import click

from pithline.cli.hold_options import (
    TODAY,
    Line,
    Money,
    buyers_of,
    buyers_options,
    cash,
    day_after,
    share,
    show_hold,
    span,
    span_of,
    terms_of,
    terms_options,
    today_of,
)

__all__ = ["green", "offer", "price", "wait"]


@click.command(
    "price",
    epilog="""
\b
Examples:
  pithline hold price --buyers "2 per month" --pays "400 USD" --holding 6 --interest "10 %"
  pithline hold price --buyers "1 in 6 weeks" --pays 500 --spread 0.5 --holding 6 --chance "80 %" --json
  pithline hold price --buyers "2 per month" --pays 400 --holding 6 --asked 1200 --spent 700
""",
)
@buyers_options
@click.option("--asked", metavar="MONEY", help="Look at this price instead of the best.")
@click.option(
    "--within",
    default="12 months",
    show_default=True,
    metavar="TIME",
    help="Or a date: sold by then.",
)
@click.option("--chance", metavar="SHARE", help="Also: the highest price that sells so surely by then.")
@click.option("--spent", metavar="MONEY", help="Also: when a sale no longer brings back what it cost.")
@TODAY
def price(
    as_json: bool,
    asked: str | None,
    within: str,
    chance: str | None,
    spent: str | None,
    today: str | None,
    **said: Any,
) -> None:
    """Best asking price of one piece, or what an asked price will do."""
    from pithline import units
    from pithline.money.hold import posted
    from pithline.money.hold.waiting import months_until_loss
    from pithline.money.months import show_months

    money, now = Money(), today_of(today)
    buyers, terms = buyers_of(said, money), terms_of(said, money)
    by = span_of(within, "--within", now)
    best = posted.best_price(buyers, terms)
    at = money.above_nothing(asked, "--asked") if asked is not None else best
    cost = money.read(spent, "--spent")
    code = money.code
    worth = posted.expected_profit(at, buyers, terms)
    odds = posted.chance_sold(at, buyers, by)
    lines = [
        cash("Best price", "best_price", best, code),
        cash("Price looked at", "price", at, code),
        cash("Brings on average, today's worth", "worth", worth, code),
        span("Months on offer, mean", "months_mean", posted.expected_months(at, buyers)),
        share(f"Sold within {within}", "chance_sold", odds),
    ]
    more: dict[str, str | None] = {}
    if chance is not None:
        surely = posted.price_for_chance(units.share(chance, "--chance"), by, buyers)
        gives = posted.expected_profit(surely, buyers, terms)
        lines += [
            cash(f"Highest price that sells with {chance} by then", "price_for_chance", surely, code),
            cash("  brings on average", "worth_for_chance", gives, code),
        ]
    if spent is not None:
        until = months_until_loss(at, cost, terms)
        day = day_after(until, now)
        shown = f"{show_months(until)}, from {day} on" if day else show_months(until)
        lines.append(Line("A sale loses after", "months_until_loss", until, shown))
        more["loses_from"] = day or None
    show_hold("price", code, lines, as_json, more)
    if posted.expected_months(at, buyers) > 24:
        click.echo(
            "So long a hold trusts the guess of what the richest buyers pay; with a need of cash "
            'look at --chance "80 %" or at pithline hold deadline.',
            err=True,
        )
    if worth < 0:
        click.echo(
            "Holding costs more than it brings: sell for what is offered, or use it otherwise.", err=True
        )


@click.command(
    "offer",
    epilog="""
\b
Examples:
  pithline hold offer --buyers "2 per month" --pays "400 USD" --holding 6 --offer 900
  pithline hold offer --buyers "2 per month" --pays 400 --holding 6 --months "6 months" --salvage 100 --json
""",
)
@buyers_options
@click.option("--offer", "offered", metavar="MONEY", help="The offer in hand.")
@click.option("--months", "left", metavar="TIME", help="It must be gone by then.")
@click.option("--salvage", metavar="MONEY", help="What it still brings on that day.")
def offer(as_json: bool, offered: str | None, left: str | None, salvage: str | None, **said: Any) -> None:
    """The least offer to accept, buyers naming what they would pay."""
    from pithline.errors import BadValue
    from pithline.money.hold import offers
    from pithline.money.months import months

    money = Money()
    buyers, terms = buyers_of(said, money), terms_of(said, money)
    if left is not None:
        day = months(left, "--months")
        if not day > 0:
            raise BadValue("--months", left, "more than 0", 'Write "6 months".')
        least = offers.reservation_by_deadline([day], buyers, terms, money.read(salvage, "--salvage"))[0]
    elif salvage is not None:
        raise BadValue("--salvage", salvage, "left out without --months", "Say by when it must be gone.")
    else:
        least = offers.reservation_price(buyers, terms)
    hand = money.read(offered, "--offer")
    code = money.code
    mean = offers.mean_accepted(least, buyers)
    lines = [
        cash("Least offer to accept", "least_offer", least, code),
        cash("Offers that pass it, mean", "mean_accepted", mean, code),
        span("Months until one comes, mean", "months_mean", offers.months_to_accepted(least, buyers)),
    ]
    if offered is not None:
        lines.append(
            Line("The offer in hand", "accept", hand >= least, "accept" if hand >= least else "refuse")
        )
    show_hold("offer", code, lines, as_json)


@click.command(
    "green",
    epilog="""
\b
Examples:
  pithline hold green --buyers "2 per month" --pays "250 USD" --dry-pays 400 --holding 6 \\
    --months "14 months" --drying 60 --lost "10 %"
""",
)
@buyers_options
@click.option("--dry-buyers", metavar="RATE", help="Who would buy it dry. [default: as many]")
@click.option("--dry-pays", required=True, metavar="MONEY", help="What they would pay for it dry, sound.")
@click.option("--months", "left", required=True, metavar="TIME", help="Until it is dry.")
@click.option("--drying", metavar="MONEY", help="What drying costs, all in.")
@click.option(
    "--lost",
    default="10 %",
    show_default=True,
    metavar="SHARE",
    help="Worth lost by checks and twist; a guess.",
)
def green(
    as_json: bool,
    dry_buyers: str | None,
    dry_pays: str,
    left: str,
    drying: str | None,
    lost: str,
    **said: Any,
) -> None:
    """Sell green now, or dry first: both at their own best price."""
    from pithline import units
    from pithline.money.hold.buyers import Buyers
    from pithline.money.hold.waiting import TwoStates, green_or_dry
    from pithline.money.months import months

    money = Money()
    wet, terms = buyers_of(said, money), terms_of(said, money)
    dry: Buyers = buyers_of(said | {"pays": dry_pays, "buyers": dry_buyers or said["buyers"]}, money)
    states = TwoStates(
        wet, dry, months(left, "--months"), money.read(drying, "--drying"), units.share(lost, "--lost")
    )
    both, code = green_or_dry(states, terms), money.code
    better = "dry first" if both.dry_worth > both.green_worth else "sell green"
    lines = [
        cash("Green: best price", "green_price", both.green_price, code),
        cash("  brings on average", "green_worth", both.green_worth, code),
        cash("Dry: best price then", "dry_price", both.dry_price, code),
        cash("  brings on average, today's worth", "dry_worth", both.dry_worth, code),
        span("Level if drying took", "months_level", both.longest),
        Line("Better", "better", better, better),
    ]
    show_hold("green", code, lines, as_json)


@click.command(
    "wait",
    epilog="""
\b
Examples:
  pithline hold wait --now "500 USD" --later 700 --holding 6 --interest "10 %"
""",
)
@terms_options
@click.option("--now", required=True, metavar="MONEY", help="Sure today, or what it has cost so far.")
@click.option("--later", required=True, metavar="MONEY", help="Sure later, after the costs of selling.")
def wait(as_json: bool, now: str, later: str, **said: Any) -> None:
    """How long one may wait for a sure higher price."""
    from pithline.money.hold.waiting import worth_waiting

    money = Money()
    terms = terms_of(said, money)
    first, then = money.read(now, "--now"), money.read(later, "--later")
    lasts = worth_waiting(first, then - terms.at_sale, terms)
    show_hold("wait", money.code, [span("Worth waiting", "months", lasts)], as_json)
