"""The thickness premium argued from days and room of drying, said or forecast."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pithline.money.price.asking import Asking
    from pithline.money.price.piece import Piece

__all__ = ["argued_factor", "forecast_days"]


def forecast_days(piece: Piece, place_name: str, said: tuple[str | None, ...]) -> tuple[str, str]:
    """Days of the piece and of an inch by the drying forecast, stacked in any season."""
    import numpy as np

    from pithline.dry.months import place
    from pithline.errors import BadValue
    from pithline.money.months import DAYS_A_MONTH
    from pithline.money.offered.drying_time import DryingAir, forecast_time
    from pithline.units import INCH
    from pithline.wood.species import species

    for option, span in zip(("--days", "--thin-days"), said, strict=False):
        if span is not None:
            raise BadValue(option, span, "left out beside --dries-at", "Say one of the two.")
    try:
        months = place(place_name)
    except BadValue as wrong:
        raise BadValue("--dries-at", wrong.value, wrong.rule, wrong.remedy) from None
    wood = species(piece.species)
    made = forecast_time(wood, (INCH, piece.thickness), DryingAir(months), np.random.default_rng(1))
    days = made.months.mid * DAYS_A_MONTH
    both = (days * float(made.share(high)) for high in (piece.thickness, INCH))
    thick, thin = (f"{each:.0f} days" for each in both)
    return thick, thin


def argued_factor(
    piece: Piece, found: Asking, spans: tuple[str | None, ...], interest: str | None, money: Any
) -> float:
    """Factor of the thickness that its days and its space argue for."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.months import DAYS_A_MONTH, months
    from pithline.money.price.thickness_reason import drying_bill, stack_space, thickness_reason
    from pithline.units import INCH

    options = ("--days", "--thin-days", "--rent")
    for option, span in zip(options, spans, strict=True):
        if span is None:
            raise BadValue(option, "missing", "given with the others", f"Say all of {', '.join(options)}.")
    if not found.lines:
        raise BadValue(
            "--days", spans[0], "left out where like sales are shown", "There is no rate to argue from."
        )
    yearly = units.share(interest, "--interest") if interest else 0.0
    # What a plain green board of this wood brings, by the same sales.
    green, rented = found.lines[0].factor, money.read(spans[2], "--rent")
    thick, thin = (
        drying_bill(months(span, option) * DAYS_A_MONTH, stack_space(high), rented, green, yearly, 0.0)
        for span, option, high in zip(spans, options, (piece.thickness, INCH), strict=False)
    )
    return thickness_reason(thick, thin, green).factor
