"""The log on offer, whichever way its size is known: draws of its size, and the yields of each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.log.lie import Lie
from pithline.log.measuring import measuring_error, perturbed
from pithline.log.record import LogRecord
from pithline.log.shape import LogShape
from pithline.log.volume import volume_by_integration
from pithline.money.likely import Likely
from pithline.money.offered.log_guess import LogGuess
from pithline.money.offered.yields import Yield, YieldGrid, planned_yield, yield_grids
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber

__all__ = ["OfferedLog", "Planner"]

Floats = NDArray[np.float64]
_MEASURED = 60  # logs drawn within the measuring error, for the spread of the size alone
# Where plans are made, as shares of the draws below: dense where most logs lie, with both ends.
_SIZES = (0.0, 0.03, 0.12, 0.30, 0.50, 0.70, 0.88, 0.97, 1.0)
_FEW = (0.03, 0.25, 0.50, 0.75, 0.97)
_FALLS = (0.03, 0.50, 0.97)


@dataclass(frozen=True, slots=True)
class Planner:
    """What plans are made with."""

    mill: Mill
    aims: Aims
    rates: Rates
    timber: Timber

    @property
    def all(self) -> tuple[Mill, Aims, Rates, Timber]:
        """In the order in which plans take them."""
        return self.mill, self.aims, self.rates, self.timber


@dataclass(frozen=True, slots=True, eq=False)
class OfferedLog:
    """A log that was measured, or one that was only told of.

    Attributes
    ----------
    middle : LogRecord
        With every figure of its size at its middle.
    guess : LogGuess or None
        None where it was measured.
    sizes : dict
        The doubtful figures of its size: girth, length, taper; or its size alone, as a factor.
    """

    middle: LogRecord
    guess: LogGuess | None
    sizes: dict[str, Likely]

    @classmethod
    def told(cls, guess: LogGuess) -> OfferedLog:
        """From a phone call.

        Raises
        ------
        BadValue
            Where the middle of what was said is no log.
        """
        sizes = {"girth": guess.girth, "length": guess.length, "taper": guess.taper}
        at = guess.shapes(*(np.array([figure.mid]) for figure in sizes.values()))
        return cls(guess.record(float(at.middle[0]), float(at.fall[0]), guess.length.mid), guess, sizes)

    @classmethod
    def measured(cls, record: LogRecord, rng: np.random.Generator) -> OfferedLog:
        """From a record; what the tape leaves open is the size as a whole."""
        shape = record.to_shape()
        drawn = perturbed(shape, measuring_error(record), rng, _MEASURED)
        whole = volume_by_integration(shape)
        across = np.sqrt([volume_by_integration(each) / whole for each in drawn])
        low, mid, high = (float(each) for each in np.percentile(across, [10, 50, 90]))
        return cls(record, None, {"size": Likely(low, mid, high, 0.5, 2.0, "how it was measured")})

    def places(self, x: dict[str, Floats]) -> tuple[Floats, Floats, Floats]:
        """Where draws lie on the grid of plans: size, fall, length."""
        if self.guess is None:
            size = x["size"]
            return size, np.zeros_like(size), np.full_like(size, self.middle.length)
        at = self.guess.shapes(x["girth"], x["length"], x["taper"])
        return at.middle, at.fall, at.length

    def shape(self, size: float, fall: float) -> tuple[LogShape, Lie]:
        """The log at one place of the grid."""
        if self.guess is not None:
            butt, top = self.middle.butt, self.middle.top
            record = replace(
                self.middle,
                butt=replace(butt, diameter=size + fall / 2),
                top=replace(top, diameter=size - fall / 2),
            )
            return record.to_shape(), record.lie()
        shape = self.middle.to_shape()
        # Everything across grows, the bark too; the pith marks stay where they are above the ground.
        grown = LogShape(
            shape.z, shape.outlines * size, shape.bark * size, _grown(shape.second_pith, size), shape.zones
        )
        return grown, self.middle.lie()

    def grid(self, x: dict[str, Floats], planner: Planner, few: bool = False) -> YieldGrid:
        """Plan the sizes that the draws come to.

        Parameters
        ----------
        x : dict
            Draws of `sizes`.
        planner : Planner
        few : bool
            Five sizes and one fall, for the comparisons.
        """

        def planned(shape: LogShape, lie: Lie) -> tuple[Yield]:
            return (planned_yield(shape, lie, *planner.all),)

        return self.grids(x, planner.aims, planned, few)[0]

    def grids(
        self,
        x: dict[str, Floats],
        aims: Aims,
        planned: Callable[[LogShape, Lie], Sequence[Yield]],
        few: bool = True,
    ) -> tuple[YieldGrid, ...]:
        """The same for several ways at once: a grid for each that `planned` tells."""
        size, fall, _ = self.places(x)
        sizes = _apart(np.quantile(size, _FEW if few or self.guess is None else _SIZES))
        falls = _apart(np.quantile(fall, (0.5,) if few or self.guess is None else _FALLS))
        trims = aims.trim_butt + aims.trim_top
        return yield_grids(self.shape, sizes, falls, self.middle.length, trims, planned)

    def yields(self, grid: YieldGrid, x: dict[str, Floats]) -> Yield:
        """Read the draws' yields off the grid."""
        return grid.read(*self.places(x))


def _apart(knots: Floats) -> list[float]:
    """Without neighbours that are the same to a tenth of a millimetre."""
    kept = [float(knots[0])]
    for knot in knots[1:]:
        if knot - kept[-1] > 1e-4:
            kept.append(float(knot))
    return kept


def _grown(second: Floats | None, size: float) -> Floats | None:
    return None if second is None else second * size
