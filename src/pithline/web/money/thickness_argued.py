"""What days and room of drying alone argue for by a slab's thickness, beside what its price takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_MONTH
from pithline.units import INCH
from pithline.web.money.drying_kept import kept_forecast
from pithline.web.money.drying_place import drying_place
from pithline.web.plan.warming import warmed

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.price.asking import Asking
    from pithline.money.price.piece import Piece

__all__ = ["thickness_argued"]

_WAIT = 2.0  # [s]
_SEED = 1


def thickness_argued(piece: Piece, asking: Asking | None, costs: Costs) -> str:
    """One sentence; "" for an inch and less, and where there is no rate, place or known drying.

    Notes
    -----
    Room is a cubic metre of stickered wood by the usual costs, money tied up the green worth of a plain
    board by the same prices. What drying spoils is not in it.
    """
    if asking is None or not asking.lines or piece.thickness <= 1.02 * INCH or not warmed(_WAIT, True):
        return ""
    import numpy as np

    from pithline.money.offered.drying_time import DryingAir
    from pithline.money.price.thickness_reason import drying_bill, thickness_reason
    from pithline.wood.species import species

    months = drying_place("")
    if months is None:
        return ""
    try:
        wood = species(piece.species)
        time = kept_forecast(wood, (INCH, piece.thickness), DryingAir(months), np.random.default_rng(_SEED))
    except BadValue:
        return ""
    thick = time.months.mid
    thin = thick * float(time.share(INCH))
    green = asking.lines[0].factor
    rent = costs.space / DAYS_A_MONTH
    dear, cheap = (
        drying_bill(each * DAYS_A_MONTH, 1.0, rent, green, costs.interest, 0.0) for each in (thick, thin)
    )
    factor = thickness_reason(dear, cheap, green).factor
    return (
        f"Days and room of drying alone argue for × {factor:.2f} by its thickness: {thick:.0f} months at "
        f"{months.name} by the forecast, against {thin:.0f} for an inch."
    )
