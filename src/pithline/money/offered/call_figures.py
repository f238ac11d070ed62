"""Figures of a call as people write them: distances, paces, spans, a plan and its tally."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pithline import units
from pithline.errors import BadValue
from pithline.money.likely import Likely, likely
from pithline.saw.written.price import Price, price

__all__ = ["hours", "kilometres", "pace", "plan_and_tally", "span", "volume_price"]


def kilometres(raw: Any, path: str) -> float:
    """A distance by road: ``35 km``, ``20 miles``. [km]"""
    found = (
        re.fullmatch(r"(\d+(?:\.\d+)?)\s*(km|miles?|mi)", raw.strip().lower())
        if isinstance(raw, str)
        else None
    )
    if found is None or not float(found[1]) <= 5000:
        raise BadValue(path, raw, "a distance by road, with its unit", 'Write "35 km" or "20 miles".')
    return float(found[1]) * (1.0 if found[2] == "km" else 1.609344)


def span(
    parse: Callable[[str, str], float],
    spread: tuple[float, float] = (1.0, 1.0),
    least: float = 0.0,
    most: float = math.inf,
    why: str = "",
    told: str = "",
) -> Callable[[Any, str], Likely]:
    """A parser of a figure or a span; `spread`: see `likely`; `told`: its limits in words."""

    def made(raw: Any, path: str) -> Likely:
        found = likely(raw, path, parse, spread, least=least, most=most, why=why)
        # The doubt of one figure alone may reach past the limits; what was said may not.
        alone = not re.search(r"\sto\s", raw)
        if not all(least <= value <= most for value in ((found.mid,) if alone else (found.low, found.high))):
            raise BadValue(path, raw, told or f"from {least:g} to {most:g}", "Look at the unit.")
        return replace(found, low=max(found.low, least), high=min(found.high, most))

    return made


def hours(text: str, field: str) -> float:
    """A duration. [h]"""
    return units.duration(text, field) / 60


def volume_price(raw: Any, path: str) -> Price:
    """Money for a volume: ``3.20 per bf``."""
    return price(raw, path, ("m3", "bf", "ft3"), 'Write "3.20 per bf" or "60 per m3".')


def pace(raw: Any, path: str) -> float:
    """A walking pace: ``3 km/h``. [km/h]"""
    found = (
        re.fullmatch(r"(\d+(?:\.\d+)?)\s*(km/h|mph)", raw.strip().lower()) if isinstance(raw, str) else None
    )
    if found is None or not 0.1 <= float(found[1]) <= 30:
        raise BadValue(path, raw, "a walking pace with its unit", 'Write "3 km/h".')
    return float(found[1]) * (1.609344 if found[2] == "mph" else 1.0)


def plan_and_tally(raw: Any, path: str) -> tuple[float, float]:
    """``480 bf planned, 366 bf tallied``."""
    found = (
        re.fullmatch(r"(.+?)\s+planned\s*,\s*(.+?)\s+tallied", raw.strip()) if isinstance(raw, str) else None
    )
    if found is None:
        raise BadValue(path, raw, "a plan and its tally", 'Write "480 bf planned, 366 bf tallied".')
    planned, tallied = units.volume(found[1], path), units.volume(found[2], path)
    if not planned > 0:
        raise BadValue(path, raw, "a plan of more than nothing", "Leave this log out.")
    return planned, tallied
