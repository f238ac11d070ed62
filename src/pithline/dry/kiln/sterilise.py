"""Heat sterilisation: how long until the core is hot enough, and whether it was held."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pithline.dry.kiln.core_heat import minutes_to
from pithline.dry.kiln.kiln import Kiln
from pithline.dry.psychrometrics import SEA_LEVEL, wet_bulb
from pithline.errors import BadValue
from pithline.wood.estimate import Estimate

__all__ = ["CORE", "HOLD", "Heating", "heating", "held", "in_kiln"]

CORE = 56.0  # through the whole profile, core included (ISPM-15, as restated, read). [°C]
HOLD = 30.0  # without a break. [min]
SOURCE = "ISPM-15: 56 °C through the whole profile, core included, for 30 min without a break [read]"

# Surface film fitted to the 36 mean times printed for ponderosa pine timbers (Wood Handbook,
# Ch. 20, Table 20-8, read), sections taken as dressed: 3.5, 5.5, 7.25 and 9.25 in. With heat
# diffusivity left at its handbook value the fit is within 21 % of each, 8 % in the mean.
_FILM, _FILM_POWER = 90.3, 0.313  # [1/m at a depression of 1 °F]
_LEAST_DEPRESSION, _MOST_DEPRESSION = 2.0, 12.0  # where that table begins and ends. [°F]
# The 99 % bound printed beside each mean lies 43 to 46 % above it.
_BOUND = 1.46
_WET = 0.25  # above it the surface stays at the wet bulb. [fraction]
_LONGEST_GAP = 10.0  # between readings of a core probe. [min]


@dataclass(frozen=True, slots=True)
class Heating:
    """Time to heat and to hold, and what has to be said.

    Attributes
    ----------
    minutes : Estimate or None
        Until the core is at `CORE`, the kiln already hot; None where it never gets there. [min]
    total : float
        To keep on the safe side: the high end and the hold. Infinite where it is never reached. [min]
    reaches : bool
    on_the_slab : tuple of str
    remarks : tuple of str
    """

    minutes: Estimate | None
    total: float
    reaches: bool
    on_the_slab: tuple[str, ...]
    remarks: tuple[str, ...]


def heating(
    thickness: float,
    start: float,
    dry: float,
    wet: float,
    moisture: float,
    width: float = math.inf,
) -> Heating:
    """Time for the core of the thickest slab to reach 56 °C, stickered, air moving.

    Parameters
    ----------
    thickness, width : float
        Of the thickest slab; infinite width for live-edge slabs. [m]
    start : float
        Temperature of the wood before. [°C]
    dry, wet : float
        Bulbs of the kiln's air. [°C]
    moisture : float
        Of the wood, dry basis. [fraction]

    Returns
    -------
    heating : Heating
        low: no film at the surface, the bound that physics sets; mid: with the film fitted to
        published timbers; high: the published 99 % bound above the mean.

    Raises
    ------
    BadValue
        A wet bulb above the dry one, or not a size.

    Notes
    -----
    The surface of wet wood is taken at the wet bulb: where that stays below 56 °C the times run
    far beyond any estimate (Simpson 2003, slash pine, read) and none is given. Dry wood is taken
    at the dry bulb. Piled without stickers it takes 2 to 10 times as long (FPL-RP-607, read).
    """
    if not wet <= dry:
        raise BadValue("wet bulb", f"{wet:g} °C", f"at most the dry bulb, {dry:g} °C", "Read both again.")
    damp = moisture > _WET
    around = wet if damp else dry
    if around <= CORE:
        what = "wet bulb" if damp else "air"
        told = f"not sterilised: the {what} stands at {around:.0f} °C, the core would not reach {CORE:.0f} °C"
        return Heating(None, math.inf, False, (told,), (SOURCE,))
    depression = (dry - wet) * 1.8
    film = _FILM * min(max(depression, _LEAST_DEPRESSION), _MOST_DEPRESSION) ** -_FILM_POWER
    low = minutes_to(CORE, thickness, start, around, width)
    mid = minutes_to(CORE, thickness, start, around, width, film)
    remarks = [SOURCE, "measure the core of the thickest slab; a table is not a proof of treatment"]
    if start >= CORE:
        remarks.append("the core is taken to be as hot as it was said to be: prove it with the probe")
    if damp and depression > _MOST_DEPRESSION + 0.05:
        remarks.append("drier air than the published tests with timbers: expect the high end, or more")
    basis = ("conduction with a surface film fitted to Wood Handbook, Table 20-8 [read]",)
    return Heating(
        Estimate(low, mid, mid * _BOUND, False, basis), mid * _BOUND + HOLD, True, (), tuple(remarks)
    )


def in_kiln(
    kiln: Kiln,
    thickness: float,
    start: float,
    moisture: float,
    wet: float | None = None,
    pressure: float = SEA_LEVEL,
    width: float = math.inf,
) -> Heating:
    """`heating` with the hottest, dampest air that a kiln holds.

    Parameters
    ----------
    kiln : Kiln
        With a spray the air is taken 4 °F of depression off saturation, without one at 60 %
        humidity (common practice, no source), unless `wet` says otherwise.
    thickness, start, moisture : float
        [m], [°C], [fraction]
    wet : float, optional
        Wet bulb that the kiln holds at its top temperature. [°C]
    pressure : float
        Of the air. [Pa]
    width : float
        As `heating`. [m]
    """
    if wet is None:
        wet = kiln.top - 4 / 1.8 if kiln.spray else wet_bulb(kiln.top, 0.60, pressure)
    if kiln.top <= CORE:
        told = f"not sterilised: the kiln's top, {kiln.top:.0f} °C, is not above {CORE:.0f} °C"
        return Heating(None, math.inf, False, (told,), (SOURCE,))
    return heating(thickness, start, kiln.top, wet, moisture, width)


def held(minutes: Sequence[float], core: Sequence[float]) -> tuple[float, bool, tuple[str, ...]]:
    """Longest unbroken time at 56 °C in the readings of a core probe.

    Parameters
    ----------
    minutes : sequence of float
        Rising. [min]
    core : sequence of float, same length
        [°C]

    Returns
    -------
    longest : float
        [min]
    enough : bool
        At least `HOLD`.
    remarks : tuple of str
        Gaps of more than 10 minutes: what lies in them is not counted.

    Raises
    ------
    BadValue
        Fewer than two readings, times that do not rise, or something that is no temperature.

    Notes
    -----
    Only stretches whose both ends read 56 °C count, whole; a crossing between two readings does not.
    """
    if len(minutes) != len(core) or len(minutes) < 2:
        raise BadValue("readings", len(minutes), "two or more, each with its time")
    longest = run = 0.0
    remarks = []
    for at in range(1, len(minutes)):
        step = minutes[at] - minutes[at - 1]
        if not step > 0:
            raise BadValue("readings", f"{minutes[at]:g} min", f"after {minutes[at - 1]:g} min", "Sort them.")
        if not -60 < core[at] < 150 or not -60 < core[at - 1] < 150:
            raise BadValue("readings", core[at], "a temperature in °C", "Look at the probe's unit.")
        if step > _LONGEST_GAP:
            remarks.append(f"no reading from {minutes[at - 1]:g} to {minutes[at]:g} min: not counted")
        hot = core[at] >= CORE and core[at - 1] >= CORE and step <= _LONGEST_GAP
        run = run + step if hot else 0.0
        longest = max(longest, run)
    return longest, longest >= HOLD, tuple(remarks)
