"""The shape that a slab's section dries to, by how its rings lie.

Wood that shrinks `r` along the radius and `t` along the ring, rings being circles about the
pith, moves as a fan does: a point at radius R and angle a comes to rest at radius R (1 - r) and
angle a (1 - t)/(1 - r). Nothing is strained beyond its shrinkage, so this is the shape of a free
slab, cup and all, and needs no further law. Only a section that holds the pith cannot close:
a fan spread all round opens at one radius, which is the check that such slabs get.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue

__all__ = ["DrySections", "dry_sections", "fan"]

Floats = NDArray[np.float64]

_ACROSS = 41  # points along each face: the sagitta between two is under 1/1,600 of the cup
_RIM = 1e-3  # a pith so near an edge is at the edge: nothing hangs beyond it that could part [m]
_STEEPEST = 0.5  # tilt searched for the flattening planes [rad]
_GOLDEN = (math.sqrt(5) - 1) / 2


@dataclass(frozen=True, slots=True, eq=False)
class DrySections:
    """Sections of a slab once dry, free to move, each laid so that most can be planed flat.

    All of shape (stations,) but for the points.

    Attributes
    ----------
    upper, lower : ndarray, shape (stations, points, 2)
        Points along the faces, left to right and height, from the middle of the dry
        section. [m]
    upper_width, lower_width : ndarray
        Between the edges of each face, straight across. [m]
    thickness : ndarray
        Mean between the faces. [m]
    cup : ndarray
        Largest gap under a straightedge from edge to edge, of the face that hollows more; 0
        where there is no wood. [m]
    flat : ndarray
        Thickness left when both faces are planed flat over the whole width; may be 0. [m]
    flat_upper_width, flat_lower_width : ndarray
        Width of the planed faces. [m]
    hollow_up : ndarray of bool
        Whether the upper face is the one that hollows.
    check : ndarray
        Opening at the face, of the check that a section with the pith in it gets. [m]
    """

    upper: Floats
    lower: Floats
    upper_width: Floats
    lower_width: Floats
    thickness: Floats
    cup: Floats
    flat: Floats
    flat_upper_width: Floats
    flat_lower_width: Floats
    hollow_up: NDArray[np.bool_]
    check: Floats


def fan(x: Floats, y: Floats, radial: float, tangential: float, away: Floats) -> tuple[Floats, Floats]:
    """Where points of a section come to rest.

    Parameters
    ----------
    x, y : ndarray
        Across and along the normal, from the pith. [m]
    radial, tangential : float
        Shrinkage from green. [fraction]
    away : ndarray, broadcastable
        Direction that stays, from the vertical, clockwise; the section opens opposite. [rad]

    Returns
    -------
    x, y : ndarray
        [m]

    Notes
    -----
    Exact for rings that are circles about the pith, the same shrinkage everywhere and a slab
    that nothing holds down. No drying stress and no growth stress.
    """
    # From -pi to pi about the direction that stays.
    turned = np.arctan2(x, y) - away
    turned = turned - 2 * np.pi * np.round(turned / (2 * np.pi))
    angle = away + turned * (1 - tangential) / (1 - radial)
    radius = np.hypot(x, y) * (1 - radial)
    return np.asarray(radius * np.sin(angle)), np.asarray(radius * np.cos(angle))


def dry_sections(
    upper: Floats, lower: Floats, thickness: float, height: float, radial: float, tangential: float
) -> DrySections:
    """Dry the sections of one slab.

    Parameters
    ----------
    upper, lower : ndarray, shape (stations, 2)
        Left and right edge of both faces, across the slab from the pith line. [m]
    thickness : float
        Green. [m]
    height : float
        Of mid-slab above the pith line, signed. [m]
    radial, tangential : float
        Shrinkage from green to the moisture it is dried to. [fraction]

    Returns
    -------
    DrySections

    Raises
    ------
    BadValue
        No thickness, edges out of order, or shrinkages that no wood has.
    """
    upper, lower = np.asarray(upper, dtype=np.float64), np.asarray(lower, dtype=np.float64)
    if not 0 < thickness < 1:
        raise BadValue("thickness", thickness, "more than 0 and under 1 m", 'Write "12/4" or "80 mm".')
    if not math.isfinite(height):
        raise BadValue("height", height, "the height of mid-slab above the pith", 'Write "10 cm".')
    for name, value in (("radial shrinkage", radial), ("tangential shrinkage", tangential)):
        if not 0 <= value < 0.5:
            raise BadValue(name, value, "a fraction from 0 to 0.5 (9 % is 0.09)")
    if upper.shape != lower.shape or upper.ndim != 2 or upper.shape[1] != 2:
        raise BadValue("edges", f"{upper.shape} and {lower.shape}", "left and right at the same stations")
    if not (np.all(upper[:, 0] <= upper[:, 1]) and np.all(lower[:, 0] <= lower[:, 1])):
        raise BadValue("edges", "right of left", "left first, then right, at every station")
    along = np.linspace(0.0, 1.0, _ACROSS)
    faces = []
    for edges, y in ((upper, height + thickness / 2), (lower, height - thickness / 2)):
        x = edges[:, :1] + (edges[:, 1:] - edges[:, :1]) * along
        faces.append((x, np.full_like(x, y)))
    away, boxed = _stays(upper, lower, thickness, height)
    moved = [np.stack(fan(x, y, radial, tangential, away[:, None]), axis=2) for x, y in faces]
    # Through the thickness along what was upright, where both faces have wood.
    inner = np.stack([np.maximum(upper[:, 0], lower[:, 0]), np.minimum(upper[:, 1], lower[:, 1])], axis=1)
    inner = np.where(inner[:, :1] < inner[:, 1:], inner, inner.mean(axis=1, keepdims=True))
    x = inner[:, :1] + (inner[:, 1:] - inner[:, :1]) * along
    ends = [fan(x, np.full_like(x, y[0, 0]), radial, tangential, away[:, None]) for _, y in faces]
    through = np.hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]).mean(axis=1)
    check = np.where(boxed, _opening(thickness, height, radial, tangential), 0.0)
    return _measured(moved[0], moved[1], through, check)


def _stays(upper: Floats, lower: Floats, thickness: float, height: float) -> tuple[Floats, NDArray[np.bool_]]:
    """Direction from the pith that keeps its place, and which sections hold the pith."""
    middle = (upper.mean(axis=1) + lower.mean(axis=1)) / 2
    left, right = np.minimum(upper[:, 0], lower[:, 0]), np.maximum(upper[:, 1], lower[:, 1])
    boxed = (abs(height) < thickness / 2) & (left < -_RIM) & (right > _RIM)
    # A section with the pith in it opens through its nearer face; any other keeps its middle.
    return np.where(boxed, 0.0 if height >= 0 else np.pi, np.arctan2(middle, height)), boxed


def _opening(thickness: float, height: float, radial: float, tangential: float) -> float:
    """Gap at the face that lies nearest the pith. [m]"""
    shrunk = (thickness / 2 - abs(height)) * (1 - radial)
    return max(2 * shrunk * math.sin(math.pi * (tangential - radial) / (1 - radial)), 0.0)


def _measured(top: Floats, bottom: Floats, through: Floats, check: Floats) -> DrySections:
    every = np.concatenate([top, bottom], axis=1)
    centre = (every.max(axis=1) + every.min(axis=1))[:, None, :] / 2
    top, bottom = top - centre, bottom - centre
    tilt = _best_tilt(top, bottom)
    top, bottom = _turn(top, -tilt), _turn(bottom, -tilt)
    widths = [np.hypot(*(face[:, -1] - face[:, 0]).T) for face in (top, bottom)]
    hollows = [_hollow(top, 1.0), _hollow(bottom, -1.0)]
    above, below = top[..., 1].min(axis=1), bottom[..., 1].max(axis=1)
    wood = np.maximum(widths[0], widths[1]) > 0
    flat = np.where(wood, np.maximum(above - below, 0.0), 0.0)
    left, right = (_edge_at(top[:, i], bottom[:, i], above, below) for i in (0, -1))
    planed = [
        np.where(flat > 0, np.maximum(end - start, 0.0), 0.0) for start, end in zip(left, right, strict=True)
    ]
    return DrySections(
        top,
        bottom,
        widths[0],
        widths[1],
        np.where(wood, through, 0.0),
        np.maximum(*hollows),
        flat,
        planed[0],
        planed[1],
        hollows[0] >= hollows[1],
        check,
    )


def _hollow(face: Floats, outward: float) -> Floats:
    """Deepest gap under a straightedge from edge to edge. [m]"""
    chord = face[:, -1] - face[:, 0]
    long = np.hypot(chord[:, 0], chord[:, 1])
    rel = face - face[:, :1]
    with np.errstate(invalid="ignore", divide="ignore"):
        above = (chord[:, None, 0] * rel[..., 1] - chord[:, None, 1] * rel[..., 0]) / long[:, None]
    return np.where(long > 0, np.maximum(np.max(-outward * np.nan_to_num(above), axis=1), 0.0), 0.0)


def _best_tilt(top: Floats, bottom: Floats) -> Floats:
    """Tilt of two parallel planes that leaves most between them, shape (stations,). [rad]

    The gap upright is a concave function of the planes' slope, and so has one top; golden section
    finds it.
    """
    low, high = np.full(len(top), -_STEEPEST), np.full(len(top), _STEEPEST)
    for _ in range(40):  # 0.618^40: to a billionth
        one, two = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        lower = _between(top, bottom, one) < _between(top, bottom, two)
        low, high = np.where(lower, one, low), np.where(lower, high, two)
    return np.asarray((low + high) / 2)


def _between(top: Floats, bottom: Floats, tilt: Floats) -> Floats:
    slope = np.tan(tilt)[:, None]
    above = (top[..., 1] - slope * top[..., 0]).min(axis=1)
    below = (bottom[..., 1] - slope * bottom[..., 0]).max(axis=1)
    return np.asarray((above - below) * np.cos(tilt))


def _turn(points: Floats, angle: Floats) -> Floats:
    c, s = np.cos(angle)[:, None], np.sin(angle)[:, None]
    x, y = points[..., 0], points[..., 1]
    return np.stack([x * c - y * s, x * s + y * c], axis=2)


def _edge_at(top: Floats, bottom: Floats, above: Floats, below: Floats) -> tuple[Floats, Floats]:
    """Where a live edge, straight between the faces, meets the two planed faces."""
    rise = top[:, 1] - bottom[:, 1]
    run = top[:, 0] - bottom[:, 0]
    with np.errstate(invalid="ignore", divide="ignore"):
        share = [np.where(rise > 0, np.clip((y - bottom[:, 1]) / rise, 0, 1), 0.0) for y in (above, below)]
    return bottom[:, 0] + share[0] * run, bottom[:, 0] + share[1] * run
