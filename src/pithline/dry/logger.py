"""What a climate logger wrote: read, and everything odd about it named before it is used."""

from __future__ import annotations

import csv
import datetime
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

import numpy as np
from numpy.typing import NDArray

from pithline.dry.air import STACK, STILL, Air
from pithline.dry.logger_columns import columns, heading, is_fahrenheit, stamp_reader, text_of
from pithline.dry.logger_doubts import Finding, Kind, as_shares, doubts
from pithline.errors import BadFile, Question
from pithline.wood.moisture import emc

__all__ = ["Finding", "Log", "air_of", "read_log"]

Floats = NDArray[np.float64]

# These change what the numbers say, so a person must agree by name before they are used.
ASKED: tuple[Kind, ...] = (
    "gap", "doubled", "order", "range", "unreadable", "empty", "hot", "shares", "stuck", "short",
)  # fmt: skip
_GAP = 6.0  # a silence longer than this and than three usual steps is a gap, and any over a day. [h]


@dataclass(frozen=True, slots=True, eq=False)
class Log:
    """Readings in order of time.

    Attributes
    ----------
    times : tuple of datetime
        As the logger's clock had them.
    temperature, humidity : ndarray, shape (readings,)
        [°C], [fraction]
    findings : tuple of Finding
    """

    times: tuple[datetime.datetime, ...]
    temperature: Floats
    humidity: Floats
    findings: tuple[Finding, ...]


def read_log(text: str | bytes, name: str = "logger file", dates: str = "") -> Log:
    """Read a logger's CSV and say what is odd about it.

    Parameters
    ----------
    text : str or bytes
        A heading that names time (or date and time), temperature with its unit, and humidity;
        commas, semicolons or tabs between; decimal points or, not with commas between, commas.
    name : str
        In the messages.
    dates : {"", "month first", "day first"}
        How dates with slashes are meant; only needed where the file does not tell.

    Returns
    -------
    log : Log
        Unreadable and impossible readings are left out, doubled times are averaged, readings are
        put in order; each of it is a finding, and `air_of` refuses what nobody agreed to.

    Raises
    ------
    BadFile
        No text, no heading, no readings, a temperature without its unit, dates that can be read two ways,
        decimal commas where commas stand between the columns.
    """
    if isinstance(text, bytes):
        text = text_of(text, name)
    lines = [line for line in text.lstrip("\ufeff").splitlines() if line.strip()]
    at, between, heads = heading(lines, name)
    when, warm, damp = columns(heads, name)
    found: list[Finding] = []
    fahrenheit = is_fahrenheit(heads[warm], name)
    if fahrenheit:
        found.append(Finding("fahrenheit", "temperatures are in °F and were converted"))
    try:
        rows = list(csv.reader(lines[at + 1 :], delimiter=between))
    except csv.Error:
        # A quotation mark that nothing closes takes all that follows into one cell.
        why = (
            "one cell is longer than a whole file should be: a quotation mark is left open, or it is no table"
        )
        raise BadFile(f"{name}: {why}. Export the readings again as CSV.") from None
    stamps = [" ".join(row[i].strip() for i in when if i < len(row)) for row in rows]
    _whole(rows, len(heads), between, name)
    reader = stamp_reader(stamps, name, dates)
    kept: list[tuple[datetime.datetime, float, float]] = []
    commas, unread, odd, blank = 0, [], [], []
    for number, (row, stamp) in enumerate(zip(rows, stamps, strict=True), at + 2):
        cells = [row[i].strip() if i < len(row) else "" for i in (warm, damp)]
        if not stamp or not all(cells):
            blank.append(number)
            continue
        commas += sum("," in cell for cell in cells)
        moment, values = reader(stamp), [_number(cell) for cell in cells]
        if moment is None or values[0] is None or values[1] is None:
            unread.append(number)
            continue
        celsius = (values[0] - 32) / 1.8 if fahrenheit else values[0]
        if not (-40 <= celsius <= 90 and 0 <= values[1] <= 100):
            odd.append(number)
            continue
        kept.append((moment, celsius, values[1] / 100))
    if commas:
        found.append(Finding("decimal comma", "decimal commas were read as points"))
    left_out: tuple[tuple[Kind, list[int], str], ...] = (
        ("empty", blank, "without a value"),
        ("unreadable", unread, "that cannot be read"),
        ("range", odd, "outside -40 to 90 °C or 0 to 100 %"),
    )
    for kind, numbers, what in left_out:
        if numbers:
            found.append(Finding(kind, f"left out: {_lines(numbers)}, {what}"))
    if len(kept) < 2:
        time = f'; its time is "{stamps[0]}", better written 2026-03-01 14:00' if unread and stamps else ""
        where = _lines(unread or blank or odd or [1])
        raise BadFile(f"{name}: fewer than two readings could be read. Look at {where}{time}.")
    return _in_order(kept, found)


def air_of(
    log: Log, name: str = "logged", agreed: Collection[str] = (), until: float = 0.0, stacked: bool = True
) -> Air:
    """The logger's air, day by day.

    Parameters
    ----------
    log : Log
    name : str
    agreed : collection of str
        Kinds of findings that a person has seen and agreed to.
    until : float
        As in `Air`. [fraction]
    stacked : bool
        In the still air of a stack; False where a fan drives the logger's air through it.

    Returns
    -------
    air : Air
        Each stretch is a day's mean of temperature and of the equilibrium moisture at each reading
        (not that of the mean humidity). A day without a reading lies on the straight line between
        the days beside it.

    Raises
    ------
    Question
        A finding that changes what the numbers say, and that nobody agreed to.
    """
    for finding in log.findings:
        if finding.kind in ASKED and finding.kind not in agreed:
            raise Question(f"{name}: {finding.said}. Use it as it is?", f'--accept "{finding.kind}"')
    began = log.times[0]
    hours = np.array([(time - began).total_seconds() / 3600 for time in log.times])
    day = (hours // 24).astype(np.int64)
    moisture = emc(log.temperature, log.humidity)
    every = np.arange(day[-1] + 1)
    seen = np.unique(day)
    counts = np.bincount(day)[seen]
    warm = np.interp(every, seen, np.bincount(day, log.temperature)[seen] / counts)
    rest = np.interp(every, seen, np.bincount(day, moisture)[seen] / counts)
    count = len(every)
    pace, film = (STACK, STILL) if stacked else (1.0, 1.0)
    return Air(
        np.arange(1.0, count + 1), np.zeros(count, np.int64), warm, rest,
        np.full(count, until), np.full(count, pace), np.full(count, film), (name,),
        tuple(f"{name}: {finding.said}" for finding in log.findings),
    )  # fmt: skip


def _number(cell: str) -> float | None:
    plain = re.sub(r"\s*(°\s*[CFcf]|%)\s*$", "", cell)
    try:
        value = float(plain.replace(",", "."))
    except ValueError:
        return None
    return value if np.isfinite(value) else None


def _in_order(kept: list[tuple[datetime.datetime, float, float]], found: list[Finding]) -> Log:
    back = [b[0] for a, b in pairwise(kept) if b[0] < a[0]]
    if back:
        found.append(
            Finding("order", f"time runs back (in {len(back)} places, first at {back[0]}); put in order")
        )
    together: dict[datetime.datetime, list[tuple[float, float]]] = {}
    for moment, warm, damp in kept:
        together.setdefault(moment, []).append((warm, damp))
    doubled = [moment for moment, values in together.items() if len(values) > 1]
    if doubled:
        found.append(
            Finding(
                "doubled", f"doubled times ({len(doubled)}, the first {min(doubled)}); their means were taken"
            )
        )
    times = sorted(together)
    steps = [(b - a).total_seconds() / 3600 for a, b in pairwise(times)]
    usual = median(steps) if steps else 0.0
    gaps = [i for i, step in enumerate(steps) if step > min(24.0, max(_GAP, 3 * usual))]
    if gaps:
        longest = max(gaps, key=steps.__getitem__)
        found.append(
            Finding(
                "gap",
                f"gaps ({len(gaps)}), the longest {steps[longest] / 24:.1f} days from {times[longest]}; "
                "missing days are filled by a straight line",
            )
        )
    several = (together[time] for time in times)
    # A mean of one is itself: a year of minutes would wait for half a million of them.
    values = np.array([each[0] if len(each) == 1 else np.mean(each, axis=0) for each in several])
    heat, share = values[:, 0], values[:, 1]
    if as_shares(100 * share):
        found.append(Finding("shares", "no humidity is above 1: they were read as 0.65 for 65 %"))
        share = 100 * share
    return Log(tuple(times), heat, share, (*found, *doubts(times, heat, share)))


def _whole(rows: Sequence[Sequence[str]], columns: int, between: str, name: str) -> None:
    """Refuse rows with more filled cells than the heading has names: the figures stand in wrong columns."""
    long = [row for row in rows if sum(bool(cell.strip()) for cell in row) > columns]
    if long:
        shown = between.join(long[0])
        why = "Decimal commas? Then put semicolons between the columns" if between == "," else "Look at it"
        raise BadFile(
            f'{name}: {len(long)} lines have more columns than the heading, the first "{shown}". {why}.'
        )


def _lines(numbers: Sequence[int]) -> str:
    """``line 4``, ``lines 4, 5, 9 and 17 more``; "the file" for none."""
    if not numbers:
        return "the file"
    shown = ", ".join(str(number) for number in numbers[:5])
    more = f" and {len(numbers) - 5} more" if len(numbers) > 5 else ""
    return f"line{'s' if len(numbers) > 1 else ''} {shown}{more}"
