"""The kernel's equations in plain numpy, stepped by a general integrator."""

from __future__ import annotations

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from pithline.dry.air import Air
from pithline.dry.diffusion import DAY
from pithline.dry.diffusivity import Diffusivity
from pithline.dry.profile import Mesh

__all__ = ["by_general_solver"]


def by_general_solver(
    thickness: float, air: Air, times: np.ndarray, start: float, wood: Diffusivity, cells: int,
    rtol: float = 1e-8, atol: float = 1e-10,
) -> np.ndarray:  # fmt: skip
    """Mean moisture at `times` [days]; restarted at each change of the air."""
    mesh = Mesh.of(thickness, cells)
    between = -np.diff(mesh.depths)
    m, at, begin, means = np.full(cells, start), 0.0, 0.0, np.full(len(times), np.nan)
    for i in range(len(air.ends)):
        diff = float(wood.dry(air.temperature[i])) * air.pace[i]
        film = float(wood.exchange(air.temperature[i])) * air.film[i]

        def rates(_, y, diff=diff, film=film, rest=air.emc[i]):
            flux = -diff * np.diff(_potential(y, wood)) / between
            out = _leaving(y[-1], diff / mesh.depths[-1], film, rest, wood)
            return np.diff(np.concatenate([[0.0], -flux, [-out]])) / mesh.widths

        if i and air.phases[i] != air.phases[i - 1]:
            begin = at
        upto = begin + air.ends[i]
        asked = np.flatnonzero((times >= at) & (times < upto))
        found = solve_ivp(
            rates, (at * DAY, upto * DAY), m, "BDF", np.append(times[asked], upto) * DAY, rtol=rtol, atol=atol
        )
        means[asked] = found.y[:, :-1].T @ mesh.widths / mesh.half
        m, at = found.y[:, -1], upto
    return means


def _potential(m, wood):
    low = (np.exp(wood.rise * np.minimum(m, wood.full)) - 1) / wood.rise
    return low + np.exp(wood.rise * wood.full) * np.maximum(m - wood.full, 0)


def _leaving(last, near, film, rest, wood):
    """Flux at which diffusion to the face and the film agree."""

    def off(face):
        return film * (min(face, wood.full) - rest) - near * (_potential(last, wood) - _potential(face, wood))

    face = brentq(off, min(last, rest) - 0.1, max(last, rest) + 0.1, xtol=1e-14)
    return film * (min(face, wood.full) - rest)
