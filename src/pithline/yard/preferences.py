"""The book's settings: each with its help, its default and where the default comes from."""

from __future__ import annotations

import zoneinfo
from collections.abc import Mapping
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.yard.models import Preference

__all__ = ["SETTINGS", "SOURCES", "aims_from_settings", "setting", "settings_typed"]

_T = Quantity.TEXT


def _zone(raw: Any, path: str) -> str:
    try:
        return zoneinfo.ZoneInfo(raw).key
    except (TypeError, ValueError, KeyError, OSError):
        raise BadValue(path, raw, "a time zone", 'Write for instance "America/New_York" or "UTC".') from None


def _code(raw: Any, path: str) -> str:
    text = raw.strip().upper() if isinstance(raw, str) else ""
    if not (len(text) == 3 and text.isascii() and text.isalpha()):
        raise BadValue(path, raw, "a three-letter code", 'Write for instance "USD".')
    return text


def _address(raw: Any, path: str) -> str:
    text = raw.strip().rstrip("/") if isinstance(raw, str) else ""
    if not text.startswith(("http://", "https://")) or any(c.isspace() for c in text) or len(text) > 200:
        raise BadValue(path, raw, "the address of this book", 'Write "http://my-laptop.local:8467".')
    return text


SETTINGS = Table(
    "settings",
    "How this book shows and counts.",
    (
        Field("yard", _T, "Your yard's name, as it stands on sheets and labels.", default=""),
        Field("person", _T, "Who enters, where nothing else is said.", default=""),
        Field("system", _T, "How sizes are shown.", default="metric", choices=("metric", "inch")),
        Field("currency", _T, "Fixed by the first amount that is entered.", parse=_code),
        Field("zone", _T, "Time zone of the yard; places may have their own.", default="UTC", parse=_zone),
        Field(
            "tally",
            _T,
            "Which width counts in a slab's tally.",
            default="mean of faces",
            choices=("narrow face", "mean of faces", "wide face"),
        ),
        Field(
            "unit",
            _T,
            "What is counted: cubic metres, board feet as sawn, or board feet at nominal thickness.",
            default="m3",
            choices=("m3", "bf as sawn", "bf nominal"),
        ),
        Field(
            "moisture",
            Quantity.SHARE,
            "What slabs are dried to, where a plan does not say.",
            default="8 %",
            least="4 %",
            most="30 %",
        ),
        Field(
            "kiln_ready",
            Quantity.SHARE,
            "Mean moisture from which the kiln may finish a slab.",
            default="25 %",
            least="8 %",
            most="40 %",
        ),
        Field(
            "sell_air_dry",
            Quantity.SHARE,
            "Mean moisture from which a slab is called air-dry.",
            default="20 %",
            least="8 %",
            most="30 %",
        ),
        Field(
            "flatten_at",
            Quantity.SHARE,
            "Mean moisture from which a slab is flattened.",
            default="10 %",
            least="4 %",
            most="30 %",
        ),
        Field(
            "share_cost_by",
            _T,
            "How the cost of a log is shared over its slabs.",
            default="volume",
            choices=("volume", "split-off", "net realisable", "constant margin"),
        ),
        Field(
            "flat_below",
            Quantity.ANGLE,
            "Ring angle below which grain is flat.",
            default="30 deg",
            most="90 deg",
        ),
        Field(
            "quarter_above",
            Quantity.ANGLE,
            "Ring angle above which it is quarter.",
            default="60 deg",
            most="90 deg",
        ),
        Field("paper", _T, "What the printer holds.", default="a4", choices=("a4", "us-letter")),
        Field("label_stock", _T, "The sheet that labels are printed on.", default=""),
        Field(
            "base_address",
            _T,
            "Where a phone finds this book; goes into the codes on labels.",
            default="http://localhost:8467",
            parse=_address,
        ),
        Field(
            "keep_photo_data",
            Quantity.FLAG,
            "Keep what a camera writes into a photo, such as the place it was taken at.",
            default=False,
        ),
    ),
)

SOURCES = {
    "system": "sizes are kept in metres whichever is shown",
    "currency": "one for the whole book, so that sums make sense",
    "zone": "set it to your own; instants are kept in UTC",
    "tally": "trades differ; the rule is printed beside every figure",
    "unit": "trades differ; the unit is printed beside every figure",
    "moisture": "common practice for indoor furniture",
    "kiln_ready": "20 to 25 %, Torgeson, FPL R1684 [read]: checks are made above",
    "sell_air_dry": "about 20 %, Oklahoma State Extension [read]; others say 15 %",
    "flatten_at": "within 2 % of the room; common practice, no source",
    "share_cost_by": "simplest; all ways are shown beside it",
    "flat_below": "limit of architectural woodwork (AWI); other trades differ",
    "quarter_above": "limit of architectural woodwork (AWI); other trades differ",
    "paper": "A4 or US Letter",
    "base_address": "this machine only; name it as your phone sees it before printing labels",
    "keep_photo_data": "left out, because photos are shown to buyers",
}
"""Where each default comes from, to stand beside it."""


def settings_typed() -> dict[str, Any]:
    """What was set, as typed; only what was set."""
    known = {f.name for f in SETTINGS.fields}
    return {name: value for name, value in Preference.objects.values_list("name", "value") if name in known}


def setting(name: str) -> Any:
    """One setting, parsed (SI): what was set, else its default, else None."""
    field = SETTINGS[name]
    row = Preference.objects.filter(name=name).first()
    one = Table("settings", SETTINGS.help, (field,))
    return read(one, {name: row.value} if row else {})[name]


def aims_from_settings(aims: Mapping[str, Any]) -> dict[str, Any]:
    """The table [aims], with what it leaves out taken from what was set in the book."""
    said = settings_typed()
    names = ("tally", "unit", "moisture", "flat_below", "quarter_above")
    return {name: said[name] for name in names if name in said} | dict(aims)
