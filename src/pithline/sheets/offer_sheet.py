"""The sheet that goes along to a log on offer: the verdict, the most to pay, boxes to tick, as a PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pithline.money.amount import show_money
from pithline.sheets.doubts_chart import KEY, doubts_chart
from pithline.sheets.one_page import one_page
from pithline.sheets.worth_words import CAUTION, Row, worth_words
from pithline.units import FOOT, System, show_length, show_mass

if TYPE_CHECKING:
    from pithline.money.likely import Likely
    from pithline.money.offered.worth import Worth
    from pithline.saw.written.assumed import Assumed
    from pithline.sheets.worth_words import Told

__all__ = ["offer_sheet"]

_BARS = 6  # of the chart
_MILE = 1.609344  # [km]
AT_THE_LOG = (
    "girth", "at, from the butt", "length", "butt, across", "top, across", "rot, metal, splits",
    "way out, ground",
)  # fmt: skip
AGREED = ("offer made", "good until", "owner's answer", "agreed with, on")


def offer_sheet(
    made: Worth, told: Told, title: str, paper: str = "a4", system: System = "metric", dated: str = ""
) -> bytes:
    """Lay the sheet of a log on offer out.

    Parameters
    ----------
    made : Worth
    told : Told
        What it was made from.
    title : str
        Names the log.
    paper : {"a4", "us-letter"}
    system : {"metric", "inch"}
    dated : str
        For the right-hand end of the title line.

    Returns
    -------
    bytes
        A PDF of one page.
    """
    words = worth_words(made, told, system)
    even = f"{words.even.low} / {words.even.mid} / {words.even.high}"
    chart = doubts_chart(made.doubts, told.currency, _BARS, title="")
    content: dict[str, Any] = {
        "title": title,
        "dated": dated,
        "paper": paper,
        "log": _log(made, told, system),
        "sentence": words.sentence,
        "reasons": list(words.reasons),
        "owner": [
            f"At most {words.most}, or {words.share} of what the wood brings.",
            f"{words.even.name} (10 / 50 / 90 %): {even}.",
        ],
        "left": [_cells(row) for row in words.sums],
        "chart": chart.svg if chart else "",
        "key": KEY if chart else "Nothing is in doubt.",
        "ways": [[*_cells(row), row.note] for row in words.ways],
        "products": [[*_cells(row), row.note] for row in (*words.products, *words.mixes)],
        "ticks": [[ticked, _begun(what)] for ticked, what in told.call.ticks],
        "at_the_log": list(AT_THE_LOG),
        "agreed": list(AGREED),
        "assumed": _assumed(words.assumed),
        "remarks": list(words.remarks),
        "caution": CAUTION,
        "currency": told.currency,
    }
    return one_page("offer_sheet.typ", lambda _: content)


def _log(made: Worth, told: Told, system: System) -> list[str]:
    """What was said, or measured."""
    call, guess, record = told.call, made.log.guess, made.log.middle
    if guess is not None:
        girth, at = _span(guess.girth, system), show_length(guess.girth_at, system, "long")
        size = f"girth {girth} over bark, {at} from the butt; length {_span(guess.length, system)}"
        lines = [f"{_begun(record.species.name)}: {size}. As told, not measured."]
    else:
        ends = (
            show_length(float(2 * (ring[:, 0] ** 2 + ring[:, 1] ** 2).mean() ** 0.5), system)
            for ring in (record.to_shape().outlines[0], record.to_shape().outlines[-1])
        )
        size = f"{show_length(record.length, system, 'long')} long, {' and '.join(ends)} across under bark"
        lines = [f"{_begun(record.species.name)}: {size} at butt and top, as measured."]
    way = f"{call.distance:.0f} km" if system == "metric" else f"{call.distance / _MILE:.0f} mi"
    asks = f"the owner asks {show_money(call.asked, told.currency)}" if call.asked else "no price was named"
    lines.append(
        f"Quality {call.quality}; {way} by road, one way; {_way(call.carry, system)} to carry, "
        f"{show_mass(call.load, system)} a trip; on the day {call.people}; {asks}."
    )
    return lines


def _way(metres: float, system: System) -> str:
    return f"{metres:.0f} m" if system == "metric" else f"{metres / FOOT:.0f} ft"


def _span(figure: Likely, system: System) -> str:
    low, high = (show_length(each, system, "long") for each in (figure.low, figure.high))
    return low if low == high else f"{low} to {high}"


def _cells(row: Row) -> list[str]:
    return [_begun(row.name), row.low, row.mid, row.high]


def _begun(told: str) -> str:
    return told[:1].upper() + told[1:]


def _assumed(all_of_them: tuple[Assumed, ...]) -> list[str]:
    """What nobody said of the log, and what of the costs; marked: * a guess, † from memory."""
    found: dict[bool, list[str]] = {False: [], True: []}
    for one in all_of_them:
        table, _, name = one.field.rpartition(".")
        mark = "*" * ("guess" in one.why) + "†" * ("from memory" in one.why)
        found[table == "costs"].append(f"{name.replace('_', ' ')} {one.text}{mark}")
    of_log, of_costs = ("; ".join(each) for each in found.values())
    return [f"{told}." for told in (of_log, f"Of costs: {of_costs}" if of_costs else "") if told]
