"""A slab once dry: its outline, its cup, what planing it flat takes, and what was lost."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.dry_section import DrySections, dry_sections
from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline
from pithline.slab.tallying import face_area
from pithline.wood.facts import Species
from pithline.wood.shrinkage import fibre_saturation, shrinkage_to, totals

__all__ = ["DrySlab", "Drying", "Lost", "dry_slab", "drying_of", "lost"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Drying:
    """Shrinkage from green to one moisture. [fraction]"""

    radial: float
    tangential: float


@dataclass(frozen=True, slots=True, eq=False)
class DrySlab:
    """A slab dried to one moisture.

    Attributes
    ----------
    rough : SlabOutline
        Rough dry; stations as green (wood hardly shrinks along the grain, 0.1 to 0.2 % of
        normal wood, Wood Handbook FPL-GTR-190, 2010, Ch. 4), widths straight across,
        thickness the mean. [m]
    flat : SlabOutline
        Planed flat on both faces to one thickness. [m]
    thinnest : float
        Rough dry, of any station with wood. [m]
    cup : float
        Largest over the stations. [m]
    planing : float
        Mean rough dry thickness less the flat one. [m]
    ripped : float
        Flat thickness where it is first ripped in two along the pith, or along its middle where
        the pith is not in its width, and each half is laid flat by itself. [m]
    check : float
        Largest opening of the check of a slab with the pith in it; 0 without. [m]
    sections : DrySections
        The shapes themselves.
    """

    rough: SlabOutline
    flat: SlabOutline
    thinnest: float
    cup: float
    planing: float
    ripped: float
    check: float
    sections: DrySections


@dataclass(frozen=True, slots=True)
class Lost:
    """Where a green slab's wood went, over its usable run. [m3]

    Attributes
    ----------
    green, dry, flat : float
        By mean width of both faces: as sawn, rough dry, planed flat.
    shrunk, planed : float
        The two steps between.
    """

    green: float
    dry: float
    flat: float

    @property
    def shrunk(self) -> float:
        """Lost to drying, with the check of a slab that holds the pith not counted."""
        return self.green - self.dry

    @property
    def planed(self) -> float:
        """Lost to planing both faces flat."""
        return self.dry - self.flat


def drying_of(species: Species, moisture: float) -> tuple[Drying, Drying, Drying]:
    """Shrinkage of a wood to a moisture: one in ten less, the middle, one in ten more.

    Parameters
    ----------
    species : Species
    moisture : float
        Dry basis. [fraction]

    Raises
    ------
    BadValue
        Not a moisture; a wood of which nothing is known.

    Notes
    -----
    Both directions rise together: a piece that shrinks much along the rings does so across
    them too, more or less (a simplification).
    """
    if not 0 <= moisture < 4:
        raise BadValue("moisture", moisture, "a fraction from 0 up (8 % is 0.08)", 'Write "8 %".')
    total, point = totals(species), fibre_saturation(species)
    low, mid, high = (
        Drying(
            *(float(shrinkage_to(getattr(e, b), moisture, point)) for e in (total.radial, total.tangential))
        )
        for b in ("low", "mid", "high")
    )
    return low, mid, high


def dry_slab(
    outline: SlabOutline, height: float, drying: Drying, run: tuple[float, float] | None = None
) -> DrySlab:
    """Dry one slab.

    Parameters
    ----------
    outline : SlabOutline
        Green.
    height : float
        Of mid-slab above the pith line, signed. [m]
    drying : Drying
    run : (start, end), optional
        Stations that must carry the flat thickness; all with wood if left out. [m]

    Returns
    -------
    DrySlab

    Raises
    ------
    BadValue
        An empty run, or what `dry_sections` refuses.

    Notes
    -----
    Cup and flattening are of a slab that lies free; weight on top and stickers hold it
    flatter, so this is the careful side. Bow and twist come from grain that slopes or
    spirals, which nobody has measured on the log: they are not in it. The edge is taken as
    straight between the faces.
    """
    found = dry_sections(
        outline.upper, outline.lower, outline.thickness, height, drying.radial, drying.tangential
    )
    wood = outline.wide_width > 0
    start, end = run if run is not None else _with_wood(outline.z, wood)
    used = wood & (outline.z >= start - 1e-9) & (outline.z <= end + 1e-9)
    if not np.any(used):
        raise BadValue("run of the slab", f"{start:g} to {end:g} m", "one with wood at a station")
    thick = float(found.thickness[used].mean())
    flat = float(found.flat[used].min())
    rough = SlabOutline(
        outline.z, _edges(found.upper, found.upper_width), _edges(found.lower, found.lower_width), thick
    )
    planed = SlabOutline(
        outline.z,
        _edges(found.upper, found.flat_upper_width),
        _edges(found.lower, found.flat_lower_width),
        flat,
    )
    return DrySlab(
        rough,
        planed,
        float(found.thickness[used].min()),
        float(found.cup[used].max()),
        thick - flat,
        _ripped(outline, height, drying, used),
        float(found.check[used].max()),
        found,
    )


def lost(green: SlabOutline, dry: DrySlab, start: float, end: float) -> Lost:
    """Wood in the slab over its usable run: as sawn, rough dry, planed flat.

    Parameters
    ----------
    green : SlabOutline
    dry : DrySlab
    start, end : float
        [m]

    Returns
    -------
    Lost
    """
    volumes = (
        each.thickness * face_area(each.z, (each.upper_width + each.lower_width) / 2, start, end)
        for each in (green, dry.rough, dry.flat)
    )
    return Lost(*volumes)


def _ripped(outline: SlabOutline, height: float, drying: Drying, used: NDArray[np.bool_]) -> float:
    """Flat thickness of the two halves, the thinner one. [m]"""
    faces = outline.upper[used], outline.lower[used]
    left = np.minimum(faces[0][:, :1], faces[1][:, :1])
    right = np.maximum(faces[0][:, 1:], faces[1][:, 1:])
    # One straight rip: along the pith if every station has wood on both sides of it.
    along_pith = bool(np.all((left < 0) & (right > 0)))
    at = np.zeros_like(left) if along_pith else (left + right) / 2
    halves = []
    for side in (0, 1):
        upper, lower = (np.minimum(face, at) if side == 0 else np.maximum(face, at) for face in faces)
        half = dry_sections(upper, lower, outline.thickness, height, drying.radial, drying.tangential)
        halves.append(float(half.flat.min()))
    return min(halves)


def _edges(face: Floats, width: Floats) -> Floats:
    """Left and right edge of a face of that width, about its own middle."""
    middle = (face[:, 0, 0] + face[:, -1, 0]) / 2
    return np.stack([middle - width / 2, middle + width / 2], axis=1)


def _with_wood(z: Floats, wood: NDArray[np.bool_]) -> tuple[float, float]:
    at = z[wood]
    return (float(at[0]), float(at[-1])) if len(at) else (math.inf, -math.inf)
