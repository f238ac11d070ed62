"""From the thickness that is wanted to the thickness that is sawn, and back.

Three names, never mixed: green (as sawn), rough dry (dried, not flattened: what
8/4 or 12/4 means) and finished (dried and flattened).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline import units
from pithline.errors import BadValue
from pithline.saw.aims import SizeKind, ThicknessAim
from pithline.saw.grain import mean_sin2
from pithline.slab.tallying import NOMINAL_QUARTERS
from pithline.units import INCH

__all__ = [
    "dry_thickness",
    "finished_thickness",
    "flattening_for",
    "green_for_finished",
    "green_for_rough_dry",
    "green_thickness",
    "mean_shrinkage",
    "ring_shrinkage",
    "round_up",
    "same_aim",
    "sold_as",
    "thickness_aim",
]

Floats = NDArray[np.float64]
Flattening = Sequence[tuple[float, float]]

# By first letter: people write rough-dry, Rough Dry, roughdry.
_KINDS = {"g": SizeKind.GREEN, "r": SizeKind.ROUGH_DRY, "f": SizeKind.FINISHED}


def thickness_aim(text: object, field: str = "aims.thickness") -> ThicknessAim:
    """Read one entry of the thickness menu.

    Parameters
    ----------
    text : object
        ``12/4`` (rough dry by the trade's meaning), ``80 mm green``,
        ``60 mm finished``, ``76 mm rough dry``, ``3" green``.
    field : str
        Named in a refusal.

    Returns
    -------
    ThicknessAim

    Raises
    ------
    BadValue
        A size that does not say which of the three thicknesses it is; a quarter
        name that claims to be green or finished.
    """
    if not isinstance(text, str):
        raise BadValue(field, text, "a thickness", 'Write "12/4", "80 mm green" or "60 mm finished".')
    found = re.fullmatch(r"(.+?)[\s,]+(green|rough[\s-]?dry|finished)", text.strip(), re.IGNORECASE)
    size_text = found[1] if found else text.strip()
    kind = _KINDS[found[2][0].lower()] if found else None
    quarters = units.quarters(size_text)
    if quarters is not None:
        if kind not in (None, SizeKind.ROUGH_DRY):
            remedy = f'Write "{size_text}", or a size such as "{quarters / 4:g} in {kind}".'
            raise BadValue(field, text, "rough dry, which is what a quarter name means", remedy)
        return ThicknessAim(size_text.replace(" ", ""), SizeKind.ROUGH_DRY, units.length(size_text), quarters)
    size = units.length(size_text, field)
    if kind is None:
        choices = ", ".join(f'"{size_text} {name}"' for name in _KINDS.values())
        remedy = f"Write {choices}: as sawn, dried but not flattened, or dried and flattened."
        raise BadValue(field, text, "a thickness that says which one it is", remedy)
    if not 0.003 <= size <= 1.0:
        raise BadValue(field, text, "3 mm to 1 m", "Look at the unit.")
    return ThicknessAim(f"{size_text} {kind}", kind, size)


def same_aim(one: ThicknessAim, other: ThicknessAim) -> bool:
    """Whether two entries mean the same thickness, however written: 8 cm and 80 mm."""
    return one.kind is other.kind and math.isclose(one.size, other.size, abs_tol=1e-6)


def mean_shrinkage(radial: ArrayLike, tangential: ArrayLike) -> Floats:
    """Shrinkage of a board whose rings may lie any way: midway between the two.

    Used for quarter names, which promise a thickness without saying where in the
    log the slab lay (the mean is our reading; common practice, no source).
    """
    return 0.5 * (np.asarray(radial, dtype=np.float64) + np.asarray(tangential, dtype=np.float64))


def ring_shrinkage(
    left: ArrayLike, right: ArrayLike, height: ArrayLike, radial: ArrayLike, tangential: ArrayLike
) -> Floats:
    """Shrinkage through the thickness of a slab, by how its rings lie.

    Parameters
    ----------
    left, right : array_like
        Edges across the slab, from the pith, signed. [m]
    height : array_like
        Mid-slab above the pith line, signed. [m]
    radial, tangential : array_like
        From green to the aims' moisture. [fraction]

    Returns
    -------
    shrinkage : ndarray
        Mean over the width. [fraction]

    Notes
    -----
    radial + (tangential - radial) sin^2 of the ring angle, taken along mid-height. A
    slab that boxes the pith is thereby called wholly quartersawn: a little thick, on
    the safe side.
    """
    r, t = np.asarray(radial, dtype=np.float64), np.asarray(tangential, dtype=np.float64)
    return np.asarray(r + (t - r) * mean_sin2(left, right, height))


def round_up(size: ArrayLike, step: float) -> Floats:
    """Size [m] rounded up to the mill's step; a size already on it stays."""
    # 1e-6 of a step forgives binary dust: 0.080 / 0.001 is 80.00000000000001.
    return np.ceil(np.asarray(size, dtype=np.float64) / step - 1e-6) * step


def flattening_for(width: ArrayLike, flattening: Flattening) -> Floats:
    """Flattening allowance of a slab, by its width.

    Parameters
    ----------
    width : array_like
        [m]
    flattening : sequence of (width, allowance)
        Rising widths, each "up to and including". [m]

    Returns
    -------
    allowance : ndarray
        [m]; the last one for anything wider.
    """
    limits = np.array([limit for limit, _ in flattening])
    allowances = np.array([allowance for _, allowance in flattening])
    # 1e-9: 0.3 m typed in inches or summed from parts is still 300 mm.
    at = np.searchsorted(limits, np.asarray(width, dtype=np.float64) - 1e-9)
    return np.asarray(allowances[np.minimum(at, len(allowances) - 1)])


def green_for_rough_dry(size: ArrayLike, shrinkage: ArrayLike, variation: ArrayLike = 0.0) -> Floats:
    """Green thickness [m] for a rough dry one: size / (1 - shrinkage) + sawing variation."""
    size, shrinkage = np.asarray(size, dtype=np.float64), np.asarray(shrinkage, dtype=np.float64)
    return np.asarray(size / (1 - shrinkage) + np.asarray(variation, dtype=np.float64))


def green_for_finished(
    size: ArrayLike,
    width: ArrayLike,
    left: ArrayLike,
    right: ArrayLike,
    height: ArrayLike,
    radial: ArrayLike,
    tangential: ArrayLike,
    flattening: Flattening,
    variation: ArrayLike = 0.0,
) -> Floats:
    """Green thickness that leaves a finished one after drying and flattening.

    Parameters
    ----------
    size : array_like
        Finished. [m]
    width : array_like
        Of the slab, for the flattening allowance. [m]
    left, right, height, radial, tangential : array_like
        See `ring_shrinkage`.
    flattening : sequence of (width, allowance)
        [m]
    variation : array_like
        Sawing variation. [m]

    Returns
    -------
    green : ndarray
        Not yet rounded to the mill's step. [m]
    """
    dry = np.asarray(size, dtype=np.float64) + flattening_for(width, flattening)
    return green_for_rough_dry(dry, ring_shrinkage(left, right, height, radial, tangential), variation)


def dry_thickness(green: ArrayLike, shrinkage: ArrayLike, variation: ArrayLike = 0.0) -> Floats:
    """Rough dry thickness [m] of a green one: the inverse of `green_for_rough_dry`.

    With `variation` it is what the thinnest place still holds, without it the mean.
    """
    green, shrinkage = np.asarray(green, dtype=np.float64), np.asarray(shrinkage, dtype=np.float64)
    return np.asarray((green - np.asarray(variation, dtype=np.float64)) * (1 - shrinkage))


def finished_thickness(
    green: ArrayLike,
    width: ArrayLike,
    left: ArrayLike,
    right: ArrayLike,
    height: ArrayLike,
    radial: ArrayLike,
    tangential: ArrayLike,
    flattening: Flattening,
    variation: ArrayLike = 0.0,
) -> Floats:
    """Finished thickness of a green one: the inverse of `green_for_finished`.

    Never below 0: a thin wide slab may flatten away.

    Returns
    -------
    finished : ndarray
        [m]
    """
    dry = dry_thickness(green, ring_shrinkage(left, right, height, radial, tangential), variation)
    return np.maximum(dry - flattening_for(width, flattening), 0.0)


def green_thickness(
    aim: ThicknessAim, radial: float, tangential: float, variation: float, step: float
) -> float:
    """Green thickness of one entry of the menu, where it does not depend on the slab.

    Parameters
    ----------
    aim : ThicknessAim
        Green or rough dry.
    radial, tangential : float
        Shrinkage from green to the aims' moisture. [fraction]
    variation, step : float
        Sawing variation; the mill's step, rounded up to. [m]

    Returns
    -------
    green : float
        [m]

    Raises
    ------
    BadValue
        A finished aim, which needs the slab's width and ring angle.

    Notes
    -----
    Rough dry: size / (1 - mean shrinkage) + variation, no flattening.
    """
    if aim.kind is SizeKind.FINISHED:
        raise BadValue("aims.thickness", aim.label, "green or rough dry", "Use green_for_finished.")
    if aim.kind is SizeKind.GREEN:
        return float(round_up(aim.size, step))
    return float(round_up(green_for_rough_dry(aim.size, mean_shrinkage(radial, tangential), variation), step))


def sold_as(green: float, radial: float, tangential: float) -> int | None:
    """Nominal thickness that a green slab is sold as.

    Parameters
    ----------
    green : float
        [m]
    radial, tangential : float
        Shrinkage from green to the moisture it is sold at. [fraction]

    Returns
    -------
    quarters : int or None
        The largest nominal thickness that it still holds on average once dry; None
        below 2/4.
    """
    dry = float(dry_thickness(green, mean_shrinkage(radial, tangential)))
    held = [q for q in NOMINAL_QUARTERS if q * INCH / 4 <= dry + 1e-9]
    return max(held) if held and not math.isnan(dry) else None
