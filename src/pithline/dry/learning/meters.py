"""A moisture meter's figure put right: temperature, species, and what it cannot tell."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from pithline.dry.learning.resistance import for_wood
from pithline.errors import BadValue
from pithline.wood.facts import Species

__all__ = [
    "DIELECTRIC_DEPTH", "LEAST", "WET", "Corrected", "Meter", "Pins", "Scale",
    "by_equation", "by_rule", "corrected",
]  # fmt: skip

WET = 0.30  # above it a meter says only "wet" (Wood Handbook, FPL-GTR-190, 2010, Ch. 13). [fraction]
LEAST = {"pin": 0.06, "pinless": 0.04}  # usable from (the same source). [fraction]
DIELECTRIC_DEPTH = 0.020  # what a meter without pins sees, from the face (common practice, no source). [m]
# A single reading is good to about half a percent at best (E. M. Wengert, FDMC column, read).
NOISE = {"pin": 0.005, "pinless": 0.01}
# The mean of many corrected readings lies within one percent of the truth (Wood Handbook, Ch. 13,
# read): we take that for one standard deviation of what all readings of a meter share. Without
# pins twice as much, a guess.
BIAS = {"pin": 0.01, "pinless": 0.02}
_COLDEST, _HOTTEST = -20.0, 60.0  # let through; the equation's own range is not known to us. [°C]
_NEUTRAL = 22.7  # where the equation as published adds nothing to a reading of 10 %. [°C]


class Pins(StrEnum):
    """How a meter touches the wood, and so what it sees."""

    INSULATED = "insulated"  # at the depth of the tips
    BARE = "bare"  # the wettest layer down to the tips
    PINLESS = "pinless"  # the outer 20 mm


class Scale(StrEnum):
    """For which wood the meter was set when it was read."""

    DOUGLAS_FIR = "douglas-fir"
    OWN = "own"  # set to this wood, or it puts the species right itself


@dataclass(frozen=True, slots=True)
class Meter:
    """What the correction needs to know of a meter.

    Attributes
    ----------
    pins : Pins
    scale : Scale
        Pin meters only.
    warm_itself : bool
        Whether it puts temperature right itself.
    calibrated_at : float, optional
        Temperature at which its figures hold. [°C] None: the published equation as it stands,
        which adds nothing near 23 °C. Makers say 20, 21 or 26.7 °C (from memory): ask.
    gravity_set : float, optional
        Specific gravity that a meter without pins was set to. [-]
    """

    pins: Pins = Pins.INSULATED
    scale: Scale = Scale.DOUGLAS_FIR
    warm_itself: bool = False
    calibrated_at: float | None = None
    gravity_set: float | None = None

    @property
    def kind(self) -> str:
        """``pin`` or ``pinless``."""
        return "pinless" if self.pins is Pins.PINLESS else "pin"


@dataclass(frozen=True, slots=True)
class Corrected:
    """What a meter's figure says of the wood where it looked.

    Attributes
    ----------
    moisture : float
        Dry basis. [fraction] Where `wet`, all that is known is that the wood is above it;
        where `dry`, below it.
    wet, dry : bool
        The meter has left its range upward, downward.
    noise : float
        Standard deviation of this reading alone. [fraction]
    bias : float
        Standard deviation of what all readings of this meter in this wood share. [fraction]
    remarks : tuple of str
        Sources, marks and what had to be guessed.
    """

    moisture: float
    wet: bool
    dry: bool
    noise: float
    bias: float
    remarks: tuple[str, ...]


def by_rule(reading: float, temperature: float, calibrated_at: float = 20.0) -> float:
    """Pin meter's reading at another temperature, by the handbook's rule of thumb.

    Parameters
    ----------
    reading : float
        [fraction]
    temperature, calibrated_at : float
        Of the wood, and that at which the meter's figures hold. [°C]

    Returns
    -------
    moisture : float
        [fraction]

    References
    ----------
    .. [1] Wood Handbook, FPL-GTR-190, 2010, Ch. 13: 0.5 % moisture for each 5.6 °C (10 °F); added
       where the wood is colder than the calibration, taken off where it is warmer.
    """
    return reading + 0.005 * (calibrated_at - temperature) / (10 / 1.8)


def by_equation(reading: float, temperature: float, a: float = 1.0, b: float = 0.0) -> float:
    """Reading of a pin meter with the Douglas-fir scale at any temperature, in any fitted wood.

    Parameters
    ----------
    reading : float
        [fraction]
    temperature : float
        Of the wood. [°C]
    a, b : float
        Coefficients of the species, as printed; 1 and 0 are Douglas-fir itself.

    Returns
    -------
    moisture : float
        [fraction]

    Notes
    -----
    Corrects more than the rule of thumb does where the wood is wet and cold. Its printed range
    is not known to us; readings from 6 to 30 % between -20 and 60 °C are let through by
    `corrected`.

    References
    ----------
    .. [1] F. Pfaff and P. Garrahan, *Forest Products Journal* 36(3):28-30, 1986 (from memory).
    """
    t = temperature
    shown = (reading * 100 + 0.567 - 0.0260 * t + 0.000051 * t**2) / (0.881 * 1.0056**t)
    return float((shown - b) / a / 100)


def corrected(reading: float, meter: Meter, temperature: float, species: Species) -> Corrected:
    """What a reading says once temperature, then species, are put right.

    Parameters
    ----------
    reading : float
        As shown. [fraction]
    meter : Meter
    temperature : float
        Of the wood where it was read. [°C]
    species : Species

    Returns
    -------
    Corrected

    Raises
    ------
    BadValue
        Not a reading; wood frozen hard or hotter than any stack; a gravity that no wood has.

    Notes
    -----
    Temperature first, species second (ASTM D4444, from memory). Half of what equation and
    rule of thumb differ by is added to the shared doubt. A meter without pins answers to
    the mass of water in its field: a setting other than the wood's own gravity is put right
    by their ratio, a first-order guess, with a fifth of the change as doubt.

    References
    ----------
    .. [1] Wood Handbook, FPL-GTR-190, 2010, Ch. 13 (ranges 6 and 4 to 30 %, read).
    """
    if not 0 <= reading < 2:
        raise BadValue("reading", reading, "a fraction from 0 to 2 (14 % is 0.14)", 'Write "14 %".')
    if not _COLDEST <= temperature <= _HOTTEST:
        rule = f"from {_COLDEST:g} to {_HOTTEST:g} °C"
        remedy = 'Temperature of the wood: "5 C", "41 F".'
        raise BadValue("temperature", f"{temperature:g} °C", rule, remedy)
    if meter.calibrated_at is not None and not _COLDEST <= meter.calibrated_at <= _HOTTEST:
        rule, shown = f"from {_COLDEST:g} to {_HOTTEST:g} °C", f"{meter.calibrated_at:g} °C"
        raise BadValue("calibrated at", shown, rule, 'As the maker says: "20 C", "70 F".')
    shift = _pinless if meter.kind == "pinless" else _pin
    value, doubt, remarks = shift(reading, meter, temperature, species)
    # The meter's own limits, as they stand in this wood at this temperature.
    top = shift(WET, meter, temperature, species)[0]
    bottom = shift(LEAST[meter.kind], meter, temperature, species)[0]
    wet, dry = reading > WET or value > WET, reading < LEAST[meter.kind]
    if wet:
        value = min(top, WET) if reading > WET else WET
        remarks = (*remarks, "above 30 %, where a meter says only that the wood is wet")
    elif dry:
        value = max(bottom, 0.0)
        remarks = (*remarks, f"under {LEAST[meter.kind] * 100:.0f} %, which the meter cannot measure")
    bias = math.hypot(BIAS[meter.kind], doubt)
    return Corrected(value, wet, dry, NOISE[meter.kind], bias, remarks)


def _pin(
    reading: float, meter: Meter, temperature: float, species: Species
) -> tuple[float, float, tuple[str, ...]]:
    value, doubt = reading, 0.0
    remarks: tuple[str, ...] = ()
    if not meter.warm_itself:
        value = by_equation(reading, temperature)
        if meter.calibrated_at is not None:
            # Shifted so that nothing is added where the maker says that nothing is.
            value += reading - by_equation(reading, meter.calibrated_at)
        rough = by_rule(
            reading, temperature, _NEUTRAL if meter.calibrated_at is None else meter.calibrated_at
        )
        doubt = abs(value - rough) / 2
        remarks = ("temperature: Pfaff and Garrahan 1986 [from memory]",)
    if meter.scale is Scale.DOUGLAS_FIR:
        wood = for_wood(max(value, 0.0), species)
        value, doubt, remarks = wood.moisture, math.hypot(doubt, wood.doubt), (*remarks, *wood.remarks)
    return max(value, 0.0), doubt, remarks


def _pinless(
    reading: float, meter: Meter, temperature: float, species: Species
) -> tuple[float, float, tuple[str, ...]]:
    remarks: tuple[str, ...] = ()
    doubt = 0.0
    if not meter.warm_itself and abs(temperature - 20) > 10:
        # The handbook gives charts for each maker's meter and no equation: nothing is added.
        doubt = 0.01
        remarks = ("no temperature correction is known for a meter without pins: give or take 1 %",)
    if meter.gravity_set is None:
        return reading, doubt, remarks
    if not 0.1 < meter.gravity_set < 1.4:
        raise BadValue("gravity", meter.gravity_set, "between 0.1 and 1.4", "As the meter was set: 0.60.")
    # Meters are set by the gravity of seasoned wood.
    known = species.sg_12 or species.sg_basic
    if known is None:
        rule = "left out for a wood whose gravity is not known"
        raise BadValue("gravity", meter.gravity_set, rule, "Leave the meter's setting out.")
    own = known.value
    value = reading * meter.gravity_set / own
    remarks = (*remarks, f"set to {meter.gravity_set:g}, the wood has {own:.2f}: by their ratio, a guess")
    return value, math.hypot(doubt, abs(value - reading) / 5), remarks
