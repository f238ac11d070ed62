"""A slab's outline from widths taped across it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline
from pithline.units import length as read_length

__all__ = ["Width", "taped_outline", "width"]


@dataclass(frozen=True, slots=True)
class Width:
    """Widths of both faces under bark at one place; `at` is None where only their order tells. [m]"""

    at: float | None
    one: float
    other: float


def width(raw: Any, path: str) -> Width:
    """Read ``45 cm``, ``45 cm / 52 cm`` (both faces) or ``0.5 m: 45 cm / 52 cm``.

    Raises
    ------
    BadValue
        Not so written, or a width without its unit.
    """
    if not isinstance(raw, str) or not raw.strip():
        raise BadValue(path, raw, "a width", 'Write "45 cm / 52 cm", with a place before it: "0.5 m: 45 cm".')
    place, colon, faces = raw.rpartition(":")
    # A fraction of an inch has a slash too; only one with room round it parts the faces.
    sizes = [read_length(text.strip(), path) for text in faces.split(" / ")]
    if len(sizes) > 2:
        raise BadValue(path, raw, "the widths of two faces at most", 'Write "45 cm / 52 cm".')
    if not all(0 < size <= 5 for size in sizes):
        raise BadValue(path, raw, "more than 0 and at most 5 m", "Measure again, or look at the unit.")
    at = read_length(place.strip(), path) if colon else None
    return Width(at, sizes[0], sizes[-1])


def taped_outline(length: float, thickness: float, widths: Sequence[Width]) -> SlabOutline:
    """An outline from taped widths: laid about a straight middle line, because a width tells no more.

    Parameters
    ----------
    length, thickness : float
        [m]
    widths : sequence of Width
        Either all with their place or none (then they are spread evenly, end to end).
        Beyond the outermost place the width goes on unchanged.

    Raises
    ------
    BadValue
        Some with a place and some without, places out of order or off the slab.
    """
    if not widths:
        raise BadValue("widths", "empty", "measured at one place at least", 'Write "45 cm / 52 cm".')
    placed = [w.at is not None for w in widths]
    if any(placed) and not all(placed):
        raise BadValue(
            "widths", "some with a place", "all with their place, or none", 'Write "0.5 m: 45 cm".'
        )
    if all(placed):
        at = np.array([w.at for w in widths], dtype=np.float64)
    else:
        at = np.linspace(0.0, length, len(widths)) if len(widths) > 1 else np.array([0.5 * length])
    if np.any(np.diff(at) <= 0) or at[0] < 0 or at[-1] > length + 1e-9:
        raise BadValue(
            "widths",
            ", ".join(f"{a:g} m" for a in at),
            f"from one end to the other, within the {length:g} m of the slab",
        )
    z = np.unique(np.concatenate([[0.0], at, [length]]))
    faces = [np.interp(z, at, [getattr(w, name) for w in widths]) / 2 for name in ("one", "other")]
    upper, lower = (np.stack([-half, half], axis=1) for half in faces)
    return SlabOutline(z=z, upper=upper, lower=lower, thickness=thickness)
