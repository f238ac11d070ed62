"""What weights tell: a witness block, a sample board, a whole slab."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.wood.moisture import moisture_from_weights

__all__ = ["BLOCK_DOUBT", "HEAVIER", "SCALE_DOUBT", "Weighed", "Weights", "by_weight", "weigh"]

# A workshop scale reads to about half a percent of the weight (common practice, no source).
SCALE_DOUBT = 0.005
# One block or board stands for a slab to about a twentieth of its moisture: wood varies along the
# log and sealed ends leak a little (a guess, from 3 to 10 %).
BLOCK_DOUBT = 0.05
# Rain and a scale's error make a piece no more than this many times its green weight (a guess).
HEAVIER = 1.05


@dataclass(frozen=True, slots=True)
class Weights:
    """One piece weighed again and again: the offcut that dries in the stack, a board, a slab.

    Attributes
    ----------
    name : str
        "witness 3-2", "sample B", "slab 3-4": what shares its doubts.
    green : float
        When the stack was laid; for a witness block at the log, ends just sealed. [kg]
    days : tuple of float
        Since that weighing.
    weights : tuple of float
        Then. [kg]
    dry : float, optional
        Oven-dry, or reckoned from sections cut off the ends. [kg]
    dry_doubt : float
        Standard deviation of `dry`: 0 from the oven, about 0.02 from sections. [fraction]
    whole : bool
        The slab itself: nothing stands between its weight and its moisture but the scale.
    """

    name: str
    green: float
    days: tuple[float, ...]
    weights: tuple[float, ...]
    dry: float | None = None
    dry_doubt: float = 0.0
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Weighed:
    """One weighing understood.

    Attributes
    ----------
    day : float
    share : float
        Of the green weight. [fraction]
    moisture : float or None
        Mean over the piece, where the oven-dry weight is known. [fraction]
    noise : float
        Standard deviation of this weighing alone: of `moisture`, else of `share`.
    bias : float
        Of what all weighings of the piece share, in the same measure.
    """

    day: float
    share: float
    moisture: float | None
    noise: float
    bias: float


def by_weight(now: float, dry: float, dry_doubt: float = 0.0) -> tuple[float, float]:
    """Moisture of a piece by its weight, and how far a wrong oven-dry weight puts it out.

    Parameters
    ----------
    now, dry : float
        Weight now and oven-dry, in the same unit.
    dry_doubt : float
        Standard deviation of `dry`. [fraction]

    Returns
    -------
    moisture, doubt : float
        Mean over the piece, and its standard deviation. [fraction]

    Raises
    ------
    BadValue
        Weights that cannot be.

    Notes
    -----
    The doubt is (1 + moisture) times that of the oven-dry weight: a slab whose dry weight is
    known to 3 % and that is at 20 % may as well be at 16 or 24 %.
    """
    moisture = moisture_from_weights(now, dry)
    return moisture, (1 + moisture) * dry_doubt


def weigh(piece: Weights) -> tuple[Weighed, ...]:
    """Every weighing of a piece understood.

    Parameters
    ----------
    piece : Weights

    Returns
    -------
    tuple of Weighed
        In the order of their days. Without an oven-dry weight only the share of the green
        weight is known: with the moisture it began with, that tells the moisture now.

    Raises
    ------
    BadValue
        No weighing; a day before the first; weights under the oven-dry one; a piece that
        weighs more than green by more than rain could explain.
    """
    if not piece.weights or len(piece.weights) != len(piece.days):
        raise BadValue(f"{piece.name}", f"{len(piece.weights)} weights", "one weight for each day")
    if not 0 < piece.green < math.inf:
        raise BadValue(f"{piece.name}, green weight", piece.green, "more than 0 kg", 'Write "8.4 kg".')
    if piece.dry is not None and not 0 < piece.dry <= piece.green:
        rule = f"above 0 and at most the green weight of {piece.green:g} kg"
        raise BadValue(f"{piece.name}, oven-dry weight", piece.dry, rule, "Look at both weights again.")
    between = 0.0 if piece.whole else BLOCK_DOUBT
    found = []
    for day, weight in sorted(zip(piece.days, piece.weights, strict=True)):
        if not 0 <= day < math.inf:
            raise BadValue(f"{piece.name}, day", day, "at or after the green weighing", "Look at the dates.")
        if not 0 < weight <= HEAVIER * piece.green:
            rule = f"above 0 and about the green weight of {piece.green:g} kg at most"
            raise BadValue(
                f"{piece.name}, weight", weight, rule, "Weighed with snow, stickers or another piece?"
            )
        share = weight / piece.green
        if piece.dry is None:
            # What the block loses otherwise than the slab does, seen in its weight.
            found.append(Weighed(day, share, None, SCALE_DOUBT, between * max(1 - share, 0.0)))
            continue
        moisture, bias = by_weight(weight, piece.dry, piece.dry_doubt)
        noise = (1 + moisture) * SCALE_DOUBT
        found.append(Weighed(day, share, moisture, noise, math.hypot(bias, between * moisture)))
    return tuple(found)
