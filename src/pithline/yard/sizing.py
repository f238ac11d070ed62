"""From what was taped on a slab to its outline, volume and tally."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyRule, TallyUnit
from pithline.slab.tallying import face_area, rule_text, tally, tally_width
from pithline.units import length as read_length
from pithline.units import quarters
from pithline.yard.preferences import setting

__all__ = [
    "Counting",
    "Width",
    "book_counting",
    "columns",
    "outline_of",
    "rule_sentence",
    "taped_outline",
    "width",
]

Floats = NDArray[np.float64]
UNITS = {"m3": TallyUnit.M3, "bf as sawn": TallyUnit.BF_SAWN, "bf nominal": TallyUnit.BF_NOMINAL}


@dataclass(frozen=True, slots=True)
class Width:
    """Widths of both faces under bark at one place; `at` is None where only their order tells. [m]"""

    at: float | None
    one: float
    other: float


@dataclass(frozen=True, slots=True)
class Counting:
    """The rule by which a tally was made; it is kept beside the figure."""

    rule: TallyRule
    unit: TallyUnit


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


def book_counting() -> Counting:
    """The book's own tally rule."""
    return Counting(TallyRule(setting("tally")), UNITS[setting("unit")])


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


def outline_of(size: Any) -> SlabOutline | None:
    """The outline that a `Size` keeps, or None where none was measured."""
    if not size.outline or not size.thickness_m:
        return None
    z, upper, lower = (
        np.asarray(size.outline[name], dtype=np.float64) for name in ("z_m", "upper_edges_m", "lower_edges_m")
    )
    return SlabOutline(z=z, upper=upper, lower=lower, thickness=size.thickness_m)


def columns(outline: SlabOutline, nominal: str, counting: Counting) -> dict[str, Any]:
    """What a `Size` keeps of an outline, over its whole length.

    Parameters
    ----------
    outline : SlabOutline
    nominal : str
        Trade thickness ("12/4") or "".
    counting : Counting

    Raises
    ------
    BadValue
        A nominal tally of a slab without nominal thickness.
    """
    start, end = float(outline.z[0]), float(outline.z[-1])
    area = face_area(outline.z, tally_width(outline, TallyRule.MEAN), start, end)
    counted = tally(
        outline, counting.rule, counting.unit, start, end, quarters=quarters(nominal) if nominal else None
    )
    return {
        "length_m": end - start,
        "thickness_m": outline.thickness,
        "mean_width_m": area / (end - start),
        "least_width_m": float(outline.narrow_width.min()),
        "outline": _kept(outline),
        # Edges taken as straight from face to face: two faces do not tell how they bulge.
        "volume_m3": outline.thickness * area,
        "tally": counted,
        "tally_unit": "m3" if counting.unit is TallyUnit.M3 else "bf",
        "tally_rule": f"{counting.rule.value}, {counting.unit.value}",
    }


def rule_sentence(counting: Counting) -> str:
    """The rule in one sentence, to stand beside a tally."""
    return rule_text(counting.rule, counting.unit)


def _kept(outline: SlabOutline) -> Mapping[str, Any]:
    return {
        "z_m": outline.z.tolist(),
        "upper_edges_m": outline.upper.tolist(),
        "lower_edges_m": outline.lower.tolist(),
    }
