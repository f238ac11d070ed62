"""A log said in a few texts, turned into the tables that a record file would hold."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from pithline.errors import BadValue
from pithline.fields import missing

__all__ = ["size_from_text", "table_from_options"]


def table_from_options(
    species: str | None = None,
    length: str | None = None,
    butt: str | None = None,
    top: str | None = None,
    stations: Sequence[str] = (),
    bark: str | None = None,
    sweep: str | None = None,
    bearers: str | None = None,
    name: str | None = None,
) -> dict[str, Any]:
    """The record's tables as a file would hold them; what is not said is left out.

    Parameters
    ----------
    species, length, name : str, optional
    butt, top : str, optional
        See `size_from_text`; a word "over bark" behind it says that the tape lay on the bark.
    stations : sequence of str
        Each ``0.9 m: 61 cm``: place from the butt, then a size; "under bark" may follow.
    bark : str, optional
        Thickness, one side.
    sweep : str, optional
        ``35 mm towards 2 o'clock``.
    bearers : str, optional
        Height of the log's underside above the ground.
    """
    log: dict[str, Any] = {
        key: text for key, text in (("name", name), ("species", species), ("length", length)) if text
    }
    for end, text in (("butt", butt), ("top", top)):
        if text:
            log[end] = size_from_text(text, f"log.{end}")
    if stations:
        log["stations"] = [_station_from_text(text, n) for n, text in enumerate(stations, 1)]
    if bark:
        log["bark"] = {"thickness": bark}
    if sweep:
        amount, said, towards = sweep.partition("towards")
        if not said:
            raise BadValue("log.sweep", sweep, "an amount and a side", 'Write "35 mm towards 2 o\'clock".')
        log["sweep"] = {"amount": amount.strip(), "towards": towards.strip()}
    tables = {"log": log} if log else {}
    return tables | ({"lie": {"bearers": bearers}} if bearers else {})


def size_from_text(text: str, field: str) -> dict[str, str]:
    """A size in one text, as the fields of a table.

    Parameters
    ----------
    text : str
        ``64 cm`` (mean diameter), ``82 x 76 cm`` (across x tall), ``girth 2.1 m``, or the
        four readings ``up 40 cm, down 38 cm, left 41 cm, right 39 cm``.
    field : str
    """
    text = text.strip()
    if on := re.fullmatch(r"(.*?)[\s,]+(over|under) bark", text):
        return {**size_from_text(on[1], field), "bark": on[2]}
    found = re.findall(
        r"\b(up|down|left|right)\s+([^,;]*?)(?=\s*(?:[,;]|\b(?:up|down|left|right)\b|$))", text
    )
    if found:
        return dict(found)
    if girth := re.fullmatch(r"girth\s+(.*)", text):
        return {"girth": girth[1]}
    if pair := re.fullmatch(r"(.+?)\s*[x×]\s*(.+)", text):
        across, tall = pair[1], pair[2]
        if re.fullmatch(r"[\d./ ]+", across):  # "82 x 76 cm": the unit stands once
            unit = re.search(r"[a-z\"']+\s*$", tall)
            across = f"{across} {unit[0]}" if unit else across
        return {"across": across, "tall": tall}
    if not text:
        raise missing(field, '"64 cm"')
    return {"diameter": text}


def _station_from_text(text: str, n: int) -> dict[str, str]:
    at, said, size = text.partition(":")
    if not said:
        raise BadValue(f"log.stations[{n}]", text, "a place and a size", 'Write "0.9 m: 61 cm".')
    return {"at": at.strip(), **size_from_text(size, f"log.stations[{n}]")}
