"""Draws of two unknowns that go where the likelihood is, and what they are then worth."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["FREEDOM", "fitted_to", "normals", "possible", "quantiles", "weighed"]

Floats = NDArray[np.float64]

# Of Student's t from which later rounds are drawn: its tails reach further than a normal's.
FREEDOM = 5.0


def quantiles(values: Floats, weights: Floats, points: Sequence[float]) -> Floats:
    """Weighted quantiles; values may be infinite.

    Parameters
    ----------
    values, weights : ndarray, shape (draws,)
    points : sequence of float
        [fraction]

    Returns
    -------
    quantiles : ndarray, shape (points,)
        The first value at which the running weight passes each point.
    """
    order = np.argsort(values, kind="stable")
    running = np.cumsum(weights[order])
    at = np.searchsorted(running, np.asarray(points) * running[-1])
    return np.asarray(values[order][np.minimum(at, len(values) - 1)])


def normals(rng: np.random.Generator, draws: int) -> Floats:
    """Pairs of normal numbers, each of the two spread evenly (a Latin square): less scatter of quantiles."""
    from scipy.special import ndtri

    ranks = np.stack([rng.permutation(draws) for _ in range(2)], axis=1)
    return np.asarray(ndtri((ranks + rng.random((draws, 2))) / draws))


def weighed(
    points: Floats,
    logs: Floats,
    rounds: Sequence[tuple[Floats, Floats] | None],
    middle: Floats,
    spread: Floats,
) -> Floats:
    """Prior times likelihood over the mean density of all rounds, adding up to 1."""
    prior = np.exp(-(((points - middle) / spread) ** 2).sum(axis=1) / 2) / (2 * math.pi * spread.prod())
    drawn = sum(prior if one is None else _student(points, *one) for one in rounds) / len(rounds)
    with np.errstate(divide="ignore"):
        log = logs + np.log(prior) - np.log(drawn)
    weights = np.exp(log - log.max())
    return np.asarray(weights / weights.sum())


def _student(points: Floats, centre: Floats, shape: Floats) -> Floats:
    """Density of a two-dimensional Student's t."""
    away = np.linalg.solve(shape, (points - centre).T)
    inside = 1 + (away**2).sum(axis=0) / FREEDOM
    return np.asarray(inside ** -((FREEDOM + 2) / 2) / (2 * math.pi * abs(np.linalg.det(shape))))


def fitted_to(points: Floats, weights: Floats, spread: Floats) -> tuple[Floats, Floats]:
    """Middle of the weighted draws, and the lower triangle of their covariance."""
    # Few draws carry the weight at first: temper them so that the next round does not collapse.
    effective = 1 / (weights**2).sum()
    even = weights ** min(1.0, max(effective / 40, 0.2))
    even = even / even.sum()
    centre = even @ points
    rel = points - centre
    covariance = (rel * even[:, None]).T @ rel
    # Never narrower than a thirtieth of the prior.
    return centre, np.linalg.cholesky(1.2 * covariance + np.diag((spread / 30) ** 2))


def possible(points: Floats, middle: Floats, spread: Floats) -> Floats:
    """Heavy tails may ask for what no wood does: beyond six deviations nothing is weighed anyway."""
    high = np.minimum(middle + 6 * spread, [4.0, math.log(2.9)])
    return np.asarray(np.clip(points, middle - 6 * spread, high))
