"""No plan whatever takes fewer layers than this."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.contact import Floor
from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.partition import incidence, relaxed

__all__ = ["layers_at_least", "narrowest_amid"]

Floats = NDArray[np.float64]

_AREA, _AMID = 1000, 140  # units of a whole layer; what a slab takes is rounded down to them


def narrowest_amid(slab: Footprint, floor: Floor) -> float:
    """Least width that a slab takes of the middle of the floor, wherever it lies. [m]

    Notes
    -----
    A slab longer than half the floor always lies across its middle with some place between
    (its length - half the floor) and half the floor from its near end; 0 for a shorter one.
    Askew, the line across meets both edges at places a little apart along the slab, so the
    edges are taken at their closest within that.
    """
    half, long = floor.length / 2, slab.length
    # Askew, the ends move by no more than this along the floor.
    drift = slab.width * math.sin(floor.skew) + long * (1 - math.cos(floor.skew))
    low, high = long - half - drift, half + drift
    if long * math.cos(floor.skew) - drift <= half:
        return 0.0
    low, high = max(0.0, min(low, long - high)), min(long, max(high, long - low))
    z = np.linspace(low, high, 200)
    apart = slab.width * math.tan(floor.skew) + (z[1] - z[0])
    left, right = np.interp(z, slab.z, slab.left), np.interp(z, slab.z, slab.right)
    near = np.abs(z[:, None] - z[None, :]) <= apart
    return max(0.0, float(np.where(near, right[None, :] - left[:, None], np.inf).min()))


def layers_at_least(slabs: Sequence[Footprint], floor: Floor, known: Iterable[Sequence[int]]) -> int:
    """A lower bound on the layers of any plan that lays these slabs along the floor.

    Parameters
    ----------
    slabs : sequence of Footprint
        Of one thickness.
    floor : Floor
    known : iterable of sequence of int
        Groups that fit, to begin with; together they hold every slab.

    Returns
    -------
    layers : int

    Notes
    -----
    What shares a layer can have no more area than the floor, nor more width at its middle than
    the floor has; the linear programme over all groups that keep these two rules, of which the
    real ones are a part, is solved by column generation: the dearest group is found exactly
    (`bound_kernel.fill`), and Farley's rule gives a bound at every step.
    """
    from pithline.dry.laying.bound_kernel import fill

    area = np.array([math.floor(slab.area / floor.area * _AREA + 1e-9) for slab in slabs], dtype=np.int64)
    amid = np.array(
        [math.floor(narrowest_amid(slab, floor) / floor.width * _AMID + 1e-9) for slab in slabs],
        dtype=np.int64,
    )
    best = math.ceil(sum(slab.area for slab in slabs) / floor.area - 1e-9)
    groups: dict[tuple[int, ...], None] = {tuple(sorted(group)): None for group in known}
    chosen = np.zeros(len(slabs), np.bool_)
    for _ in range(400):
        duals = relaxed(incidence(list(groups), len(slabs)))
        dearest = float(fill(area, amid, duals.worth, _AREA, _AMID, chosen))
        best = max(best, math.ceil(duals.value / max(dearest, 1.0) - 1e-6))
        group = tuple(int(i) for i in np.flatnonzero(chosen))
        if dearest <= 1 + 1e-7 or group in groups or best >= math.ceil(duals.value - 1e-6):
            break
        groups[group] = None
    return best
