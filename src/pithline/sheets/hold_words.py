"""How long a slab may wait, as page and paper say it: best price, months, chance, least offer."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pithline.money.hold.listing_range import Learned, Outlook

__all__ = [
    "green_row",
    "hold_rows",
    "learned_from",
    "limit_rows",
    "offer_row",
    "other_use_row",
    "pair_row",
    "said_day",
]

_ENOUGH = 10  # sales, before which a guess leads


def hold_rows(
    best: Outlook, looked: Outlook, by: str, code: str, asked: bool = False
) -> list[tuple[str, str]]:
    """What a price is likely to do, as names and words.

    Parameters
    ----------
    best : Outlook
        At the price that brings most.
    looked : Outlook
        At the price that is asked, or the same.
    by : str
        Until when its chance is told: "by 3 Nov 2026", "within 12 months".
    code : str
        Of the currency.
    asked : bool
        The price looked at is the one that is asked.
    """
    low, _, high = best.best
    end = "; it lies at the end of what was tried: do not take it as told" if best.at_end else ""
    a, b, c = looked.months
    least, chance, most = (f"{each * 100:.0f} %" for each in looked.by_then)
    return [
        ("Best price", f"{best.price:.0f} {code} ({low:.0f} to {high:.0f}){end}"),
        ("Price looked at", f"{looked.price:.0f} {code}, {'as it is asked' if asked else 'the best'}"),
        ("Months till it sells", f"{b:.1f} ({a:.1f} to {c:.1f})"),
        (f"Sold {by}", f"{chance} ({least} to {most})"),
        ("Waiting brings, at today's worth", f"{best.worth:.0f} {code}"),
    ]


def limit_rows(
    loses: datetime.date | None, least: Sequence[float], level: float, code: str
) -> list[tuple[str, str]]:
    """When a sale begins to lose, and which offers to accept.

    Parameters
    ----------
    loses : date or None
        From when on; None for never.
    least : three floats
        The least offer to accept of buyers who name their limit, at 10, 50 and 90 %. [money]
    level : float
        An offer that leaves as much as waiting at the best price brings. [money]
    code : str
        Of the currency.
    """
    low, mid, high = least
    lost = (
        "not within a hundred years"
        if loses is None
        else f"from {said_day(loses)} on: from then it no longer brings back what it cost"
    )
    offer = f"{mid:.0f} {code} ({low:.0f} to {high:.0f}), from buyers who name their limit, no price hung up"
    return [
        ("A sale loses", lost),
        ("An offer beats waiting", f"above {level:.0f} {code}, where the best price hangs"),
        ("Least offer to accept", offer),
    ]


def other_use_row(other: tuple[str, float], waiting: float, code: str) -> list[tuple[str, str]]:
    """The best other use, where it leaves more than waiting brings."""
    use, leaves = other
    return [("Its other use", f"{use} leaves {leaves:.0f} {code}, more than waiting brings")] * (
        leaves > waiting
    )


def offer_row(what: str, net: float, more: bool, passes: str, code: str) -> tuple[str, str]:
    """An offer in hand beside what waiting brings.

    Parameters
    ----------
    what : str
        How much, from whom, until when.
    net : float
        What it leaves after selling. [money]
    more : bool
        Than waiting brings.
    passes : {"yes", "no", "perhaps"}
        Whether it reaches the least offer to accept.
    code : str
        Of the currency.
    """
    least = {"yes": "passes", "no": "does not pass", "perhaps": "may pass"}[passes]
    told = f"it leaves {net:.0f} {code} after selling, {'more' if more else 'less'} than waiting brings"
    return "Offer in hand", f"{what}: {told}; it {least} the least offer"


def green_row(
    green: Sequence[float], dry: Sequence[float], longest: float, till: str, code: str
) -> tuple[str, str]:
    """Green now, or dry first.

    Parameters
    ----------
    green, dry : three floats
        What each brings at today's worth, at 10, 50 and 90 %. [money]
    longest : float
        That drying may take before both are level. [month]
    till : str
        How long it will take, and what that rests on.
    code : str
        Of the currency.
    """
    level = (
        "green is better at once"
        if longest < 1
        else f"both are level where drying takes {longest:.0f} months more"
    )
    worths = (f"{mid:.0f}{{}} ({low:.0f} to {high:.0f})" for low, mid, high in (green, dry))
    one, other = next(worths).format(f" {code} at today's worth"), next(worths).format("")
    lost = "an eighth of its worth is lost by it, a guess"
    return "Green now, or dry first", f"green brings {one}, dry {other}; {level}. {till}; {lost}"


def pair_row(share: float) -> tuple[str, str]:
    """When a pair sells better as a pair: of the buyers of one, who must want both. [fraction]"""
    if share > 1:
        return "The pair", "sell it apart: more buyers would have to want both than come at all"
    both = f"{share * 100:.0f} % of the buyers of one want both"
    return "The pair", f"together pays once {both} and would pay 15 % more for each (a guess)"


def learned_from(learned: Learned) -> str:
    """What the buyers were learned from."""
    prices = f"{learned.spells} price{'s' * (learned.spells != 1)}"
    told = (
        f"Learned from {prices} that hung, {learned.sold} ended in a sale; limits {learned.law}. "
        "Ranges are 10 to 90 % of the streams of buyers that fit them."
    )
    if learned.sold < _ENOUGH:
        told += (
            " So few sales say little: the rest is a guess (a sale a year at what a piece should bring; "
            "common practice, no source)."
        )
    return told


def said_day(day: datetime.date) -> str:
    """3 Nov 2026."""
    return f"{day.day} {day:%b %Y}"
