"""A number that is not known exactly, with its range and what it rests on."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Estimate"]


@dataclass(frozen=True, slots=True)
class Estimate:
    """One in ten below `low`, half below `mid`, nine in ten below `high`, roughly.

    Attributes
    ----------
    low, mid, high : float
        In the unit that the function which made it names.
    guess : bool
        True when no figure of the species itself stands behind it.
    basis : tuple of str
        What it rests on, one remark each; every source and mark is named.
    """

    low: float
    mid: float
    high: float
    guess: bool
    basis: tuple[str, ...] = ()

    def times(self, factor: float) -> Estimate:
        """Scale the whole range, as a density by a volume gives a mass."""
        return Estimate(self.low * factor, self.mid * factor, self.high * factor, self.guess, self.basis)
