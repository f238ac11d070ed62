"""From a slab's outline to what the book keeps of it: sizes, volume and tally by the book's rule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyRule, TallyUnit
from pithline.slab.tallying import face_area, rule_text, tally, tally_width
from pithline.units import quarters
from pithline.yard.preferences import setting

__all__ = [
    "Counting",
    "book_counting",
    "columns",
    "outline_of",
    "rule_sentence",
]

UNITS = {"m3": TallyUnit.M3, "bf as sawn": TallyUnit.BF_SAWN, "bf nominal": TallyUnit.BF_NOMINAL}


@dataclass(frozen=True, slots=True)
class Counting:
    """The rule by which a tally was made; it is kept beside the figure."""

    rule: TallyRule
    unit: TallyUnit


def book_counting() -> Counting:
    """The book's own tally rule."""
    return Counting(TallyRule(setting("tally")), UNITS[setting("unit")])


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
