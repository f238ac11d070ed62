"""Least squares that an odd sale cannot pull away, leaning on what is known beforehand."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue

__all__ = ["HUBER", "Robust", "huber_fit"]

Floats = NDArray[np.float64]
# Huber's constant: 95 % as good as least squares where the errors are normal after all.
HUBER = 1.345
# Mean of psi^2 of a standard normal at that constant: makes the scale right for normal errors.
_PSI_SQUARED = 0.7101645
# Median of |normal| is 0.6745 of its standard deviation; where the search for the scale starts.
_MAD = 0.6744897501960817
# Never quite 0, or rows that fit exactly would weigh infinitely.
_LEAST = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Robust:
    """A robust linear fit.

    Attributes
    ----------
    slopes : ndarray, shape (columns,)
    covariance : ndarray, shape (columns, columns)
        Of `slopes`.
    scale : float
        Robust standard deviation of what the fit leaves.
    weights : ndarray, shape (rows,)
        1 where a row counts in full, less where it lies far off.
    left : ndarray, shape (rows,)
        Residuals.
    leverage : ndarray, shape (rows,)
        How far each row pulls its own fitted value. [fraction]
    """

    slopes: Floats
    covariance: Floats
    scale: float
    weights: Floats
    left: Floats
    leverage: Floats


def huber_fit(
    x: Floats,
    y: Floats,
    prior: Floats,
    doubt: Floats,
    *,
    scale: float | None = None,
    about: float = 0.0,
    about_rows: float = 0.0,
) -> Robust:
    """Fit y = x b by Huber's loss, with a normal prior on each slope.

    Parameters
    ----------
    x : ndarray, shape (rows, columns)
    y : ndarray, shape (rows,)
    prior, doubt : ndarray, shape (columns,)
        Mean and standard deviation of each slope beforehand; infinite doubt = no prior.
    scale : float, optional
        Standard deviation of the errors; found along with the slopes where left out.
    about, about_rows : float
        What the scale is beforehand: as if so many rows had scattered by that much.

    Returns
    -------
    Robust

    Raises
    ------
    BadValue
        Not finite, or rows and columns that do not match.

    Notes
    -----
    Minimises sum rho((y - x b)/s) + sum ((b - prior)/doubt)^2 / 2, rho(z) = z^2/2 up to 1.345,
    1.345 |z| - 1.345^2/2 beyond, by reweighted least squares; s by Huber's second proposal,
    sum psi^2 = 0.710 (rows - slopes fitted), slopes held by the prior counted in part (a
    median of so few residuals would call the scatter far too small). The covariance is
    the sandwich H^-1 (k J + P) H^-1 with J the rows' information, P the prior's,
    H = J + P and k = K^2 [sum psi^2/(rows - slopes)] / mean psi', K = 1 + slopes/rows
    (1 - mean psi')/mean psi'.

    References
    ----------
    Huber, P. J., *Robust Statistics*, 1981 (loss, constant and covariance from memory; the
    slopes are checked against a general optimiser).
    """
    if x.ndim != 2 or y.shape != x.shape[:1] or prior.shape != x.shape[1:] or doubt.shape != prior.shape:
        raise BadValue("table of the fit", f"{x.shape}, {y.shape}, {prior.shape}", "of matching shapes")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise BadValue("table of the fit", "a gap", "finite throughout")
    firm = np.where(np.isfinite(doubt), 1 / doubt**2, 0.0)
    slopes = _solve(x, y, np.ones(len(y)), firm, prior, float(np.std(y)) or 1.0)
    left = y - x @ slopes
    spread = scale or max(float(np.median(np.abs(left))) / _MAD, about, _LEAST)
    for _ in range(500):
        before, held = slopes, spread
        weights = _weights(left, spread)
        slopes = _solve(x, y, weights, firm, prior, spread)
        left = y - x @ slopes
        if scale is None:
            psi = np.minimum(np.abs(left) / spread, HUBER)
            free = max(len(y) - _taken(x, weights, firm, spread), 0.0) * _PSI_SQUARED
            known = about_rows * about**2
            if free + about_rows > 0:
                spread = math.sqrt((float(psi @ psi) * spread**2 + known) / (free + about_rows))
            spread = max(spread, _LEAST)
        moved = float(np.max(np.abs(slopes - before), initial=0.0))
        if moved < 1e-10 and abs(spread - held) < 1e-9 * spread:
            break
    weights = _weights(left, spread)
    inside = np.abs(left) <= HUBER * spread
    told = _squared(x, inside[:, None] * x) / spread**2
    turned = np.linalg.pinv(told + np.diag(firm))
    # Rows beyond the bend still steer by their sign: psi^2 of all over psi' of all, and Huber's
    # correction for the slopes that so few rows had to give.
    psi = np.minimum(np.abs(left) / spread, HUBER)
    part, taken = max(float(np.mean(inside)), 0.1), _taken(x, weights, firm, spread)
    few = 1 + taken / len(y) * (1 - part) / part
    stretch = few**2 * float(psi @ psi) / max(len(y) - taken, 1.0) / part
    covariance = turned @ (stretch * told + np.diag(firm)) @ turned
    leverage = np.einsum("ij,jk,ik->i", x, turned, x) / spread**2 * weights
    return Robust(slopes, covariance, spread, weights, left, np.clip(leverage, 0.0, 0.999))


def _squared(x: Floats, weighted: Floats) -> Floats:
    """Weighted X'X, without the threads of a matrix library: on a busy machine they wait for long."""
    return np.asarray(np.einsum("ij,ik->jk", x, weighted))


def _weights(left: Floats, spread: float) -> Floats:
    size = np.abs(left) / spread
    return np.asarray(HUBER / np.maximum(size, HUBER))


def _solve(x: Floats, y: Floats, weights: Floats, firm: Floats, prior: Floats, scale: float) -> Floats:
    """Weighted least squares with the prior as further rows."""
    weighted = x * (weights / scale**2)[:, None]
    matrix = _squared(x, weighted) + np.diag(firm)
    right = weighted.T @ y + firm * prior
    return np.asarray(np.linalg.lstsq(matrix, right, rcond=None)[0])


def _taken(x: Floats, weights: Floats, firm: Floats, spread: float) -> float:
    """Degrees of freedom that the slopes took, fewer where the prior holds them."""
    matrix = _squared(x, x * weights[:, None]) / spread**2
    return float(np.trace(np.linalg.pinv(matrix + np.diag(firm)) @ matrix))
