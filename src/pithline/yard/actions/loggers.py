"""Files that loggers wrote: kept whole, read at once, used only once a person agreed to what is odd."""

from __future__ import annotations

from typing import Any

from pithline.errors import BadFile, BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.desk import Desk
from pithline.yard.files import read_file, stored
from pithline.yard.finding import by_name, named
from pithline.yard.kinds import entry
from pithline.yard.models import Logger, Place, Stack

__all__ = ["judge_logger", "keep_logger", "read_logger"]

_T = Quantity.TEXT
_DATES = ("month first", "day first")
AGREE = Field("agreed", _T, "What is odd about it and may be so: gap, doubled, order.", many=True)


def read_logger(file: Any, name: str, dates: str = "") -> Any:
    """Read a stored file as a logger's; what is odd stands in its findings.

    Raises
    ------
    BadValue
        A file that is no logger's, or not there.
    """
    from pithline.dry.logger import read_log

    try:
        return read_log(read_file(file), name, dates)
    except BadFile as wrong:
        raise BadValue("file", name, "a logger's table that can be read", str(wrong)) from None


def _read(said: dict[str, Any]) -> dict[str, Any]:
    """Read the file before the transaction: it may hold years."""
    return {"log": read_logger(stored(said["file"]), said["name"], said["dates"] or "")}


@entry(
    Table(
        "keep_logger",
        "A file that a climate logger wrote. What is odd about it is shown, and must be agreed to.",
        (
            Field("name", _T, "What you call it.", required=True),
            Field("file", _T, "Its SHA-256, as told when it was handed in.", required=True),
            Field("place", _T, "Where it hung, by name.", required=True),
            Field("stack", _T, "In which stack, where it hung in one and not beside."),
            Field("dates", _T, "How dates with slashes are meant.", choices=_DATES),
            AGREE,
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "A logger's file",
    before=_read,
)
def keep_logger(desk: Desk, said: dict[str, Any]) -> Logger:
    """Keep a logger's file; with nothing odd in it, or all of it agreed to, forecasts use it."""
    if not said["name"] or named(Logger.objects.all(), said["name"]).exists():
        raise BadValue("name", said["name"], "a name that no logger's file has yet")
    place: Place = by_name(Place, said["place"], "place")
    file, log = stored(said["file"]), said["log"]
    if Logger.objects.filter(place=place, file=file).exists():
        raise BadValue("file", said["name"], "new", f"It is kept for {place} already.")
    agreed = _agreed(log.findings, said["agreed"])
    return desk.create(
        Logger,
        name=said["name"],
        file=file,
        place=place,
        stack=by_name(Stack, said["stack"], "stack") if said["stack"] else None,
        dates=said["dates"] or "",
        begins_on=log.times[0].date(),
        ends_on=log.times[-1].date(),
        readings=len(log.times),
        found=[{"kind": each.kind, "said": each.said} for each in log.findings],
        agreed=agreed,
        used=_fit(log.findings, agreed),
        note=said["note"],
    )


@entry(
    Table(
        "judge_logger",
        "Agree to what is odd about a logger's file, or use it no more.",
        (
            Field("logger", _T, "By name.", required=True),
            AGREE,
            Field("use", _T, "Whether forecasts take it.", choices=("yes", "no")),
            Field("note", _T, "Whatever else."),
        ),
    ),
    "Judge a logger's file",
)
def judge_logger(desk: Desk, said: dict[str, Any]) -> Logger:
    """Say which odd things may be so; nothing that nobody agreed to is used."""
    logger: Logger = by_name(Logger, said["logger"], "logger")
    findings = read_logger(logger.file, logger.name, logger.dates).findings
    agreed = sorted({*logger.agreed, *_agreed(findings, said["agreed"])})
    fit = _fit(findings, agreed)
    if said["use"] == "yes" and not fit:
        raise BadValue("use", "yes", f"agreed to first: {', '.join(_asked(findings, agreed))}")
    note = {"note": said["note"]} if said["note"] is not None else {}
    used = fit if said["use"] is None else said["use"] == "yes"
    return desk.change(logger, agreed=agreed, used=used, **note)


def _asked(findings: Any, agreed: list[str]) -> list[str]:
    from pithline.dry.logger import ASKED

    return [each.kind for each in findings if each.kind in ASKED and each.kind not in agreed]


def _agreed(findings: Any, said: tuple[str, ...]) -> list[str]:
    kinds = {each.kind for each in findings}
    for kind in said:
        if kind not in kinds:
            found = ", ".join(sorted(kinds)) or "nothing"
            raise BadValue("agreed", kind, "odd about this file", f"Odd is: {found}.")
    return sorted(set(said))


def _fit(findings: Any, agreed: list[str]) -> bool:
    return not _asked(findings, agreed)
