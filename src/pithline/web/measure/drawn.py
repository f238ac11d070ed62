"""What the page Measure shows while numbers go in: both faces, and what the log would hold."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from pithline.errors import BadValue, Question, Refused
from pithline.units import System, length, show_length, show_mass, show_volume

if TYPE_CHECKING:
    from pithline.log.account import LogAccount
    from pithline.log.record import LogRecord

__all__ = ["Drawn", "Face", "draw"]

_DRAWS = (
    100  # logs that the same tape could have come from; the ends of the range are then good to a few percent
)


@dataclass(frozen=True, slots=True)
class Face:
    """One end as drawn; `problem` says what is wrong with its readings, `missing` what is to come."""

    end: str
    svg: str
    problem: str = ""
    touch: bool = False


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure of the log with its range."""

    name: str
    value: str
    low: str = ""
    high: str = ""


@dataclass(frozen=True, slots=True)
class Guess:
    """Something nobody measured, and what it might be instead."""

    field: str
    value: str
    instead: str
    why: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """Everything beside the form."""

    faces: tuple[Face, ...]
    facts: tuple[Fact, ...] = ()
    assumptions: tuple[Guess, ...] = ()
    questions: tuple[str, ...] = ()
    waiting: str = ""  # what is still needed before the log can be reckoned
    weighed: bool = False

    @property
    def butt(self) -> Face:
        """The butt."""
        return self.faces[0]

    @property
    def top(self) -> Face:
        """The top."""
        return self.faces[1]


def draw(name: str, species: str, record: Mapping[str, Any], wider: bool, system: System) -> Drawn:
    """Faces from what there is; volume, weight and doubts once the record is whole.

    Parameters
    ----------
    name, species : str
        As the book knows them.
    record : mapping
        Tables log and lie, units written.
    wider : bool
        The person has said that the top is wider than the butt.
    system : {"metric", "inch"}
    """
    from pithline.log.written import TOP_IS_WIDER, from_table

    tables = {**record, "log": {"name": name, "species": species, **record.get("log", {})}}
    whole: LogRecord | None = None
    waiting = ""
    try:
        whole = from_table(tables, {TOP_IS_WIDER} if wider else set())
    except Question as asked:
        waiting = asked.question
    except Refused as problem:
        waiting = _told(problem)
    bark = (0.0, 0.0)
    if whole:
        shape = whole.to_shape()
        bark = (float(shape.bark[0]), float(shape.bark[-1]))
    faces = tuple(
        _face(end, tables["log"].get(end, {}), system, thick)
        for end, thick in zip(("butt", "top"), bark, strict=True)
    )
    if whole is None:
        return Drawn(faces, waiting=waiting)
    from pithline.log.account import account_for

    account = account_for(whole)
    return Drawn(
        faces,
        facts=_facts(account, system),
        assumptions=tuple(
            Guess(a.field, a.value, " or ".join(t for t in (a.low, a.high) if t != a.value), a.why)
            for a in whole.assumptions
        ),
        # On this page a width is entered below, not by an option.
        questions=tuple(re.sub(r" \(--station[^)]*\)", "", question) for question in account.questions),
        weighed=account.weight is not None,
    )


def _face(end: str, said: Mapping[str, Any], system: System, bark: float) -> Face:
    from pithline.log.written import end_from_table
    from pithline.sheets.faces import READINGS, face

    problem, outline, touch = "", None, False
    around: tuple[tuple[float, float], ...] = ()
    seen = said.get("seen_from") or end
    try:
        size, seen = end_from_table(said, end)
        outline = size.outline()
        around = size.around or ()
        touch = not size.from_pith
        if size.over_bark:
            bark = 0.0  # the line that was taped is the bark's own edge
    except Refused as refused:
        # A reading that is still to come is no mistake.
        problem = "" if getattr(refused, "rule", "") == "given" else _told(refused)
    readings = {}
    for name in READINGS:
        try:
            reach = length(said[name], name)
        except (KeyError, Refused):
            continue
        if 0 < reach < 4:
            readings[name] = reach
    seen = seen if seen in ("butt", "top") else end
    return Face(end, face(end, seen, outline, readings, system, bark, around, touch), problem, touch)


def _facts(account: LogAccount, system: System) -> tuple[Fact, ...]:
    low, high = _volume_range(account)
    cubic: Literal["m3", "ft3"] = "m3" if system == "metric" else "ft3"
    facts = [
        Fact(
            "Wood under bark",
            show_volume(account.integrated, cubic),
            show_volume(low, cubic),
            show_volume(high, cubic),
        ),
        Fact(
            "The same in board feet",
            show_volume(account.integrated, "bf"),
            show_volume(low, "bf"),
            show_volume(high, "bf"),
        ),
        Fact("Butt under bark, mean", show_length(account.butt_diameter, system)),
        Fact("Top under bark, mean", show_length(account.top_diameter, system)),
        Fact("Bark", f"{100 * account.bark / account.over_bark:.0f} % of the volume"),
    ]
    weight = account.weight
    if weight is not None:
        facts.append(
            Fact(
                "Green weight with bark",
                show_mass(weight.mid, system),
                show_mass(weight.low, system),
                show_mass(weight.high, system, up=True),
            )
        )
    return tuple(facts)


def _volume_range(account: LogAccount) -> tuple[float, float]:
    """10 and 90 % of the volumes that equally honest readings would give. [m3]"""
    from pithline.log.measuring import measuring_error, perturbed
    from pithline.log.volume import volume_by_integration

    drawn = perturbed(account.shape, measuring_error(account.record), np.random.default_rng(0), _DRAWS)
    low, high = np.quantile([volume_by_integration(shape) for shape in drawn], (0.1, 0.9))
    return float(low), float(high)


def _told(problem: Refused) -> str:
    """A refusal in the words of the page."""
    if not isinstance(problem, BadValue):
        return str(problem)
    from pithline.sheets.wording import field_words

    field = field_words(problem.field)
    if problem.rule == "given":
        return f"{field} is still to come"
    return f"{field}: must be {problem.rule}. {problem.remedy}".strip()
