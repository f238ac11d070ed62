"""The log and its slabs as bodies of triangles, to be turned on a screen."""

from __future__ import annotations

import json
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.saw.plan import Plan, PlannedSlab
from pithline.sheets.placing import rolled

__all__ = ["Body", "bodies", "solid_json"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

_AROUND = 48  # points of the bark round the log: enough for the eye


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One closed body in the frame of the saw: x right, y up along the cut normal.

    z runs towards the person at the butt, from minus the length at the top to 0: only
    so is the frame right-handed, as every program for bodies takes it to be.

    Attributes
    ----------
    name : str
        "log" for the wood under bark, or the slab's number.
    points : ndarray, shape (points, 3)
        [m]
    triangles : ndarray, shape (triangles, 3)
        Indices of points, anticlockwise seen from outside.
    """

    name: str
    points: Floats
    triangles: Whole


def bodies(plan: Plan) -> tuple[Body, ...]:
    """The log under bark and every slab of the plan."""
    return (_log(plan), *(_slab(plan, slab) for slab in plan.slabs))


def solid_json(plan: Plan) -> str:
    """The bodies as compact JSON: whole tenths of millimetres, flat lists, slabs with what a label needs."""
    told = []
    for body, slab in zip(bodies(plan), (None, *plan.slabs), strict=True):
        one: dict[str, object] = {
            "name": body.name,
            "points": np.round(body.points * 1e4).astype(int).ravel().tolist(),
            "triangles": body.triangles.ravel().tolist(),
        }
        if slab is not None:
            one |= {"middle_m": round((slab.upper + slab.lower) / 2, 4), "pith": slab.holds_pith}
        told.append(one)
    document = {"unit_m": 1e-4, "length_m": plan.shape.length, "bodies": told}
    return json.dumps(document, separators=(",", ":"))


def _log(plan: Plan) -> Body:
    """Wood under bark as a tube with two ends."""
    outlines = rolled(plan.shape.outlines, plan.roll)
    every = max(1, outlines.shape[1] // _AROUND)
    outlines = outlines[:, ::every]
    z = np.broadcast_to(-plan.shape.z[:, None], outlines.shape[:2])
    return _tube("log", np.concatenate([outlines, z[..., None]], axis=2))


def _slab(plan: Plan, slab: PlannedSlab) -> Body:
    """Four edges along the log; where a face has run out of the wood its two edges meet."""
    o = slab.outline
    tilt = plan.pitch * (o.z - plan.shape.length / 2)
    corners = [
        (o.lower[:, 0], slab.lower),
        (o.lower[:, 1], slab.lower),
        (o.upper[:, 1], slab.upper),
        (o.upper[:, 0], slab.upper),
    ]
    # Where neither face is in the wood the slab has ended: it is closed there.
    there = np.flatnonzero((o.upper_width > 1e-9) | (o.lower_width > 1e-9))
    rows = slice(int(there[0]), int(there[-1]) + 1) if there.size else slice(0, 2)
    rings = np.stack([np.stack([x, height + tilt, -o.z], axis=1) for x, height in corners], axis=1)[rows]
    return _tube(str(slab.number), rings)


def _tube(name: str, rings: Floats) -> Body:
    """Close rings of points, shape (rings, around, 3), anticlockwise seen from the butt, into a body."""
    count, around = rings.shape[:2]
    points = rings.reshape(-1, 3)
    here = np.arange(around)
    after = (here + 1) % around
    triangles = []
    for n in range(count - 1):
        a, b = n * around + here, n * around + after
        c, d = a + around, b + around
        triangles += [np.stack([a, c, b], axis=1), np.stack([b, c, d], axis=1)]
    middle = np.array([rings[0].mean(axis=0), rings[-1].mean(axis=0)])
    first, last = len(points), len(points) + 1
    end = (count - 1) * around
    triangles.append(np.stack([np.full(around, first), here, after], axis=1))
    triangles.append(np.stack([np.full(around, last), end + after, end + here], axis=1))
    return Body(name, np.concatenate([points, middle]), np.concatenate(triangles).astype(np.int64))
