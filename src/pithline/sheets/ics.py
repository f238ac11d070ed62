"""Days to keep, as a calendar file (RFC 5545) that other programs subscribe to."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Day", "calendar"]

_LINE = 75  # octets, the line's end not counted (RFC 5545, 3.1)


@dataclass(frozen=True, slots=True)
class Day:
    """A thing that falls on a day.

    Attributes
    ----------
    uid : str
        The same for ever for the same thing, also when its day moves.
    day : date
    title, about, url : str
        "" for none.
    """

    uid: str
    day: datetime.date
    title: str
    about: str = ""
    url: str = ""


def calendar(days: Iterable[Day], name: str, stamp: datetime.datetime) -> bytes:
    """Write a calendar of whole days.

    Parameters
    ----------
    days : iterable of Day
    name : str
        Of the calendar.
    stamp : datetime
        When it was written, in UTC.

    Returns
    -------
    bytes
        UTF-8 with CRLF, lines folded at 75 octets.

    References
    ----------
    B. Desruisseaux (ed.) 2009, RFC 5545: 3.1 folding, 3.3.11 escaping, 3.6.1 events, 3.8.2.2 an end that
    is not part of the event.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Pithline//Drying//EN", "CALSCALE:GREGORIAN"]
    lines.append(f"NAME:{_escaped(name)}")
    at = stamp.astimezone(datetime.UTC).strftime("%Y%m%dT%H%M%SZ")
    for one in days:
        after = one.day + datetime.timedelta(days=1)
        lines += ["BEGIN:VEVENT", f"UID:{_escaped(one.uid)}", f"DTSTAMP:{at}"]
        lines += [f"DTSTART;VALUE=DATE:{one.day:%Y%m%d}", f"DTEND;VALUE=DATE:{after:%Y%m%d}"]
        lines += [f"SUMMARY:{_escaped(one.title)}"]
        lines += [f"DESCRIPTION:{_escaped(one.about)}"] if one.about else []
        lines += [f"URL:{_clean(one.url)}"] if one.url else []
        lines += ["TRANSP:TRANSPARENT", "END:VEVENT"]
    lines.append("END:VCALENDAR")
    return b"".join(_folded(line) for line in lines)


def _clean(text: str) -> str:
    """Without what no calendar line may hold: control characters, except where they are escaped."""
    return "".join(c for c in text if c >= " " and c != "\x7f")


def _escaped(text: str) -> str:
    plain = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return _clean(plain.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n"))


def _folded(line: str) -> bytes:
    """One content line, broken between characters and never within one."""
    parts: list[bytes] = []
    part = b""
    for letter in line:
        octets = letter.encode("utf-8", "replace")
        # A further line begins with a space, which counts.
        if len(part) + len(octets) > _LINE - (1 if parts else 0):
            parts.append(part)
            part = b""
        part += octets
    parts.append(part)
    return b"\r\n ".join(parts) + b"\r\n"
