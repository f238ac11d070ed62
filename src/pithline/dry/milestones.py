"""Moistures on the way of a slab at which something may be done with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pithline.dry.printed import rows
from pithline.errors import BadValue

__all__ = ["MILESTONES", "Milestone", "Use", "milestones", "next_milestone", "use", "uses"]

_TO_ITS_REST = 0.02  # how near the place's own moisture a slab must be to stay flat. [fraction]


@dataclass(frozen=True, slots=True)
class Milestone:
    """A mean moisture that a slab reaches on its way.

    Attributes
    ----------
    name : str
    moisture : float
        Reached at and below it, dry basis; a setting. [fraction]
    low, high : float
        What others would say. [fraction]
    may : str
        What may then be done.
    source : str
        With its mark.
    """

    name: str
    moisture: float
    low: float
    high: float
    may: str
    source: str


@dataclass(frozen=True, slots=True)
class Use:
    """Where a finished piece will live, and the moisture that it should have there. [fraction]"""

    name: str
    moisture: float
    low: float
    high: float
    source: str


MILESTONES = (
    Milestone(
        "kiln-ready",
        0.25,
        0.20,
        0.25,
        "the kiln may finish it: checks are made above",
        "air-dry refractory hardwoods to 20 to 25 %, Torgeson, FPL R1684 [read]",
    ),
    Milestone(
        "fit to sell air-dry",
        0.20,
        0.15,
        0.20,
        "it may be sold as air-dry; stain and rot no longer grow",
        "air-dry goal about 20 %, Oklahoma State Extension [read]",
    ),
    Milestone(
        "flatten",
        0.10,
        0.06,
        0.12,
        "it may be flattened and stays flat: within 2 % of the room it will stand in",
        "common practice, no source; 2 % above indoor",
    ),
    Milestone(
        "indoor",
        0.08,
        0.06,
        0.10,
        "it may live in a heated room",
        "indoors, most of the US, Wood Handbook, Table 13-2 [from memory]",
    ),
)


def uses() -> tuple[Use, ...]:
    """Every use that a moisture is printed for."""
    return tuple(
        Use(
            row["use"],
            float(row["moisture_percent"]) / 100,
            float(row["low_percent"]) / 100,
            float(row["high_percent"]) / 100,
            f"{'Wood Handbook, Table 13-2' if row['source'] == 'Wood Handbook' else 'EN 942'} [from memory]",
        )
        for row in rows("target_moistures.csv")
    )


def use(name: str) -> Use:
    """The use that a name means.

    Raises
    ------
    BadValue
        None or several; names them.
    """
    words = name.lower().replace(",", " ").split()
    exact = [each for each in uses() if each.name.lower().replace(",", "").split() == words]
    found = exact or [each for each in uses() if all(w in each.name.lower() for w in words)]
    if not words or len(found) != 1:
        listed = "; ".join(each.name for each in (found or uses()))
        raise BadValue("use", name, f"one of: {listed}")
    return found[0]


def milestones(where: Use | None = None, changed: Sequence[Milestone] = ()) -> tuple[Milestone, ...]:
    """The milestones for a place of use, from wet to dry.

    Parameters
    ----------
    where : Use, optional
        Sets "indoor" and, 2 % above it, "flatten".
    changed : sequence of Milestone
        The user's own, in place of those of the same name.

    Returns
    -------
    milestones : tuple of Milestone
        Falling moisture.
    """
    own = {each.name: each for each in changed}
    made = []
    for each in MILESTONES:
        if where and each.name == "indoor":
            each = Milestone(
                each.name, where.moisture, where.low, where.high, f"it may live {where.name}", where.source
            )
        elif where and each.name == "flatten":
            at = where.moisture + _TO_ITS_REST
            each = Milestone(each.name, at, where.low, where.high + _TO_ITS_REST, each.may, each.source)
        made.append(own.get(each.name, each))
    return tuple(sorted(made, key=lambda each: -each.moisture))


def next_milestone(moisture: float, along: Sequence[Milestone] = MILESTONES) -> Milestone | None:
    """The first milestone that a slab of this mean moisture [fraction] has not reached; None at the end."""
    return next((each for each in along if moisture > each.moisture), None)
