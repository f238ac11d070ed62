"""What a slab is worth and what a cut costs, in the user's own figures."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.saw.uses.use import Use

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
    per_kg : float
        Of carrying green wood to the road. [money/kg]
    per_month : float
        Of the room a slab takes while it dries. [money/m3 and month]
    inch_months : float
        How long wood of one inch dries; see `drying_months`.
    months_power : float
        How much longer thicker wood takes.
    uses : tuple of Use
        Things that slabs, or lengths of them, make and that pay by the piece.
    """

    currency: str = ""
    by_thickness: tuple[tuple[str, float], ...] = ()
    otherwise: float = 1.0
    width: tuple[Step, ...] = ()
    length: tuple[Step, ...] = ()
    figure: float = 0.0
    per_cut_area: float = 0.0
    per_slab: float = 0.0
    per_kg: float = 0.0
    per_month: float = 0.0
    inch_months: float = 8.0
    months_power: float = 1.5
    uses: tuple[Use, ...] = ()

    def rate(self, label: str) -> float:
        """Rate for one entry of the thickness menu. [money/tally unit]"""
        return dict(self.by_thickness).get(label, self.otherwise)

    def drying_months(self, green: float) -> float:
        """How long a slab of this green thickness [m] is kept to dry. [months]

        A rule of thumb in the user's own figures: published factors between thicknesses
        lie near a power of 1.3 in kilns and 2 for free diffusion. The drying forecast
        says it better, for one place and season.
        """
        return float(self.inch_months * (green / 0.0254) ** self.months_power)
