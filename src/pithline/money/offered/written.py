"""The table [call]: a log on offer as said on the phone, or seen."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from typing import Any

from pithline import units
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, missing, read
from pithline.money.amount import Amount, amount, one_currency
from pithline.money.likely import Likely, likely
from pithline.money.months import months
from pithline.money.offered.call import ByProducts, Call, Lumber, Removal
from pithline.money.offered.log_guess import LogGuess
from pithline.money.offered.realised import realised_yield
from pithline.saw.written.assumed import Written, assumed_in
from pithline.saw.written.price import Price, price
from pithline.units import BOARD_FOOT

__all__ = ["CALL", "QUALITIES", "read_call"]

_L, _S, _T, _D, _F = Quantity.LENGTH, Quantity.SHARE, Quantity.TEXT, Quantity.DURATION, Quantity.FLAG
_PHONE = "told by phone: a guess"

QUALITIES = {
    "sound": Likely(0.85, 1.0, 1.1, 0.0, 3.0, "straight, no rot seen: 85 to 110 % of your rates, a guess"),
    "ordinary": Likely(0.60, 0.85, 1.0, 0.0, 3.0, "some limbs and bend: 60 to 100 % of your rates, a guess"),
    "rough": Likely(0.35, 0.60, 0.85, 0.0, 3.0, "limbs, bend, old wounds: 35 to 85 % of your rates, a guess"),
    "doubtful": Likely(0.05, 0.40, 0.75, 0.0, 3.0, "rot or metal likely: 5 to 75 % of your rates, a guess"),
}
"""What a log's slabs bring against the user's rates, which are for good ones."""


def _kilometres(raw: Any, path: str) -> float:
    found = (
        re.fullmatch(r"(\d+(?:\.\d+)?)\s*(km|miles?|mi)", raw.strip().lower())
        if isinstance(raw, str)
        else None
    )
    if found is None or not float(found[1]) <= 5000:
        raise BadValue(path, raw, "a distance by road, with its unit", 'Write "35 km" or "20 miles".')
    return float(found[1]) * (1.0 if found[2] == "km" else 1.609344)


def _span(
    parse: Callable[[str, str], float],
    spread: tuple[float, float] = (1.0, 1.0),
    least: float = 0.0,
    most: float = math.inf,
    why: str = "",
) -> Callable[[Any, str], Likely]:
    def made(raw: Any, path: str) -> Likely:
        found = likely(raw, path, parse, spread, least=least, most=most, why=why)
        if not (least <= found.low and found.high <= most):
            remedy = "Look at the unit, and whether the two are swapped."
            raise BadValue(path, raw, f"from {least:g} to {most:g} (SI)", remedy)
        return found

    return made


def _hours(text: str, field: str) -> float:
    return units.duration(text, field) / 60


def _volume_price(raw: Any, path: str) -> Price:
    return price(raw, path, ("m3", "bf", "ft3"), 'Write "3.20 per bf" or "60 per m3".')


def _pace(raw: Any, path: str) -> float:
    found = (
        re.fullmatch(r"(\d+(?:\.\d+)?)\s*(km/h|mph)", raw.strip().lower()) if isinstance(raw, str) else None
    )
    if found is None or not 0.1 <= float(found[1]) <= 30:
        raise BadValue(path, raw, "a walking pace with its unit", 'Write "3 km/h".')
    return float(found[1]) * (1.609344 if found[2] == "mph" else 1.0)


def _pair(raw: Any, path: str) -> tuple[float, float]:
    """``480 bf planned, 366 bf tallied``."""
    found = (
        re.fullmatch(r"(.+?)\s+planned\s*,\s*(.+?)\s+tallied", raw.strip()) if isinstance(raw, str) else None
    )
    if found is None:
        raise BadValue(path, raw, "a plan and its tally", 'Write "480 bf planned, 366 bf tallied".')
    planned, tallied = units.volume(found[1], path), units.volume(found[2], path)
    if not planned > 0:
        raise BadValue(path, raw, "a plan of more than nothing", "Leave this log out.")
    return planned, tallied


CALL = Table(
    "call",
    "A log on offer: what was said on the phone, or seen. A span, as 2.4 m to 2.8 m, is your 10 and 90 %.",
    (
        Field("species", _T, "Any name of the wood."),
        Field(
            "girth",
            _T,
            "Tape round the log, over the bark.",
            parse=_span(units.length, (0.93, 1.07), 0.2, 16, _PHONE),
        ),
        Field("girth_at", _L, "Where that tape lay, from the butt.", default="1.3 m", most="30 m"),
        Field("length", _T, "Usable, butt to top.", parse=_span(units.length, (0.93, 1.05), 0.5, 30, _PHONE)),
        Field(
            "taper",
            _T,
            "Loss of diameter over length.",
            default="4 mm/m to 16 mm/m",
            parse=_span(units.slope, least=0, most=0.1),
        ),
        Field(
            "quality", _T, "As you judge it from what was said.", default="ordinary", choices=tuple(QUALITIES)
        ),
        Field("distance", _T, 'By road, one way: "35 km".', required=True, parse=_kilometres),
        Field("carry", _L, "From the log to the vehicle, one way.", default="20 m", most="20000 m"),
        Field(
            "load",
            Quantity.MASS,
            "What goes in one trip, all hands or a cart together.",
            default="60 kg",
            least="5 kg",
        ),
        Field("pace", _T, "Of carrying, there and back.", default="2.5 km/h", parse=_pace),
        Field(
            "handling", _T, "To load and unload one such trip.", default="3 min to 8 min", parse=_span(_hours)
        ),
        Field("payload", Quantity.MASS, "Of vehicle and trailer together.", default="1000 kg", least="50 kg"),
        Field("people", Quantity.COUNT, "On the day.", default=1, least="1", most="20"),
        Field(
            "set_up",
            _T,
            "Metal search, levelling, rail, first cut.",
            default="1 h to 3 h",
            parse=_span(_hours),
        ),
        Field("asked", _T, "What the owner asks.", default="0", parse=amount),
        Field("logs", _T, 'Your own logs: "480 bf planned, 366 bf tallied".', many=True, parse=_pair),
        Field(
            "price_level",
            _T,
            "What slabs really bring against your rates.",
            default="80 % to 115 %",
            parse=_span(units.share, most=10),
        ),
        Field(
            "downgraded",
            _T,
            "Share of the slabs that drying spoils in part.",
            default="8 % to 40 %",
            parse=_span(units.share, most=1),
        ),
        Field("downgraded_brings", _S, "What such a slab still brings.", default="50 %", most="100 %"),
        Field(
            "sawing",
            _T,
            "Sawing time against the mill's pace.",
            default="75 % to 150 %",
            parse=_span(units.share, least=0.05, most=10),
        ),
        Field(
            "between",
            _T,
            "Time between cuts against the mill's.",
            default="70 % to 180 %",
            parse=_span(units.share, most=20),
        ),
        Field(
            "drying",
            _T,
            "Till the slabs are dry; a forecast says it better.",
            parse=_span(months, (0.8, 1.3), most=240),
        ),
        Field(
            "selling", _T, "From dry to sold.", default="2 months to 16 months", parse=_span(months, most=240)
        ),
        Field(
            "work",
            _T,
            "Hours for stacking, finishing and selling, against your own.",
            default="60 % to 170 %",
            parse=_span(units.share, most=20),
        ),
        Field("firewood", _T, "For a solid cubic metre of offcuts.", parse=_volume_price),
        Field("firewood_share", _S, "Of the wood that is no slab.", default="70 %", most="100 %"),
        Field("opening", _T, "What the opening slab brings as it is.", default="0", parse=amount),
        Field(
            "blanks", Quantity.COUNT, "Turning blanks from crotch and burl.", default=0, least="0", most="500"
        ),
        Field("blank_price", _T, "Each.", default="0", parse=amount),
        Field("sawdust", _T, "For a solid cubic metre of kerf.", parse=_volume_price),
        Field("lumber", _T, 'Square-edged lumber at the market, dry: "3.20 per bf".', parse=_volume_price),
        Field("edging", _D, "To edge and rip one slab.", default="25 min"),
        Field("hire", _T, "Crane or winch with driver and truck, to take the log away.", parse=amount),
        Field("lifts", Quantity.MASS, "What they can take at that reach."),
        Field("permission", _F, "The owner has said yes, in writing.", default=False),
        Field("tree_protection", _F, "You asked: the tree may be taken.", default=False),
        Field("plant_movement", _F, "You asked: wood and bark may be moved.", default=False),
    ),
)

_GUESS = "guess"
WHY = {
    "girth_at": "breast height, from memory",
    "taper": "4 to 10 mm a metre on measured stems above the flare; open-grown trees more: a guess",
    "quality": "nothing was said",
    "carry": f"{_GUESS}; ask",
    "load": f"{_GUESS}: two people with slings, or a hand cart; keep to what is safe for your back",
    "pace": f"{_GUESS}; steep or wet ground halves it",
    "handling": _GUESS,
    "payload": f"{_GUESS}; the vehicle's papers say it, and weigh",
    "people": "alone; with someone in earshot is safer",
    "set_up": _GUESS,
    "asked": "nothing was said: the log is free",
    "price_level": _GUESS,
    "downgraded": f"{_GUESS}; 11.3 % of value lost in air-drying 4/4 sugar maple (Peck 1957, read)",
    "downgraded_brings": _GUESS,
    "sawing": _GUESS,
    "between": _GUESS,
    "selling": f"{_GUESS}; your own listings say it better",
    "work": _GUESS,
    "firewood_share": _GUESS,
    "edging": _GUESS,
    "permission": "not ticked",
    "tree_protection": "not ticked",
    "plant_movement": "not ticked",
}
# Air drying: a year an inch. Common practice, no source; by half and by half more.
_YEAR_AN_INCH = Likely(7.0, 12.0, 18.0, 1.0, 60.0, "a year an inch in air: common practice, no source")


def read_call(raw: Mapping[str, Any] | None, measured: bool = False) -> tuple[Written[Call], str]:
    """Read the table [call].

    Parameters
    ----------
    raw : mapping or None
    measured : bool
        Whether a record tells species and size, so that the call need not.

    Returns
    -------
    written : Written of Call
    currency : str
        The code among its amounts, "" where none is named.

    Raises
    ------
    BadValue
        Unknown or missing fields, figures without units, two currencies, a size said twice.
    """
    raw = {} if raw is None else raw
    got = read(CALL, raw)
    sizes = ("species", "girth", "length")
    for name in sizes:
        if measured and got[name] is not None:
            raise BadValue(
                f"call.{name}", raw[name], "left out where a log is measured", "The record says it."
            )
        if not measured and got[name] is None:
            example = {"species": '"red oak"', "girth": '"2.6 m"', "length": '"4 m"'}[name]
            raise missing(f"call.{name}", f"{name} = {example}")
    code = one_currency([got[n] for n in ("asked", "opening", "blank_price", "hire")] + _codes(got))
    guess = None
    if not measured:
        from pithline.wood.species import species

        guess = LogGuess(
            species(got["species"], "call.species").name,
            got["girth"],
            got["girth_at"],
            got["length"],
            got["taper"],
        )
    lumber = got["lumber"]
    call = Call(
        guess=guess,
        quality=got["quality"],
        quality_factor=QUALITIES[got["quality"]],
        distance=got["distance"],
        carry=got["carry"],
        pace=got["pace"],
        load=got["load"],
        payload=got["payload"],
        people=got["people"],
        handling=got["handling"],
        set_up=got["set_up"],
        asked=float(got["asked"]),
        realised=realised_yield(got["logs"]),
        price_level=got["price_level"],
        downgraded=got["downgraded"],
        downgraded_brings=got["downgraded_brings"],
        sawing=got["sawing"],
        between=got["between"],
        drying=got["drying"] or _YEAR_AN_INCH,
        drying_by_inch=got["drying"] is None,
        selling=got["selling"],
        work=got["work"],
        by_products=ByProducts(
            firewood=got["firewood"].amount if got["firewood"] else 0.0,
            firewood_share=got["firewood_share"],
            opening=float(got["opening"]),
            blanks=got["blanks"],
            blank_price=float(got["blank_price"]),
            sawdust=got["sawdust"].amount if got["sawdust"] else 0.0,
        ),
        lumber=Lumber(lumber.amount * BOARD_FOOT, got["edging"] / 60) if lumber else None,
        removal=Removal(float(got["hire"]) if got["hire"] else None, got["lifts"]),
        permission=got["permission"],
        tree_protection=got["tree_protection"],
        plant_movement=got["plant_movement"],
    )
    told = ("girth_at", "taper") if measured else ()
    told = (
        *told,
        *(() if lumber else ("edging",)),
        "permission",
        "tree_protection",
        "plant_movement",
    )
    return Written(call, assumed_in(CALL, raw, WHY, told)), code


def _codes(got: Mapping[str, Any]) -> list[Amount | None]:
    from decimal import Decimal

    return [
        Amount(Decimal(0), got[name].currency, f"call.{name}")
        for name in ("firewood", "sawdust", "lumber")
        if got[name] is not None and got[name].currency
    ]
