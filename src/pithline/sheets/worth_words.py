"""A verdict on a log as its page and its paper say it: words, and figures at 10, 50 and 90 %."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pithline.money.amount import show_money
from pithline.sheets.doubt_words import doubt_span
from pithline.units import System, show_mass

if TYPE_CHECKING:
    from pithline.money.offered.call import Call
    from pithline.money.offered.worth import Worth
    from pithline.saw.plan import Spread
    from pithline.saw.written.assumed import Assumed

__all__ = ["CAUTION", "Row", "Told", "WorthWords", "worth_words"]

CAUTION = (
    "Sawing, lifting and winching can kill: local codes, the makers' manuals and licensed practice "
    "come first. No tax, legal or investment advice."
)


@dataclass(frozen=True, slots=True)
class Row:
    """A name, its 10, 50 and 90 %, and what else is said of it."""

    name: str
    low: str
    mid: str
    high: str
    note: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Told:
    """What a verdict was made from, as far as it is said beside it.

    Attributes
    ----------
    call : Call
    currency, unit : str
        Of money, and of the tally.
    assumed : tuple of Assumed
    remarks : tuple of str
    """

    call: Call
    currency: str
    unit: str
    assumed: tuple[Assumed, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WorthWords:
    """Everything that is said.

    Attributes
    ----------
    answer : str
        yes, not yet, only if, no.
    sentence : str
    reasons : tuple of str
    unticked : tuple of str
    chance : str
    sums, income, costs, hours, ways, mixes, products : tuple of Row
    most, share, even : str
        Most to pay the owner, the share to offer, and what could be paid for no profit.
    doubts : tuple of (name, from and to, at low, at high, turns, why)
    assumed : tuple of Assumed
    remarks : tuple of str
    realised : str
    currency, unit : str
    """

    answer: str
    sentence: str
    reasons: tuple[str, ...]
    unticked: tuple[str, ...]
    chance: str
    sums: tuple[Row, ...]
    income: tuple[Row, ...]
    costs: tuple[Row, ...]
    hours: tuple[Row, ...]
    ways: tuple[Row, ...]
    mixes: tuple[Row, ...]
    products: tuple[Row, ...]
    most: str
    share: str
    even: Row
    doubts: tuple[tuple[str, str, str, str, bool, str], ...]
    assumed: tuple[Assumed, ...]
    remarks: tuple[str, ...]
    realised: str
    currency: str
    unit: str


def worth_words(made: Worth, told: Told, system: System) -> WorthWords:
    """Word a verdict.

    Parameters
    ----------
    made : Worth
    told : Told
    system : {"metric", "inch"}
    """
    code = told.currency

    def cash(name: str, spread: Spread, note: str = "", chosen: bool = False) -> Row:
        return _row(name, spread, code, note, chosen)

    return WorthWords(
        answer=str(made.verdict.answer),
        sentence=made.verdict.sentence,
        # What has to be asked stands as a list of its own.
        reasons=tuple(r for r in made.verdict.reasons if not r.startswith("Ask before a yes")),
        unticked=told.call.unticked if made.verdict.by_money != "no" else (),
        chance=f"{made.verdict.chance * 100:.0f} %",
        sums=(
            cash("Left over, the wage paid", made.profit, chosen=True),
            _row("Left over for an hour", made.per_hour, f"{code}/h"),
            _row("The same with the wage", made.earned_per_hour, f"{code}/h"),
            _row("Left over for a board foot", made.per_board_foot, f"{code}/bf"),
            _row("Really tallied", made.board_feet, "bf"),
            _row("Hours of all hands", made.total_hours, "h"),
            _row("Days at the log", made.days, ""),
            _row("Carrying trips", made.trips, ""),
            _row("Months till the money is back", made.months, ""),
        ),
        income=(
            *(cash(name, each) for name, each in made.income if each.p90),
            cash("in all", made.total_income, chosen=True),
        ),
        costs=(
            *(cash(name, each) for name, each in made.costs if each.p90),
            cash("in all", made.total_costs, chosen=True),
        ),
        hours=(
            *(_row(name, each, "h") for name, each in made.hours if each.p90),
            _row("in all", made.total_hours, "h", chosen=True),
        ),
        ways=tuple(
            _row(
                way.name,
                way.profit,
                "",
                "; ".join(
                    part
                    for part in (
                        "" if way.possible else "not possible",
                        f"heaviest piece up to {show_mass(way.weight, system, up=True)}"
                        if way.weight
                        else "",
                        _hire(way.most_hire, code),
                        way.note,
                    )
                    if part
                ),
            )
            for way in made.ways
        ),
        mixes=tuple(_row(m.name, m.profit, "", f"tally {_plain(m.tally)} {told.unit}") for m in made.mixes)
        if len(made.mixes) > 1
        else (),
        products=tuple(
            _row(p.name, p.profit, "", f"brings {show_money(p.brings.p50, code)}") for p in made.products
        ),
        most=show_money(made.most_to_owner, code),
        share=f"{made.owner_share * 100:.0f} %",
        even=cash("Could be paid for no profit", made.to_owner),
        doubts=tuple(
            (
                doubt.name,
                doubt_span(doubt, system),
                show_money(doubt.at_low, code),
                show_money(doubt.at_high, code),
                doubt.turns,
                doubt.why,
            )
            for doubt in made.doubts
        ),
        assumed=told.assumed,
        remarks=told.remarks,
        realised=told.call.realised.why,
        currency=code,
        unit=told.unit,
    )


def _row(name: str, spread: Spread, unit: str, note: str = "", chosen: bool = False) -> Row:
    digits = 0 if max(abs(spread.p10), abs(spread.p90)) >= 100 else 1
    low, mid, high = (f"{each:,.{digits}f}" for each in (spread.p10, spread.p50, spread.p90))
    return Row(f"{name}, {unit}" if unit else name, low, mid, high, note, chosen)


def _hire(most: float | None, code: str) -> str:
    if most is None:
        return ""
    if most < 1:
        return "no crane or winch is cheap enough"
    return f"crane or winch may cost up to {show_money(most, code)}"


def _plain(spread: Spread) -> str:
    return f"{_figure(spread.p10)} to {_figure(spread.p90)}"


def _figure(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}"
