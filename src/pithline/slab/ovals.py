"""Ovals and rounds inside a slab or a glued pair.

An oval of one proportion is a circle in a slab squeezed along its length by that
proportion, and the largest circle in a polygon is found to a tolerance that is said.
So a round and an oval of given size are exact to it; the largest oval searches the
proportion by steps. Ovals lie along the slab, they are not turned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from pithline.errors import BadValue
from pithline.slab.clear import Band
from pithline.slab.fits import Fit, Form

if TYPE_CHECKING:
    from shapely import Polygon

__all__ = ["TOLERANCE", "glued", "largest_oval", "largest_round", "oval_of", "polygons"]

TOLERANCE = 1e-4  # [m], on the half width of an oval
_HAIR = 1e-9  # [m]


def polygons(bands: Sequence[Band]) -> list[Polygon]:
    """Each band as a polygon."""
    from shapely import Polygon

    return [Polygon(band.ring) for band in bands]


def largest_round(wood: Sequence[Polygon]) -> Fit | None:
    """The largest circle, to `TOLERANCE`; None where there is no wood."""
    found = [f for p in wood if (f := _at_proportion(p, 1.0))]
    return max(found, key=lambda f: f.area, default=None)


def largest_oval(wood: Sequence[Polygon], longest: float = 12.0) -> Fit | None:
    """The ellipse of the largest area along the slab.

    Parameters
    ----------
    wood : sequence of Polygon
    longest : float
        Most times that it may be longer than wide.

    Returns
    -------
    Fit or None

    Notes
    -----
    Proportions from 1 to `longest` in steps of 8 %, the best one refined between its
    neighbours. In a slab without bays there is one maximum and this finds it; with
    bays a larger one could hide between two steps.
    """
    proportions = np.geomspace(1.0, longest, max(2, math.ceil(math.log(longest) / 0.08)))
    best: Fit | None = None
    for polygon in wood:
        fits = [_at_proportion(polygon, float(p)) for p in proportions]
        areas = [f.area if f else 0.0 for f in fits]
        top = int(np.argmax(areas))
        low = float(proportions[max(top - 1, 0)])
        high = float(proportions[min(top + 1, len(proportions) - 1)])
        fits += [_at_proportion(polygon, float(p)) for p in np.linspace(low, high, 12)]
        best = max((f for f in [best, *fits] if f), key=lambda f: f.area, default=None)
    return best


def oval_of(wood: Sequence[Polygon], length: float, width: float) -> Fit | None:
    """Where an oval of a given size, or a round where both are equal, has the most room.

    Parameters
    ----------
    wood : sequence of Polygon
    length, width : float
        [m]

    Returns
    -------
    Fit or None
        Of just that size; None where it does not fit.

    Raises
    ------
    BadValue
        A size of 0 or less, or one that is wider than long.
    """
    if not 0 < width <= length < math.inf:
        raise BadValue("oval", f"{length} m x {width} m", "longer than wide, and more than 0 m")
    proportion = length / width
    for polygon in wood:
        room = _at_proportion(polygon, proportion)
        if room and room.width >= width - 2 * TOLERANCE:
            form = Form.ROUND if proportion == 1 else Form.OVAL
            return Fit(form, length, width, room.z, room.across)
    return None


def glued(first: Sequence[Band], second: Sequence[Band], joint: tuple[float, float]) -> list[Polygon]:
    """Both slabs of a pair, cut straight at a joint and laid edge to edge.

    Parameters
    ----------
    first, second : sequence of Band
    joint : (float, float)
        Across the first slab and across the second: the first keeps what lies above its
        line, the second what lies below its own. [m]

    Returns
    -------
    list of Polygon
        In the first slab's z; the joint is the line across = 0.
    """
    from shapely import MultiPolygon, box, union_all
    from shapely.affinity import translate

    far = 1e3
    halves = [
        translate(union_all(polygons(first)), 0, -joint[0]).intersection(box(-far, 0, far, far)),
        translate(union_all(polygons(second)), 0, -joint[1]).intersection(box(-far, -far, far, 0)),
    ]
    # A hair of overlap closes the joint, which would otherwise stay a line between two polygons.
    whole = union_all([h.buffer(TOLERANCE / 10) for h in halves]).buffer(-TOLERANCE / 10)
    parts = whole.geoms if isinstance(whole, MultiPolygon) else [whole]
    return [p for p in parts if p.area > 0]


def _at_proportion(polygon: Polygon, proportion: float) -> Fit | None:
    """Largest ellipse so many times longer than wide."""
    import shapely
    from shapely.affinity import scale

    if polygon.area < _HAIR:
        return None
    squeezed = scale(polygon, 1 / proportion, 1.0, origin=(0, 0))
    with np.errstate(divide="ignore", invalid="ignore"):  # a sliver makes GEOS divide by its length
        (x, y), on_edge = shapely.maximum_inscribed_circle(squeezed, tolerance=TOLERANCE).coords
    radius = math.hypot(on_edge[0] - x, on_edge[1] - y)
    if radius <= TOLERANCE:
        return None
    form = Form.ROUND if proportion == 1 else Form.OVAL
    return Fit(form, 2 * radius * proportion, 2 * radius, x * proportion, y)
