"""Rates and premiums out of known sales, with the error shown."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.money.price.piece import Piece, Sale
from pithline.money.price.premiums import PREMIUMS
from pithline.money.price.robust import huber_fit

__all__ = ["NINE_IN_TEN", "SCATTER", "Factor", "Fit", "fit_prices"]

Floats = NDArray[np.float64]
# How far species, uses, asked prices and years may move a price: standard deviations of ln, guesses.
_SPECIES, _USE, _ASKED, _YEAR = 0.5, 0.3, (math.log(1.15), 0.15), 0.05
# Before any sale, like pieces are taken to scatter by a fifth, as if four sales had shown it; a guess.
SCATTER, SCATTER_SALES = 0.2, 4.0
# A normal variable lies below this many standard deviations nine times in ten.
NINE_IN_TEN = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class Factor:
    """What one mark does to the price per board foot.

    Attributes
    ----------
    key, words, unit_words : str
    low, mid, high : float
        Factor at 10, 50 and 90 %.
    custom : float
        Factor by custom.
    own : float
        How far it rests on the sales, 0 custom alone to 1 sales alone. [fraction]
    sales : int
        In how many sales the mark was other than plain.
    source : str
        Of the custom.
    """

    key: str
    words: str
    unit_words: str
    low: float
    mid: float
    high: float
    custom: float
    own: float
    sales: int
    source: str


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """A model of prices: ln(price per board foot) is a sum over marks.

    Attributes
    ----------
    species, uses : tuple of str
        In the order of their columns.
    slopes, covariance : ndarray
        Columns: base, premiums, asked, years, species, uses.
    custom, doubt : ndarray
        The prior of each column.
    scale : float
        Robust standard deviation of ln price about the fit.
    left_out : float
        Median of |error| when each sale is foretold by the others. [fraction]
    seen : ndarray of int
        Sales in which each column is other than 0.
    light : tuple of str
        Names of sales that count for less than half: look at them again.
    year : float
        Day, in years, that prices are brought to: that of the latest sale.
    sales : int
    """

    species: tuple[str, ...]
    uses: tuple[str, ...]
    slopes: Floats
    covariance: Floats
    custom: Floats
    doubt: Floats
    scale: float
    left_out: float
    seen: NDArray[np.int64]
    light: tuple[str, ...]
    year: float
    sales: int

    @property
    def scatter(self) -> float:
        """By how much like pieces scatter about the fit, two thirds of them. [fraction]"""
        return math.expm1(self.scale)

    def expected(self, piece: Piece) -> tuple[float, float, float]:
        """Price per board foot that a sale brings at 10, 50 and 90 %. [money/bf]

        The range holds both what the fit does not know and how sales scatter about it.
        """
        row = self._row(piece)
        mid = float(row @ self.slopes)
        error = math.sqrt(float(row @ self.covariance @ row) + self.scale**2)
        low, high = mid - NINE_IN_TEN * error, mid + NINE_IN_TEN * error
        return math.exp(low), math.exp(mid), math.exp(high)

    def lines(self, piece: Piece) -> list[tuple[str, float]]:
        """Why: the base per board foot, then each factor that is not 1; their product is the middle."""
        row = self._row(piece)
        parts = row * self.slopes
        names = _names(self.species, self.uses)
        # A species that never sold yet stands at the base of all.
        base = parts[0] + sum(parts[n] for n, (key, _) in enumerate(names) if key.startswith("species "))
        found = [(f"plain green 1 in board, {piece.species}, per bf", math.exp(float(base)))]
        for n, (key, words) in enumerate(names):
            if n and not key.startswith("species ") and row[n] != 0:
                found.append((words, math.exp(float(parts[n]))))
        return found

    def factors(self) -> list[Factor]:
        """Every premium with its range, and how far it is the user's own."""
        found = []
        for n, premium in enumerate(PREMIUMS, 1):
            found.append(
                self._factor(n, premium.key, premium.words, premium.unit_words, premium.unit, premium.source)
            )
        base = 1 + len(PREMIUMS)
        found.append(self._factor(base, "asked", "asked, not paid", "where it is so", 1.0, "a guess"))
        found.append(self._factor(base + 1, "year", "later", "for each year", 1.0, "a guess: no change"))
        for n, (key, words) in enumerate(_names(self.species, self.uses)[base + 2 :], base + 2):
            found.append(self._factor(n, key, words, "against all sales", 1.0, "a guess: no difference"))
        return found

    def _factor(self, n: int, key: str, words: str, unit_words: str, unit: float, source: str) -> Factor:
        mid, error = float(self.slopes[n]), math.sqrt(max(float(self.covariance[n, n]), 0.0))
        low, high = (math.exp((mid + sign * NINE_IN_TEN * error) * unit) for sign in (-1, 1))
        own = 1 - min((error / float(self.doubt[n])) ** 2, 1.0)
        custom = math.exp(float(self.custom[n]) * unit)
        return Factor(
            key, words, unit_words, low, math.exp(mid * unit), high, custom, own, int(self.seen[n]), source
        )

    def _row(self, piece: Piece) -> Floats:
        return _row(piece, False, 0.0, self.species, self.uses)


def fit_prices(sales: Sequence[Sale]) -> Fit:
    """Fit rates and premiums to known sales.

    Parameters
    ----------
    sales : sequence of Sale
        Own sales and noted comparables, of any species.

    Returns
    -------
    Fit

    Raises
    ------
    BadValue
        No sale, or a price of 0.

    Notes
    -----
    ln(price/bf) = base + sum of premiums + species + use + asked + years, by `huber_fit`. Each
    but the base has a prior at what is customary (`PREMIUMS`), so that a premium of which few sales
    speak stays near custom and one of which many speak is the user's own. Whether
    enough like sales are there to show a fit at all, `like_sales` decides.
    """
    if not sales:
        raise BadValue("sales", "none", "one or more", "Note what you sold, or a comparable.")
    for sale in sales:
        if not 0 < sale.price < math.inf:
            raise BadValue(f"price of {sale.name}", sale.price, "more than 0")
    species = tuple(sorted({sale.piece.species for sale in sales}))
    uses = tuple(sorted({sale.piece.use for sale in sales} - {""}))
    years = [_year(sale) for sale in sales]
    newest = max(years)
    x = np.stack(
        [
            _row(sale.piece, sale.asked, year - newest, species, uses)
            for sale, year in zip(sales, years, strict=True)
        ]
    )
    y = np.log([sale.per_board_foot for sale in sales])
    custom = [0.0, *(p.custom for p in PREMIUMS), _ASKED[0], 0.0, *([0.0] * (len(species) + len(uses)))]
    doubt = [math.inf, *(p.doubt for p in PREMIUMS), _ASKED[1], _YEAR]
    doubt += [_SPECIES] * len(species) + [_USE] * len(uses)
    prior, off = np.array(custom), np.array(doubt)
    robust = huber_fit(x, y, prior, off, about=SCATTER, about_rows=SCATTER_SALES)
    others = robust.left / (1 - robust.leverage)
    light = tuple(sale.name for sale, w in zip(sales, robust.weights, strict=True) if w < 0.5)
    return Fit(
        species,
        uses,
        robust.slopes,
        robust.covariance,
        prior,
        off,
        robust.scale,
        float(np.expm1(np.median(np.abs(others)))),
        np.count_nonzero(x, axis=0),
        light,
        newest,
        len(sales),
    )


def _year(sale: Sale) -> float:
    return sale.day.toordinal() / 365.25


def _names(species: tuple[str, ...], uses: tuple[str, ...]) -> list[tuple[str, str]]:
    return [
        ("base", "base"),
        *((p.key, p.words) for p in PREMIUMS),
        ("asked", "asked, not paid"),
        ("year", "later"),
        *((f"species {name}", name) for name in species),
        *((f"use {name}", f"for a {name}") for name in uses),
    ]


def _row(piece: Piece, asked: bool, years: float, species: tuple[str, ...], uses: tuple[str, ...]) -> Floats:
    return np.array(
        [
            1.0,
            *(p.amount(piece) for p in PREMIUMS),
            float(asked),
            years,
            *(float(piece.species == name) for name in species),
            *(float(piece.use == name) for name in uses),
        ]
    )
