"""The columns of a logger's file: which they are, and how its times are written."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Sequence

from pithline.errors import BadFile

__all__ = ["columns", "heading", "is_fahrenheit", "stamp_reader", "text_of"]

_DAMP = ("hum", "rh", "r.h", "%")
_TAIL = r"(\.\d+)?(Z|[+-]\d\d:?\d\d)?$"  # parts of seconds, zone: the logger's own clock is meant
_STAMPS = (
    "%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M", "%Y/%m/%d %H:%M:%S", "%Y/%m/%d %H:%M", "%Y-%m-%d",
    "%d.%m.%Y %H:%M:%S", "%d.%m.%Y %H:%M", "%d.%m.%Y",
)  # fmt: skip
_SLASHED = {"month first": "%m/%d/%Y", "day first": "%d/%m/%Y"}
_CLOCKS = (" %H:%M:%S", " %H:%M", " %I:%M:%S %p", " %I:%M %p", "")


def text_of(data: bytes, name: str) -> str:
    """A file's text: UTF-8, UTF-16 where it says so, else the old one-byte letters of the West.

    Raises
    ------
    BadFile
        No text at all.
    """
    marked = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        # A file cut short may end in half a letter.
        text = data.decode("utf-16", "replace") if marked else data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    if any(ord(letter) < 32 and letter not in "\t\r\n\f" for letter in text):
        raise BadFile(f"{name}: this is no text. Export the readings from the logger's program as CSV.")
    return text


def heading(lines: Sequence[str], name: str) -> tuple[int, str, list[str]]:
    """Which line names the columns, what stands between them, and the names in lower case."""
    for at, line in enumerate(lines[:30]):  # some loggers write about themselves first
        for between in (";", "\t", ","):
            heads = [cell.strip().strip('"').lower() for cell in line.split(between)]
            damp = any(_names(head, *_DAMP) for head in heads)
            if len(heads) >= 3 and damp and any(_names(head, "temp") for head in heads):
                return at, between, heads
    raise BadFile(
        f"{name}: no heading found that names a time, a temperature and a humidity. "
        'Put one above the readings, like "time,temperature (C),humidity (%)".'
    )


def _names(head: str, *words: str) -> bool:
    return any(word in head for word in words)


def columns(heads: Sequence[str], name: str) -> tuple[list[int], int, int]:
    """Places of the time (one or two), the temperature and the humidity."""
    # Dew point and wet bulb follow from the other two, and are no air temperature.
    warm = [i for i, head in enumerate(heads) if _names(head, "temp") and not _names(head, "dew", "wet")]
    damp = [i for i, head in enumerate(heads) if i not in warm and _names(head, *_DAMP)]
    when = [
        i for i, head in enumerate(heads)
        if i not in (*warm, *damp) and _names(head, "date", "time", "stamp", "when") and "temp" not in head
    ]  # fmt: skip
    if len(warm) != 1 or len(damp) != 1 or not 1 <= len(when) <= 2:
        raise BadFile(
            f"{name}: the heading must name one time (or date and time), one temperature and one humidity. "
            f"It names {_told(heads, when)}; {_told(heads, warm)}; {_told(heads, damp)}. "
            "Take the others away."
        )
    return when, warm[0], damp[0]


def _told(heads: Sequence[str], places: Sequence[int]) -> str:
    return " and ".join(f'"{heads[i]}"' for i in places) or "none"


def is_fahrenheit(head: str, name: str) -> bool:
    """Whether the temperature's heading says °F; refused where it does not say."""
    unit = re.search(r"(?:°|º|deg|[\s(\[_/])\s*([cf])(?![a-z])|(celsius|fahrenheit)", head)
    if not unit:
        raise BadFile(
            f'{name}: "{head}" does not say °C or °F. Write the unit into the heading, like '
            '"temperature (C)" or "temperature (F)".'
        )
    return (unit[1] or unit[2])[0] == "f"


def stamp_reader(stamps: Sequence[str], name: str, dates: str) -> Callable[[str], datetime.datetime | None]:
    """A function from text to a moment, or None."""
    slashed = [s for s in stamps if re.match(r"\d{1,2}/\d{1,2}/(\d{4}|\d{2})\b", s)]
    forms = list(_STAMPS)
    if slashed:
        pairs = [tuple(int(part) for part in s.split("/")[:2]) for s in slashed]
        can = {
            "month first": all(first <= 12 for first, _ in pairs),
            "day first": all(second <= 12 for _, second in pairs),
        }
        meant = [dates] if dates else [order for order, possible in can.items() if possible]
        if len(meant) != 1:
            raise BadFile(
                f'{name}: "{slashed[0]}" can be read with the month or with the day first. '
                'Say --dates "month first" or --dates "day first".'
            )
        year = "%Y" if re.match(r"\d{1,2}/\d{1,2}/\d{4}", slashed[0]) else "%y"
        forms += [_SLASHED[meant[0]].replace("%Y", year) + clock for clock in _CLOCKS]

    def read(stamp: str) -> datetime.datetime | None:
        plain = (
            re.sub(r"(\.\d+)?(Z|[+-]\d\d:?\d\d)?$", "", stamp.replace("T", " ")) if ":" in stamp else stamp
        )
        for place, form in enumerate(forms):
            try:
                moment = datetime.datetime.strptime(plain.strip(), form)  # noqa: DTZ007 - the logger's clock
            except ValueError:
                continue
            # A file keeps to one form: the next is tried with it first. No stamp can be read by two.
            forms.insert(0, forms.pop(place))
            return moment
        return None

    return read
