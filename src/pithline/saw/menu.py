"""The thickness menu in the planner's terms: how many lines, sold as what, at which rate."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.saw.aims import Aims, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.rates import Rates
from pithline.saw.thickness import green_for_rough_dry, green_thickness, round_up, sold_as
from pithline.saw.timber import Timber
from pithline.slab.tally import TallyUnit
from pithline.units import BOARD_FOOT, FOOT, show_length

__all__ = ["Choice", "lines_in", "menu"]


@dataclass(frozen=True, slots=True)
class Choice:
    """One green thickness that the planner may saw.

    Attributes
    ----------
    aim : ThicknessAim
    green : float
        On the grid. [m]
    lines : int
        `green` in steps of the grid.
    counted : float
        Thickness that the tally counts. [m]
    sold : float
        Tally units in a square metre of counted face; of nominal board feet, which round a
        surface measure, in a square foot.
    per_area : float
        Tally units in a square metre of counted face, however it is rounded.
    rate : float
        [money/tally unit]
    """

    aim: ThicknessAim
    green: float
    lines: int
    counted: float
    sold: float
    per_area: float
    rate: float


def lines_in(size: float, step: float) -> int:
    """Steps of the grid that hold a size, rounded up."""
    return round(float(round_up(size, step)) / step)


def menu(aims: Aims, rates: Rates, timber: Timber, mill: Mill) -> tuple[Choice, ...]:
    """Every green thickness that serves the aims.

    A finished size needs more green wood in a wide slab than in a narrow one, so it
    stands for a row of green thicknesses; the planner takes the thinnest that serves.

    Raises
    ------
    BadValue
        A thickness that the mill cannot set, or one without a nominal name where
        the tally counts nominal thickness.
    """
    if not aims.thicknesses:
        raise BadValue("aims.thickness", "empty", "at least one thickness", 'Say for instance "12/4".')
    kerf = lines_in(mill.kerf, mill.step)
    choices = []
    for aim in aims.thicknesses:
        for green in _greens(aim, aims, timber, mill):
            lines = lines_in(green, mill.step)
            if green < mill.depth_min or (lines + kerf) * mill.step > mill.depth_max + 1e-9:
                least, most = show_length(mill.depth_min), show_length(mill.depth_max - kerf * mill.step)
                raise BadValue(
                    "aims.thickness",
                    aim.label if aim.kind is SizeKind.GREEN else f"{aim.label} ({show_length(green)} green)",
                    f"{least} to {most} green: your mill sets {show_length(mill.depth_min)} to "
                    f"{show_length(mill.depth_max)}, with the kerf of {show_length(mill.kerf)} in it",
                    "Choose another thickness, or correct mill.depth_min and mill.depth_max.",
                )
            counted, sold = _sold(aim, green, aims.unit, timber)
            per_area = sold / FOOT**2 if aims.unit is TallyUnit.BF_NOMINAL else sold
            rate = rates.rate(aim.label)
            choices.append(Choice(aim, lines * mill.step, lines, counted, sold, per_area, rate))
    return tuple(choices)


def _greens(aim: ThicknessAim, aims: Aims, timber: Timber, mill: Mill) -> list[float]:
    if aim.kind is not SizeKind.FINISHED:
        return [green_thickness(aim, timber.radial, timber.tangential, aims.sawing_variation, mill.step)]
    shrinkages = sorted((timber.radial, timber.tangential))
    allowances = [allowance for _, allowance in aims.flattening]
    thin, thick = (
        float(green_for_rough_dry(aim.size + extra, shrinkage, aims.sawing_variation))
        for extra, shrinkage in ((min(allowances), shrinkages[0]), (max(allowances), shrinkages[1]))
    )
    lines = range(lines_in(thin, mill.step), lines_in(thick, mill.step) + 1)
    return [i * mill.step for i in lines]


def _sold(aim: ThicknessAim, green: float, unit: TallyUnit, timber: Timber) -> tuple[float, float]:
    """Counted thickness [m], and tally units in a square metre of it."""
    if unit is TallyUnit.M3:
        return green, green
    if unit is TallyUnit.BF_SAWN:
        return green, green / BOARD_FOOT
    quarters = aim.quarters or sold_as(green, timber.radial, timber.tangential)
    if quarters is None:
        raise BadValue(
            "aims.thickness",
            aim.label,
            "thick enough for a nominal thickness",
            'Choose the tally "bf as sawn" or "m3", or saw thicker.',
        )
    # The kernel multiplies surface measure [square feet] by this; under an inch counts as one.
    return quarters * 0.0254 / 4, max(quarters / 4, 1.0)
