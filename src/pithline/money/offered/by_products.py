"""What a log gives beside its slabs: firewood, the opening slab, turning blanks, sawdust."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["BY_PRODUCTS", "ByProducts", "by_products"]

Floats = NDArray[np.float64]

BY_PRODUCTS = ("firewood", "opening slab", "blanks", "sawdust")


@dataclass(frozen=True, slots=True)
class ByProducts:
    """What else the log gives, in the user's prices; 0 where it is not sold.

    Attributes
    ----------
    firewood : float
        For a solid cubic metre of what is no slab. [money/m3]
    firewood_share : float
        Of that wood, what is worth splitting. [fraction]
    opening : float
        For the opening slab, as it is. [money]
    blanks, blank_price : float
        Turning blanks from crotch and burl; each. [count, money]
    sawdust : float
        For a solid cubic metre of kerf. [money/m3]
    """

    firewood: float = 0.0
    firewood_share: float = 0.7
    opening: float = 0.0
    blanks: float = 0.0
    blank_price: float = 0.0
    sawdust: float = 0.0


def by_products(
    by: ByProducts,
    log: ArrayLike,
    slabs: ArrayLike,
    kerf: ArrayLike,
    opening: ArrayLike = 0.0,
    sawn: ArrayLike = 1.0,
) -> dict[str, Floats]:
    """What they bring, at the user's prices.

    Parameters
    ----------
    by : ByProducts
    log : array_like
        Wood under bark. [m3]
    slabs : array_like
        Solid, as sawn. [m3]
    kerf : array_like
        Wood that went into dust. [m3]
    opening : array_like
        The piece above the first cut. [m3]
    sawn : array_like of bool
        Whether the log is sawn at all.

    Returns
    -------
    dict
        By the names of `BY_PRODUCTS`. [money]

    Notes
    -----
    Firewood is what is neither slab nor dust, times the share worth splitting; an opening slab that has
    a price of its own is not burnt as well. Their own hours are not in it.
    """
    cut = np.asarray(kerf, dtype=np.float64)
    kept = np.asarray(opening, dtype=np.float64) * (by.opening > 0)
    rest = np.maximum(np.asarray(log) - np.asarray(slabs) - cut - kept, 0.0)
    yes = np.asarray(sawn, dtype=np.float64)
    return {
        "firewood": by.firewood * by.firewood_share * rest,
        "opening slab": by.opening * yes,
        "blanks": by.blanks * by.blank_price * yes,
        "sawdust": by.sawdust * cut,
    }
