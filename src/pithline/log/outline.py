"""A log's cross-section as a polygon, from what a tape can say about it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "POINTS",
    "angles",
    "ellipse",
    "extent",
    "from_around",
    "from_readings",
    "mean_diameter",
    "ray_length",
    "scaled",
]

Floats = NDArray[np.float64]

POINTS = 120

_STEP = 2 * math.pi / POINTS
# A polygon inscribed in a circle or ellipse holds sin(step)/step of its area; all outlines
# are drawn this much larger, so that their area is that of the smooth curve.
_SWELL = math.sqrt(_STEP / math.sin(_STEP))


def angles() -> Floats:
    """Angle parameter of every vertex, from +x anticlockwise, shape (points,). [rad]"""
    return np.arange(POINTS, dtype=np.float64) * _STEP


def from_readings(right: float, up: float, left: float, down: float) -> Floats:
    """Outline from four readings from the pith mark to the edge.

    Quarter-ellipse arcs join neighbouring readings, so an off-centre pith and an
    uneven log are kept; equal readings give a circle.

    Parameters
    ----------
    right, up, left, down : float
        Seen from the butt, each more than 0. [m]

    Returns
    -------
    outline : ndarray, shape (POINTS, 2)
        About the pith mark; its area is pi/4 (right up + up left + left down + down right). [m]

    Notes
    -----
    Vertices lie at equal steps of the ellipse's own angle parameter. Vertex k of two
    outlines then stays on a quarter ellipse between them when they are interpolated.
    """
    t = angles()
    cos, sin = np.cos(t), np.sin(t)
    x = np.where(cos >= 0, right, left) * cos
    y = np.where(sin >= 0, up, down) * sin
    drawn: Floats = _SWELL * np.stack([x, y], axis=-1)
    return drawn


def from_around(angle: Floats, reach: Floats) -> Floats:
    """Outline from readings all round the pith mark; may have bays, as at a crotch.

    Parameters
    ----------
    angle : ndarray, shape (readings,)
        Anticlockwise from +x, in any order, no two alike. [rad]
    reach : ndarray, shape (readings,)
        From the pith mark to the edge. [m]

    Returns
    -------
    outline : ndarray, shape (POINTS, 2)
        About the pith mark, vertices at equal polar angles, with the smooth curve's area. [m]

    Notes
    -----
    Reach over angle is a periodic monotone cubic: between two readings it never leaves
    their range, so no lobe is invented that the tape has not touched.

    References
    ----------
    .. [1] Fritsch & Butland, A method for constructing local monotone piecewise cubic
       interpolants, SIAM J. Sci. Stat. Comput. 5, 1984, 300-304 (from memory).
    """
    order = np.argsort(angle % (2 * math.pi))
    knots, reach = (angle % (2 * math.pi))[order], reach[order]
    knots, ends = np.append(knots, knots[0] + 2 * math.pi), np.append(reach, reach[0])
    step = np.diff(knots)
    rise = np.diff(ends) / step
    before, rise_before = np.roll(step, 1), np.roll(rise, 1)
    weight = (step + 2 * before) / (3 * (step + before))
    mixed = weight * rise_before + (1 - weight) * rise
    same_way = rise * rise_before > 0
    slope = np.where(same_way, rise * rise_before / np.where(same_way, mixed, 1.0), 0.0)
    slope = np.append(slope, slope[0])

    def at(k: NDArray[np.intp], f: Floats) -> Floats:
        own, following = (1 + 2 * f) * (1 - f) ** 2, f**2 * (3 - 2 * f)
        bend = step[k] * (f * (1 - f) ** 2 * slope[k] - f**2 * (1 - f) * slope[k + 1])
        value: Floats = own * ends[k] + following * ends[k + 1] + bend
        return value

    t = angles()
    turned = knots[0] + (t - knots[0]) % (2 * math.pi)
    k = np.clip(np.searchsorted(knots, turned, side="right") - 1, 0, step.size - 1)
    r = at(k, (turned - knots[k]) / step[k])
    # The area of r^2/2 over the angle: a polynomial of degree 6 on each piece, so 4 Gauss points are exact.
    nodes, weights = np.polynomial.legendre.leggauss(4)
    pieces = np.arange(step.size)[:, None]
    area = float(np.sum(step[:, None] / 4 * weights * at(pieces, (nodes + 1) / 2) ** 2))
    drawn_area = 0.5 * math.sin(_STEP) * float(np.sum(r * np.roll(r, -1)))
    drawn: Floats = math.sqrt(area / drawn_area) * r[:, None] * np.stack([np.cos(t), np.sin(t)], axis=-1)
    return drawn


def ellipse(across: float, tall: float, pith_right: float = 0.0, pith_up: float = 0.0) -> Floats:
    """Outline from two diameters and the pith's place from the middle.

    Parameters
    ----------
    across, tall : float
        Full diameters, level and upright. [m]
    pith_right, pith_up : float, optional
        Pith mark from the middle of the section. [m]

    Returns
    -------
    outline : ndarray, shape (POINTS, 2)
        About the pith mark, area pi/4 across tall. [m]
    """
    about_middle = from_readings(across / 2, tall / 2, across / 2, tall / 2)
    about_pith: Floats = about_middle - np.array([pith_right, pith_up])
    return about_pith


def scaled(
    form: Floats, diameter: float | None = None, across: float | None = None, tall: float | None = None
) -> Floats:
    """The same form about the same pith, at another size.

    Parameters
    ----------
    form : ndarray, shape (POINTS, 2)
        [m]
    diameter : float, optional
        Wanted mean diameter (of the circle of equal area). [m]
    across, tall : float, optional
        Wanted extent, level and upright; one alone scales both ways. [m]
    """
    if diameter is not None:
        return form * (diameter / mean_diameter(form))
    width, height = extent(form)
    across_by = across / width if across is not None else None
    tall_by = tall / height if tall is not None else None
    resized: Floats = form * np.array([across_by or tall_by or 1.0, tall_by or across_by or 1.0])
    return resized


def extent(outline: Floats) -> tuple[float, float]:
    """Width and height of the smooth curve that an outline stands for. [m]"""
    span = np.ptp(outline, axis=0) / _SWELL
    return float(span[0]), float(span[1])


def mean_diameter(outline: Floats) -> float:
    """Diameter of the circle of equal area. [m]"""
    from pithline.log.shape import polygon_areas

    return math.sqrt(4 * float(polygon_areas(outline)) / math.pi)


def ray_length(outline: Floats, angle: float) -> float:
    """From the origin outward to the farthest crossing of the outline.

    Parameters
    ----------
    outline : ndarray, shape (points, 2)
        Holds the origin. [m]
    angle : float
        Anticlockwise from +x. [rad]
    """
    along = np.array([math.cos(angle), math.sin(angle)])
    aside = np.array([-along[1], along[0]])
    a, b = outline, np.roll(outline, -1, axis=0)
    side_a, side_b = a @ aside, b @ aside
    crossing = (side_a <= 0) != (side_b <= 0)
    f = side_a[crossing] / (side_a[crossing] - side_b[crossing])
    reach = (a[crossing] @ along) * (1 - f) + (b[crossing] @ along) * f
    return float(reach.max()) if reach.size else 0.0
