"""The form of the page Measure: the record of a log as it is taped, in the order of the job."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.urls import reverse

from pithline.fields import Field, Quantity, Table
from pithline.log.declared import LIE, LOG
from pithline.web.forms import Form
from pithline.web.inputs import Asking
from pithline.yard.models import Log

__all__ = ["MEASURED", "measure_form", "record_of", "tape_of"]

_ALONG = {"length", "at", "from", "to"}  # told in the long unit: metres, or feet
_BARE = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+|\d+[ -]\d+/\d+|\d+/\d+)")

MEASURED = Table(
    "",
    "A log as it was taped.",
    (
        Field(
            "tape",
            Quantity.TEXT,
            "What bare numbers mean across the log. A number with its own unit keeps it.",
            default="mm",
            choices=("mm", "cm", "in"),
        ),
        Field(
            "along",
            Quantity.TEXT,
            "What bare numbers mean along the log.",
            default="m",
            choices=("m", "cm", "ft", "in"),
        ),
        # The book knows name and species already.
        replace(LOG, fields=tuple(f for f in LOG.fields if f.name not in ("name", "species"))),
        LIE,
        Field("top_is_wider", Quantity.FLAG, "Tick where this is really so.", default=False),
    ),
)


def measure_form(log: Log, inch: bool = False) -> Form:
    """The form for one log, filled with what was measured before."""
    said: dict[str, Any] = {"tape": "in", "along": "ft"} if inch else {"tape": "mm", "along": "m"}
    before = log.record or {}
    said["log"] = {k: v for k, v in before.get("log", {}).items() if k not in ("name", "species")}
    said["lie"] = before.get("lie", {})
    if log.felled_on and "felled" not in said["log"]:
        said["log"]["felled"] = log.felled_on.isoformat()
    return Form(
        kind="measure_log",
        table=MEASURED,
        action=reverse("measure:log", args=[log.number]),
        button="Keep these measures",
        said=said,
        # Told once on top, by the two units; beside each of sixty inputs it would only be in the way.
        asking=Asking(hints=False),
        entered=lambda words: _entry(log, words),
    )


def record_of(words: Mapping[str, Any]) -> dict[str, Any]:
    """The tables log and lie with a unit behind every number."""
    across, along = tape_of(words)
    return {
        table.name: _with_units(table, words.get(table.name, {}), across, along)
        for table in MEASURED.fields
        if isinstance(table, Table) and words.get(table.name)
    }


def tape_of(words: Mapping[str, Any]) -> tuple[str, str]:
    """Units of bare numbers across and along the log."""
    across, along = words.get("tape"), words.get("along")
    return across if across in ("mm", "cm", "in") else "mm", along if along in (
        "m",
        "cm",
        "ft",
        "in",
    ) else "m"


def _entry(log: Log, words: Mapping[str, Any]) -> dict[str, Any]:
    said: dict[str, Any] = {"log": str(log.number), "record": record_of(words)}
    if words.get("top_is_wider") is True:
        said["top_is_wider"] = True
    return said


def _with_units(table: Table, said: Any, across: str, along: str) -> Any:
    if isinstance(said, list):
        return [_with_units(table, row, across, along) for row in said]
    told = {}
    for name, value in said.items():
        field = table[name]
        if isinstance(field, Table):
            value = _with_units(field, value, across, along)
        elif field.quantity is Quantity.LENGTH and isinstance(value, str) and _BARE.fullmatch(value.strip()):
            unit = along if name in _ALONG else across
            value = f"{value.strip().replace(',', '.')} {unit}"
        told[name] = value
    return told
