"""The tables [months] and [[phase]]: their fields as a person writes them, and what they make."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pithline import units
from pithline.dry.months import Months, guessed, own
from pithline.dry.phases import Phase
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.wood.moisture import emc

__all__ = ["MONTHS_TABLE", "PHASE", "period", "phase_words", "read_months", "read_phase"]

_DAYS = {"day": 1.0, "week": 7.0, "month": 365.25 / 12, "year": 365.25}


def period(raw: Any, path: str) -> float:
    """A long time in days, as ``18 months``, ``3 weeks``, ``540 days``, ``2 years``."""
    said = (
        re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*(day|week|month|year)s?\s*", raw)
        if isinstance(raw, str)
        else None
    )
    if not said or not 0 < (days := float(said[1]) * _DAYS[said[2]]) <= 4400:
        raise BadValue(path, raw, "days, weeks, months or years, up to 12 years", 'Write "18 months".')
    return days


MONTHS_TABLE = Table(
    "months",
    "Twelve monthly means of the place, January first; or the warmest and the coldest month alone.",
    (
        Field("name", Quantity.TEXT, "The place.", default="own place"),
        Field(
            "temperature", Quantity.TEMPERATURE, "Twelve monthly means of the air.", many=True,
            least="-40 C", most="60 C",
        ),
        Field(
            "humidity", Quantity.SHARE, "Twelve monthly means of relative humidity.", many=True,
            least="5 %", most="100 %",
        ),
        Field(
            "warmest", Quantity.TEMPERATURE, "Mean of the warmest month: a guess of the rest follows.",
            least="-40 C", most="60 C",
        ),
        Field("coldest", Quantity.TEMPERATURE, "Mean of the coldest month.", least="-40 C", most="60 C"),
        Field(
            "rest", Quantity.SHARE, "Moisture that wood outdoors under a roof comes to; with the guess.",
            default="14 %", least="2 %", most="25 %",
        ),
        Field("southern", Quantity.FLAG, "The warmest month is January.", default=False),
    ),
)  # fmt: skip

PHASE = Table(
    "phase",
    "Where the slab lies, and for how long.",
    (
        Field("name", Quantity.TEXT, "What you call it.", required=True),
        Field(
            "outdoors", Quantity.FLAG, "In the place's months, stickered, under a cover, air from all sides.",
            default=False,
        ),
        Field("time", Quantity.TEXT, "At most this long.", required=True, parse=period),
        Field("temperature", Quantity.TEMPERATURE, "Of the air inside.", least="-40 C", most="120 C"),
        Field("humidity", Quantity.SHARE, "Relative humidity of the air inside.", most="100 %"),
        Field("rest", Quantity.SHARE, "Or the moisture that wood comes to there.", most="29 %"),
        Field("until", Quantity.SHARE, "Ends when the mean is down to this.", least="3 %", most="150 %"),
        Field("kiln", Quantity.FLAG, "A loaded kiln, which dries slower than a room so warm.", default=False),
    ),
    many=True,
)  # fmt: skip


def read_months(raw: Mapping[str, Any]) -> Months:
    """Months as written.

    Raises
    ------
    BadValue
        Neither twelve of each nor the two months; both; or a value out of its range.
    """
    said = read(MONTHS_TABLE, raw)
    twelve, two = (said["temperature"], said["humidity"]), (said["warmest"], said["coldest"])
    if any(twelve) and any(value is not None for value in two):
        raise BadValue("months.warmest", raw.get("warmest"), "left out beside twelve temperatures")
    if any(twelve):
        return own(said["name"], *twelve)
    if two[0] is None or two[1] is None:
        raise BadValue(
            "months", "too little", "twelve temperatures and humidities, or the warmest and coldest month",
            'Write warmest = "22 C" and coldest = "-2 C".',
        )  # fmt: skip
    return guessed(two[0], two[1], said["rest"], said["southern"])


def read_phase(raw: Mapping[str, Any], months: Months | None) -> Phase:
    """A phase as written; `months` where it is outdoors.

    Raises
    ------
    BadValue
        Air told twice or not at all, or outdoors without months.
    """
    said = read(PHASE, raw)
    name, until = said["name"], said["until"] or 0.0
    inside = [said[key] is not None for key in ("temperature", "humidity", "rest")]
    if said["outdoors"]:
        if any(inside):
            raise BadValue(f"{name}.temperature", raw.get("temperature"), "left out outdoors")
        if months is None:
            rule = "in a place whose months are known"
            raise BadValue(name, "outdoors", rule, 'Give --place "Pittsburgh", or --months FILE.')
        return Phase(name, said["time"], months, until=until)
    if not inside[0] or inside[1] == inside[2]:
        raise BadValue(
            f"{name}", "told incompletely", "a temperature, and either a humidity or the rest of the wood",
            'Write "20 C, 45 %" or "20 C, rest 8 %".',
        )  # fmt: skip
    warm = said["temperature"]
    rest = said["rest"] if inside[2] else float(emc(warm, said["humidity"]))
    return Phase(name, said["time"], temperature=warm, emc=rest, until=until, kiln=said["kiln"])


def phase_words(text: str, path: str = "phase") -> dict[str, Any]:
    """One line for a phase, as ``kiln: 45 C, rest 6 %, 30 days, until 8 %``, in the table's fields.

    A name that begins with "kiln" is a kiln, "outdoors" alone is outdoors.

    Raises
    ------
    BadValue
        Not a name, a colon, and parts that can be told apart.
    """
    name, colon, rest = text.partition(":")
    if not colon or not name.strip():
        raise BadValue(path, text, "a name, a colon and the air", 'Write "shop: 20 C, 45 %, 6 months".')
    raw: dict[str, Any] = {"name": name.strip()}
    for part in (each.strip() for each in rest.split(",")):
        key, value = _part(part, path, text)
        if key in raw:
            raise BadValue(path, text, f"told once about its {key}")
        raw[key] = value
    if raw["name"].lower() == "outdoors" and not {"temperature", "humidity", "rest"} & set(raw):
        raw["outdoors"] = True
    if raw["name"].lower().split()[0] == "kiln":
        raw["kiln"] = True
    return raw


def _part(part: str, path: str, text: str) -> tuple[str, Any]:
    for word in ("until", "rest"):
        if part.lower().startswith(f"{word} "):
            return word, part[len(word) :].strip()
    if part.lower() == "outdoors":
        return "outdoors", True
    if part.endswith("%"):
        return "humidity", part
    if re.search(r"(day|week|month|year)s?$", part):
        return "time", part
    try:
        units.temperature(part, path)
    except BadValue:
        example = 'Write "shop: 20 C, 45 %, 6 months" or "outdoors: 18 months, until 25 %".'
        raise BadValue(
            path, text, f'parts that can be told apart; "{part}" is none of them', example
        ) from None
    return "temperature", part
