"""Where a slab lies, one place after the other, and how each place's air may differ from what is told."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pithline.dry.air import LOADED, Air, constant, joined
from pithline.dry.months import Months, through
from pithline.errors import BadValue

__all__ = ["Phase", "air_through", "drawn_air"]

# A room's or kiln's equilibrium moisture is held or guessed to about a point; common practice, no source.
_STRAY_INSIDE = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Phase:
    """A stay outdoors, in a room, or in a kiln step.

    Attributes
    ----------
    name : str
    days : float
        At most. [days]
    months : Months, optional
        Of the place, for a stay outdoors; else
    temperature, emc : float
        of the air inside. [°C], [fraction]
    until : float
        Ends when the mean is down to this; 0: by time alone. [fraction]
    logged : Air, optional
        A logger's days instead of months or a constant.
    kiln : bool
        A loaded kiln's air, which lets wood go slower than a room's.
    """

    name: str
    days: float
    months: Months | None = None
    temperature: float = 20.0
    emc: float = 0.08
    until: float = 0.0
    logged: Air | None = None
    kiln: bool = False

    def air(self, start: datetime.date, rng: np.random.Generator | None = None) -> Air:
        """The phase's air from a date on; with `rng`, one draw of how it may turn out."""
        if self.logged is not None:
            return self.logged
        if self.months is None:
            stray = rng.normal(0, _STRAY_INSIDE) if rng else 0.0
            rest = float(np.clip(self.emc + stray, 0.01, 0.29))
            film = LOADED if self.kiln else 1.0
            return constant(self.name, self.temperature, self.days, emc=rest, until=self.until, film=film)
        touched = int(self.days / 28) + 3
        plain = through(self.months, start, self.days, self.name, self.until)
        if rng is None:
            return plain
        warm, wet = self.months.drawn(touched, rng)
        count = len(plain.ends)
        deviations = warm[:count], wet[:count]
        return through(self.months, start, self.days, self.name, self.until, deviations)


def air_through(phases: Sequence[Phase], start: datetime.date, rng: np.random.Generator | None = None) -> Air:
    """All phases one after the other from a date on.

    Raises
    ------
    BadValue
        A stay outdoors after one that ends by moisture: its calendar would not be known.
    """
    made, at, open_end = [], start, ""
    for phase in phases:
        if open_end and phase.months is not None:
            raise BadValue(
                phase.name, f"after {open_end}", "before every phase that ends at a moisture",
                f"Say in days how long {open_end} lasts.",
            )  # fmt: skip
        made.append(phase.air(at, rng))
        at += datetime.timedelta(days=round(phase.days))
        open_end = phase.name if phase.until else open_end
    return joined(made)


def drawn_air(
    phases: Sequence[Phase], start: datetime.date, draws: int, rng: np.random.Generator
) -> tuple[Air, ...]:
    """That many ways in which the weather may turn out; all slabs of a yard share them."""
    return tuple(air_through(phases, start, rng) for _ in range(draws))
