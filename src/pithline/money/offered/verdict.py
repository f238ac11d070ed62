"""Yes, not yet, only if, or no: the sum of a log in plain words with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pithline.money.amount import show_money
from pithline.money.doubt import Swing
from pithline.saw.plan import Spread

__all__ = ["Answer", "Verdict", "verdict"]


class Answer(StrEnum):
    """What to tell the owner."""

    YES = "yes"
    NOT_YET = "not yet"
    ONLY_IF = "only if"
    NO = "no"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer and why.

    Attributes
    ----------
    answer : Answer
    by_money : Answer
        What it would be if everything were ticked.
    chance : float
        That the log leaves anything after all costs and the wage. [fraction]
    sentence : str
    reasons : tuple of str
    """

    answer: Answer
    by_money: Answer
    chance: float
    sentence: str
    reasons: tuple[str, ...]


def verdict(
    profit: Spread,
    chance: float,
    sure: float,
    unticked: Sequence[str],
    doubts: Sequence[Swing],
    reasons: Sequence[str],
    currency: str,
) -> Verdict:
    """Judge a log.

    Parameters
    ----------
    profit : Spread
        After all costs, one's own wage and the owner's money among them. [money]
    chance : float
        That it is above 0. [fraction]
    sure : float
        The chance that a plain yes asks for. [fraction]
    unticked : sequence of str
        What has to be asked first.
    doubts : sequence of Swing
        The largest first.
    reasons : sequence of str
        Further ones, to follow.
    currency : str

    Returns
    -------
    Verdict

    Notes
    -----
    No where half of all guesses or more lose; yes where the chance reaches `sure`; only if between.
    A yes waits until everything is ticked.
    """
    if profit.p50 <= 0:
        money = Answer.NO
    elif chance >= sure:
        money = Answer.YES
    else:
        money = Answer.ONLY_IF
    answer = Answer.NOT_YET if money is Answer.YES and unticked else money
    low, mid, high = (show_money(each, currency) for each in (profit.p10, profit.p50, profit.p90))
    lines = [f"It leaves {mid} after all costs and the wage, {low} to {high} in 8 of 10 guesses."]
    lines.append(f"The chance that it leaves anything is {chance * 100:.0f} %.")
    turning = [doubt for doubt in doubts if doubt.turns]
    if turning:
        first = turning[0]
        worse = min(first.at_low, first.at_high)
        lines.append(
            f"What to find out first: {first.name}. At its bad end, all else at its middle, the log "
            f"loses {show_money(-worse, currency)}."
        )
    elif doubts and doubts[0].swing > 0:
        first = doubts[0]
        lines.append(
            f"The largest doubt is {first.name}, worth {show_money(first.swing, currency)}; alone it "
            "does not turn the answer."
        )
    lines += reasons
    lines += [f"Ask before a yes: {what}." for what in unticked] if money is not Answer.NO else []
    return Verdict(answer, money, chance, _sentence(answer, turning), tuple(lines))


def _sentence(answer: Answer, turning: Sequence[Swing]) -> str:
    match answer:
        case Answer.YES:
            return "Yes: go and mill it."
        case Answer.NOT_YET:
            return "Not yet: the sum says yes, but something has to be asked first."
        case Answer.ONLY_IF:
            what = f" {turning[0].name} turns out well" if turning else " it comes cheaper"
            return f"Only if{what}: more guesses gain than lose, but too many lose."
        case Answer.NO:
            return "No: half of all guesses or more lose money and time."
