"""A call whose drying is forecast, where its place and its wood allow it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from pithline.errors import BadValue
from pithline.money.offered.call import Call
from pithline.money.offered.drying_time import Basis, DryingAir, DryingTime, folk_months, forecast_time
from pithline.money.offered.log import Planner
from pithline.saw.menu import menu
from pithline.saw.written.assumed import Assumed
from pithline.units import System, show_length

if TYPE_CHECKING:
    from pithline.wood.facts import Species

__all__ = ["assumed_drying", "dried", "drying_sentence"]

Forecast = Callable[["Species", Sequence[float], DryingAir, np.random.Generator], DryingTime]


def dried(
    call: Call, planner: Planner, wood: Species, rng: np.random.Generator, forecast: Forecast = forecast_time
) -> Call:
    """Put the forecast in the place of what people say.

    Parameters
    ----------
    call : Call
    planner : Planner
        Its menu tells the green thicknesses.
    wood : Species
    rng : numpy.random.Generator
    forecast : callable
        As `forecast_time`; a face that asks again and again keeps what it told.

    Returns
    -------
    Call
        A year an inch, with the reason, where no place is known or the wood's drying is not.
    """
    if call.drying.basis is not Basis.FOLK:
        return call
    greens = [choice.green for choice in menu(planner.aims, planner.rates, planner.timber, planner.mill)]
    if call.air is None:
        return replace(call, drying=DryingTime.folk(max(greens), "no place was said where the slabs dry"))
    try:
        return replace(call, drying=forecast(wood, greens, call.air, rng))
    except BadValue as wrong:
        return replace(call, drying=DryingTime.folk(max(greens), f"no forecast: {wrong}"))


def assumed_drying(drying: DryingTime) -> tuple[Assumed, ...]:
    """What the drying time rests on, to stand among what was assumed."""
    if drying.basis is Basis.SAID:
        return ()
    why = [str(drying.basis), *drying.told]
    if drying.basis is Basis.FOLK:
        why.append("common practice, no source; say dries_at for a forecast")
    else:
        why.append(f"a year an inch, as people say, would be {folk_months(drying.thickness):.0f} months")
    return (Assumed("call.drying", _span(drying), "; ".join(why)),)


def drying_sentence(drying: DryingTime, system: System = "metric") -> str:
    """The same as one of the verdict's reasons; "" where it was said."""
    if drying.basis is Basis.SAID:
        return ""
    folk = f"{folk_months(drying.thickness):.0f} months"
    if drying.basis is Basis.FORECAST:
        return (
            f"Drying is forecast: {_span(drying, system)}, {drying.told[0]}. A year an inch would be {folk}."
        )
    return ": ".join([f"Drying is taken at a year an inch, {folk}, as people say", *drying.told[:1]]) + "."


def _span(drying: DryingTime, system: System = "metric") -> str:
    months = drying.months
    return (
        f"{months.mid:.0f} months ({months.low:.0f} to {months.high:.0f}) for "
        f"{show_length(drying.thickness, system)} green"
    )
