"""What every `pithline hold` command is told: who comes, what they pay, what waiting costs."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.money.amount import Amount
    from pithline.money.hold.buyers import Buyers
    from pithline.money.hold.posted import Terms

__all__ = [
    "ADVICE",
    "CAUTION",
    "TODAY",
    "Line",
    "Money",
    "buyers_of",
    "buyers_options",
    "cash",
    "day_after",
    "finite",
    "share",
    "show_hold",
    "span",
    "span_of",
    "terms_of",
    "terms_options",
    "today_of",
]

ADVICE = "Reckoned from what was told; no tax, legal or investment advice."
CAUTION = "A sum of likelihoods from what was told; no tax, legal or investment advice."

_BUYERS = (
    click.option(
        "--buyers", required=True, metavar="RATE", help='Who would buy at some price: "2 per month".'
    ),
    click.option(
        "--pays",
        required=True,
        metavar="MONEY",
        help="Mean of what they would pay; with --spread the median.",
    ),
    click.option(
        "--spread",
        metavar="NUMBER",
        type=float,
        help="Lognormal limits: standard deviation of ln. [default: exponential limits]",
    ),
)
_TERMS = (
    click.option("--holding", metavar="MONEY", help="Space, insurance, restacking, a month; no interest."),
    click.option("--at-sale", metavar="MONEY", help="Paid only when it sells: delivery, fees."),
    click.option("--interest", metavar="SHARE", help='A year, on the money that lies there: "8 %".'),
    click.option("--loss", metavar="SHARE", help='Chance a year to lose it whole, fire or theft: "1 %".'),
)
TODAY = click.option("--today", metavar="DATE", help="Days are counted from it. [default: today]")
_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


class Money:
    """Amounts of one command line; the file's code, or the first one named, holds for all."""

    def __init__(self, code: str = "") -> None:
        from pithline.money.amount import Amount

        self.amounts: list[Amount] = [Amount(Decimal(0), code, "")] if code else []

    def read(self, raw: str | None, field: str) -> float:
        """Amount of an option, 0 where it was left out."""
        from pithline.money.amount import amount, one_currency

        if raw is None:
            return 0.0
        self.amounts.append(amount(raw, field))
        one_currency(self.amounts)
        return float(self.amounts[-1])

    def above_nothing(self, raw: str, field: str) -> float:
        """The same of an option that 0 makes no sense of."""
        from pithline.errors import BadValue

        found = self.read(raw, field)
        if not found > 0:
            raise BadValue(field, raw, "more than 0", 'Write "400 USD".')
        return found

    @property
    def code(self) -> str:
        """The currency, or "" where none was named."""
        from pithline.money.amount import one_currency

        return one_currency(self.amounts)


def buyers_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --buyers, --pays, --spread and all of `terms_options`."""
    command = terms_options(command)
    for option in reversed(_BUYERS):
        command = option(command)
    return command


def terms_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --holding, --at-sale, --interest, --loss and --json."""
    for option in reversed((*_TERMS, _JSON)):
        command = option(command)
    return command


def buyers_of(said: Mapping[str, Any], money: Money) -> Buyers:
    """The stream of buyers that the options tell."""
    from pithline.money.hold.buyers import Buyers, Exponential, Lognormal
    from pithline.money.months import per_month

    pays = money.read(said["pays"], "--pays")
    limits = Exponential.of(pays) if said["spread"] is None else Lognormal.of(pays, said["spread"])
    return Buyers.of(per_month(said["buyers"], "--buyers"), limits)


def terms_of(said: Mapping[str, Any], money: Money) -> Terms:
    """What selling and waiting cost, as the options tell it."""
    from pithline import units
    from pithline.money.hold.posted import Terms, discount_of, hazard_of

    interest = units.share(said["interest"], "--interest") if said["interest"] is not None else 0.0
    loss = units.share(said["loss"], "--loss") if said["loss"] is not None else 0.0
    return Terms.of(
        money.read(said["at_sale"], "--at-sale"),
        money.read(said["holding"], "--holding"),
        discount_of(interest),
        hazard_of(loss),
    )


@dataclass(frozen=True, slots=True)
class Line:
    """One figure: what it is, its JSON key and value, and how it is read."""

    what: str
    key: str
    value: Any
    shown: str


def cash(what: str, key: str, value: float, code: str) -> Line:
    """A line of money."""
    from pithline.money.amount import show_money

    return Line(what, f"{key}_money", value, show_money(value, code))


def span(what: str, key: str, value: float) -> Line:
    """A line of months."""
    from pithline.money.months import show_months

    return Line(what, key, value, show_months(value))


def share(what: str, key: str, value: float) -> Line:
    """A line of a fraction, in percent."""
    from pithline import units

    return Line(what, f"{key}_percent", 100 * value, units.show_share(value))


def span_of(text: str, option: str, today: datetime.date) -> float:
    """Months, as a time or as the day it ends: ``12 months``, ``2026-06-01``.

    Raises
    ------
    BadValue
        A day that is not ahead.
    """
    from pithline.errors import BadValue
    from pithline.money.months import DAYS_A_MONTH, months

    try:
        day = datetime.date.fromisoformat(text.strip())
    except ValueError:
        return months(text, option)
    if day <= today:
        raise BadValue(option, text, f"after {today}", "Say a day to come, or a time.")
    return (day - today).days / DAYS_A_MONTH


def day_after(span: float, today: datetime.date) -> str:
    """The day that lies so many months ahead, "" where it is never or beyond the calendar."""
    from pithline.money.months import DAYS_A_MONTH

    if not span < 12 * (9998 - today.year):
        return ""
    return str(today + datetime.timedelta(days=int(span * DAYS_A_MONTH)))


def today_of(said: str | None) -> datetime.date:
    """The day that is counted from: what --today says, else the clock's."""
    from pithline.errors import BadValue

    if said is None:
        return datetime.datetime.now().astimezone().date()
    try:
        return datetime.date.fromisoformat(said)
    except ValueError:
        raise BadValue("--today", said, "a date", "Write year-month-day, for instance 2025-11-20.") from None


def show_hold(
    name: str,
    code: str,
    lines: list[Line],
    as_json: bool,
    more: Mapping[str, Any] | None = None,
    room: str = "hold",
) -> None:
    """Print the lines, or one JSON object under the schema ``pithline/<room>-<name>/1``."""
    if as_json:
        import json

        record = {"schema": f"pithline/{room}-{name}/1", "currency": code}
        record |= {line.key: finite(line.value) for line in lines}
        click.echo(json.dumps(record | dict(more or {}), indent=2, ensure_ascii=False))
        return
    wide = max(len(line.what) for line in lines)
    for line in lines:
        click.echo(f"{line.what:<{wide}}  {line.shown}")
    click.echo(CAUTION if room == "hold" else ADVICE, err=True)


def finite(value: Any) -> Any:
    """JSON has no infinity: null stands for never."""
    return None if isinstance(value, float) and abs(value) == float("inf") else value
