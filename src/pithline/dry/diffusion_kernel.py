"""Moisture through half a slab's thickness, stepped through changing air; compiled by numba.

`tests/dry/twin.py` says the same with a general integrator, docs/drying.md in words.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

__all__ = ["march", "march_all"]

# Two stages, L-stable, of second order with any Jacobian (J. G. Verwer, E. J. Spee, J. G. Blom and
# W. Hundsdorfer 1999, A second-order Rosenbrock method applied to photochemical dispersion problems,
# SIAM J. Sci. Comput. 20:1456-1480; from memory, and proved by the test of its order).
_GAMMA = 1.0 - math.sqrt(0.5)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _potential(m, rise, full, wet_slope):  # type: ignore[no-untyped-def]
    """Integral of exp(rise m) from 0, its slope held above fibre saturation; and that slope."""
    if m >= full:
        return (wet_slope - 1.0) / rise + wet_slope * (m - full), wet_slope
    slope = math.exp(rise * m)
    return (slope - 1.0) / rise, slope


@njit(cache=True, nogil=True, error_model="numpy")
def _surface(phi, slope, near, film, emc, rise, full, wet_slope, guess):  # type: ignore[no-untyped-def]
    """Flux out of the face, its slope by the last cell's moisture, and the face's moisture.

    What diffuses over the last half cell is what the air takes: film (min(face, full) - emc). A face
    wetter than fibre saturation gives off no faster than a wet one.
    """
    if math.isinf(film):
        low, _ = _potential(emc, rise, full, wet_slope)
        return near * (phi - low), near * slope, emc
    top = (wet_slope - 1.0) / rise
    if film * (full - emc) <= near * (phi - top):
        flux = film * (full - emc)
        return flux, 0.0, full + ((phi - top) - flux / near) / wet_slope
    face = min(guess, full)
    grow = 1.0
    for _ in range(20):
        low, grow = _potential(face, rise, full, wet_slope)
        change = (film * (face - emc) - near * (phi - low)) / (film + near * grow)
        face = min(face - change, full)
        if abs(change) < 1e-14:
            break
    return film * (face - emc), near * slope * film / (film + near * grow), face


@njit(cache=True, nogil=True, error_model="numpy")
def _rates(m, widths, links, near, diff, film, emc, rise, full, out, slopes, guess):  # type: ignore[no-untyped-def]
    """Rate of change of each cell; flux out of the face, its slope, the face's moisture."""
    n = m.shape[0]
    wet_slope = math.exp(rise * full)
    before, slopes[0] = _potential(m[0], rise, full, wet_slope)
    inflow = 0.0
    for i in range(1, n):
        here, slopes[i] = _potential(m[i], rise, full, wet_slope)
        flow = diff * links[i - 1] * (before - here)
        out[i - 1] = (inflow - flow) / widths[i - 1]
        inflow, before = flow, here
    flux, steep, face = _surface(before, slopes[n - 1], diff * near, film, emc, rise, full, wet_slope, guess)
    out[n - 1] = (inflow - flux) / widths[n - 1]
    return flux, steep, face


@njit(cache=True, nogil=True, error_model="numpy")
def _factor(h, widths, links, diff, slopes, steep, lower, pivot, upper):  # type: ignore[no-untyped-def]
    """Triangular factors of 1 - h J, J the tridiagonal Jacobian."""
    n = widths.shape[0]
    for i in range(n):
        left = diff * links[i - 1] if i > 0 else 0.0
        right = diff * links[i] if i < n - 1 else 0.0
        scale = h / widths[i]
        out = right * slopes[i] if i < n - 1 else steep
        diagonal = 1.0 + scale * (left * slopes[i] + out)
        upper[i] = -scale * right * slopes[i + 1] if i < n - 1 else 0.0
        if i > 0:
            lower[i] = -scale * left * slopes[i - 1] * pivot[i - 1]
            diagonal -= lower[i] * upper[i - 1]
        pivot[i] = 1.0 / diagonal


@njit(cache=True, nogil=True, error_model="numpy")
def _solve(lower, pivot, upper, x):  # type: ignore[no-untyped-def]
    n = x.shape[0]
    for i in range(1, n):
        x[i] -= lower[i] * x[i - 1]
    x[n - 1] *= pivot[n - 1]
    for i in range(n - 2, -1, -1):
        x[i] = (x[i] - upper[i] * x[i + 1]) * pivot[i]


@njit(cache=True, nogil=True, error_model="numpy")
def _between(s, h, a, b, rate_a, rate_b):  # type: ignore[no-untyped-def]
    """Cubic through both ends of a step and both slopes, at the share `s` of it."""
    r = 1.0 - s
    return (1 + 2 * s) * r * r * a + s * s * (3 - 2 * s) * b + h * s * r * (r * rate_a - s * rate_b)


@njit(cache=True, nogil=True, error_model="numpy")
def _crossing(h, a, b, rate_a, rate_b, target):  # type: ignore[no-untyped-def]
    """Share of a step at which that cubic falls to `target`, which lies between its ends."""
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        if _between(middle, h, a, b, rate_a, rate_b) > target:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


@njit(cache=True, nogil=True, error_model="numpy")
def march(  # type: ignore[no-untyped-def]
    m, half, widths, links, near, ends, phases, diffs, films, emcs, until,
    rise, full, tolerance, longest, times, targets, means, faces, profiles, reached, tally,
):  # fmt: skip
    """Dry one slab through every stretch of air; `m` is its profile and is changed.

    `widths`, `links`, `near` are the mesh (cells from mid-thickness to the face, one over the
    distances between them, and from the last to the face). Each stretch of air has an end [s, from its own
    phase's begin], a phase, and its coefficients; a phase also ends when the mean falls to `until`.
    Fills: mean, face and profile at `times`, the times at which the mean falls to `targets`
    (infinite: never), and `tally`: steps taken, steps refused, water given off [m], end [s].
    """
    n = m.shape[0]
    f, g = np.empty(n), np.empty(n)
    k1, k2, new = np.empty(n), np.empty(n), np.empty(n)
    slopes, idle = np.empty(n), np.empty(n)
    lower, pivot, upper, error = np.empty(n), np.empty(n), np.empty(n), np.empty(n)
    reached[:] = math.inf
    asked, clock, given, steps, refused = 0, 0.0, 0.0, 0, 0
    mean = 0.0
    for i in range(n):
        mean += widths[i] * m[i] / half
    for q in range(targets.shape[0]):
        if mean <= targets[q]:
            reached[q] = 0.0
    face = m[n - 1]
    step = 0.0
    j, begin = 0, 0.0
    while j < ends.shape[0]:
        if j > 0 and phases[j] != phases[j - 1]:
            begin = clock
        diff, film, emc = diffs[j], films[j], emcs[j]
        end = begin + ends[j]
        flux, steep, face = _rates(
            m, widths, links, near, diff, film, emc, rise, full, f, slopes, min(max(face, 0.0), full)
        )
        while asked < times.shape[0] and times[asked] <= clock:
            means[asked], faces[asked] = mean, face
            if profiles.shape[0] > 0:
                profiles[asked] = m
            asked += 1
        # The air has changed: the last step is too long for what happens at the face now.
        step = step * 0.05 if step > 0.0 else 1e-4 * half * half / (diff * math.exp(rise * full))
        left_phase = until[j] > 0.0 and mean <= until[j]
        while clock < end * (1 - 1e-13) and not left_phase:
            h = min(step, longest, end - clock)
            # Two equal last steps rather than a long and a tiny one.
            if h < end - clock < 1.5 * h:
                h = 0.5 * (end - clock)
            _factor(_GAMMA * h, widths, links, diff, slopes, steep, lower, pivot, upper)
            for i in range(n):
                k1[i] = f[i]
            _solve(lower, pivot, upper, k1)
            for i in range(n):
                new[i] = m[i] + h * k1[i]
            flux_g, _, face_g = _rates(
                new, widths, links, near, diff, film, emc, rise, full, g, idle, min(max(face, 0.0), full)
            )
            for i in range(n):
                k2[i] = g[i] - 2.0 * k1[i]
            _solve(lower, pivot, upper, k2)
            wrong = 0.0
            for i in range(n):
                error[i] = 0.5 * h * (k1[i] + k2[i])
            # Once more through the matrix: what is stiff must not shorten the step.
            _solve(lower, pivot, upper, error)
            for i in range(n):
                wrong += widths[i] * error[i] * error[i]
            wrong = math.sqrt(wrong / half)
            if wrong > tolerance:
                refused += 1
                step = h * max(0.1, 0.9 * math.sqrt(tolerance / wrong))
                continue
            if until[j] > 0.0:
                fresh = 0.0
                for i in range(n):
                    fresh += widths[i] * (m[i] + h * (1.5 * k1[i] + 0.5 * k2[i])) / half
                if fresh < until[j] - 1e-5 and h > 1.0:  # past the mark: to the mark, no further
                    refused += 1
                    step = h * min(0.99, (mean - until[j]) / (mean - fresh))
                    continue
            steps += 1
            z1 = flux + _GAMMA * h * steep * k1[n - 1]
            z2 = flux_g - 2.0 * z1 + _GAMMA * h * steep * k2[n - 1]
            given += h * (1.5 * z1 + 0.5 * z2)
            fresh = 0.0
            for i in range(n):
                new[i] = m[i] + h * (1.5 * k1[i] + 0.5 * k2[i])
                fresh += widths[i] * new[i] / half
            flux_new, steep, face_new = _rates(
                new, widths, links, near, diff, film, emc, rise, full, g, slopes, min(max(face_g, 0.0), full)
            )
            for q in range(targets.shape[0]):
                if math.isinf(reached[q]) and fresh <= targets[q]:
                    s = _crossing(h, mean, fresh, -flux / half, -flux_new / half, targets[q])
                    reached[q] = clock + s * h
            upto = clock + h
            if until[j] > 0.0 and fresh <= until[j]:
                left_phase = True
            while asked < times.shape[0] and times[asked] <= upto:
                s = (times[asked] - clock) / h
                means[asked] = _between(s, h, mean, fresh, -flux / half, -flux_new / half)
                faces[asked] = face + s * (face_new - face)
                if profiles.shape[0] > 0:
                    for i in range(n):
                        profiles[asked, i] = _between(s, h, m[i], new[i], f[i], g[i])
                asked += 1
            for i in range(n):
                m[i], f[i] = new[i], g[i]
            mean, flux, face, clock = fresh, flux_new, face_new, upto
            if asked == times.shape[0] and targets.shape[0] > 0 and not np.any(np.isinf(reached)):
                tally[0], tally[1], tally[2], tally[3] = steps, refused, given, clock
                return  # nothing more was asked
            step = h * min(4.0, 0.9 * math.sqrt(tolerance / wrong)) if wrong > 0.0 else 4.0 * h
        j += 1
        if left_phase:
            while j < ends.shape[0] and phases[j] == phases[j - 1]:
                j += 1
    while asked < times.shape[0]:
        means[asked], faces[asked] = (
            (mean, face) if times[asked] <= clock * (1 + 1e-12) else (math.nan, math.nan)
        )
        if profiles.shape[0] > 0:
            for i in range(n):
                profiles[asked, i] = m[i] if times[asked] <= clock * (1 + 1e-12) else math.nan
        asked += 1
    tally[0], tally[1], tally[2], tally[3] = steps, refused, given, clock


@njit(cache=True, nogil=True, error_model="numpy")
def march_all(  # type: ignore[no-untyped-def]
    starts, factors, half, widths, links, near, ends, phases, diffs, films, emcs, until,
    rise, full, tolerance, times, targets, means, faces, profiles, reached, tally,
):  # fmt: skip
    """`march` for each draw: uniform start, rate factor, and the air's own row where there are several."""
    n = widths.shape[0]
    m = np.empty(n)
    none = np.empty((0, n))
    for q in range(starts.shape[0]):
        row = q if diffs.shape[0] > 1 else 0
        m[:] = starts[q]
        march(
            m, half, widths, links, near, ends, phases,
            diffs[row] * factors[q], films[row] * factors[q], emcs[row], until,
            rise, full, tolerance, math.inf, times, targets,
            means[q], faces[q], profiles[q] if profiles.shape[0] > 0 else none, reached[q], tally[q],
        )  # fmt: skip
