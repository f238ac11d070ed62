"""What a slab is worth and what a cut costs, in the user's own figures."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Rates", "Step"]


@dataclass(frozen=True, slots=True)
class Step:
    """From this size on, the rate rises by this fraction."""

    least: float  # [m]
    premium: float  # [fraction of the rate]


@dataclass(frozen=True, slots=True)
class Rates:
    """Money per tally unit; every figure may be 0.

    Without rates of his own the user gets `currency` "" and a rate of 1 for every
    thickness: the plan then maximises the tally itself.

    Attributes
    ----------
    currency : str
        Code such as "EUR"; "" means that values are tally units, not money.
    by_thickness : tuple of (label, rate)
        Per unit of the aims' tally, keyed by the label of the thickness menu.
    otherwise : float
        Rate of a thickness that is not listed.
    width, length : tuple of Step
        Premiums; the width step is reached by the least narrow-face width over the
        run that is sold, the length step by that run's length.
    figure : float
        Premium on the share of the faces that shows figure.
    per_cut_area : float
        The user's own cost. [money/m2]
    per_slab : float
        The user's own cost. [money/slab]
    """

    currency: str = ""
    by_thickness: tuple[tuple[str, float], ...] = ()
    otherwise: float = 1.0
    width: tuple[Step, ...] = ()
    length: tuple[Step, ...] = ()
    figure: float = 0.0
    per_cut_area: float = 0.0
    per_slab: float = 0.0

    def rate(self, label: str) -> float:
        """Rate for one entry of the thickness menu. [money/tally unit]"""
        return dict(self.by_thickness).get(label, self.otherwise)
