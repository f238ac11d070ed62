"""Why thick stock costs more per board foot: the days and the space it takes to dry."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_YEAR
from pithline.units import BOARD_FOOT

__all__ = ["DryingBill", "Reason", "drying_bill", "stack_space", "thickness_reason"]


@dataclass(frozen=True, slots=True)
class DryingBill:
    """What drying adds to one board foot.

    Attributes
    ----------
    space : float
        Room in kiln or stack over the days. [money/bf]
    interest : float
        On the money that lies there. [money/bf]
    spoiled : float
        Share lost to checks and twist, at the green worth. [money/bf]
    """

    space: float
    interest: float
    spoiled: float

    @property
    def total(self) -> float:
        """[money/bf]"""
        return self.space + self.interest + self.spoiled


@dataclass(frozen=True, slots=True)
class Reason:
    """Thick against 1 in stock, by what drying costs.

    Attributes
    ----------
    thick, thin : DryingBill
    factor : float
        Price per board foot against 1 in stock that leaves the seller as well off.
    """

    thick: DryingBill
    thin: DryingBill
    factor: float


def stack_space(thickness: float, sticker: float = 0.025, fill: float = 0.7) -> float:
    """Room that a stack takes for each volume of wood.

    Parameters
    ----------
    thickness : float
        Of the wood. [m]
    sticker : float
        Between layers. [m]
    fill : float
        Share of each layer that is wood; live-edge slabs leave gaps. A guess: 0.6 to 0.8. [fraction]

    Returns
    -------
    space : float
        (T + sticker)/(T fill). [m3/m3]
    """
    if not (thickness > 0 and sticker >= 0 and 0 < fill <= 1):
        raise BadValue(
            "stack", f"{thickness}, {sticker}, {fill}", "of wood thicker than 0, filled up to 100 %"
        )
    return (thickness + sticker) / (thickness * fill)


def drying_bill(
    days: float, space: float, rent: float, worth: float, interest: float, spoiled: float
) -> DryingBill:
    """What drying adds to one board foot.

    Parameters
    ----------
    days : float
        From green until ready; from the drying room. [day]
    space : float
        Room for each volume of wood, see `stack_space`. [m3/m3]
    rent : float
        Of kiln or stack, all that running it costs. [money/(m3 day)]
    worth : float
        Of the green wood. [money/bf]
    interest : float
        A year. [fraction]
    spoiled : float
        Share of the worth lost in drying. [fraction]
    """
    given = {"days": days, "space": space, "rent": rent, "worth": worth, "interest": interest}
    for field, value in given.items():
        if not 0 <= value < math.inf:
            raise BadValue(field, value, "zero or more, and finite")
    if not 0 <= spoiled < 1:
        raise BadValue("spoiled in drying", f"{spoiled:.0%}", "from 0 % to under 100 %")
    return DryingBill(
        days * space * BOARD_FOOT * rent,
        worth * ((1 + interest) ** (days / DAYS_A_YEAR) - 1),
        # Each board foot that is left must pay for the part that is not.
        worth * spoiled / (1 - spoiled),
    )


def thickness_reason(thick: DryingBill, thin: DryingBill, worth: float) -> Reason:
    """How much dearer thick stock must be before drying it pays as well.

    Parameters
    ----------
    thick, thin : DryingBill
    worth : float
        Of the green wood, the same for both. [money/bf]

    Returns
    -------
    Reason
        `factor` = (worth + bill of thick)/(worth + bill of 1 in).
    """
    if not worth > 0:
        raise BadValue("worth of the green wood", worth, "more than 0")
    return Reason(thick, thin, (worth + thick.total) / (worth + thin.total))
