"""What a person types, with its unit, into SI; and SI back into what a person reads.

Text is parsed here once, at the edge. A number without a unit is refused: 80 can be
millimetres or inches, and a slab sawn on a guess cannot be put back.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Literal

from pithline.errors import BadValue
from pithline.quantity import (
    ANGLE,
    AREA,
    DENSITY,
    DURATION,
    LENGTH,
    MASS,
    PACE,
    SHARE,
    SLOPE,
    TEMPERATURE,
    VOLUME,
    read,
)  # fmt: skip

__all__ = [
    "BOARD_FOOT", "FOOT", "INCH", "POUND", "System",
    "angle", "area", "clock", "density", "duration", "length", "mass", "pace", "quarters", "share",
    "show_angle", "show_area", "show_clock", "show_density", "show_length", "show_mass", "show_share",
    "show_slope", "show_temperature", "show_volume", "slope", "temperature", "volume",
]  # fmt: skip

# Exact by definition: international inch and pound of 1959 (NIST SP 811, 2008, appendix B.8).
INCH = 0.0254  # [m]
FOOT = 0.3048  # [m]
POUND = 0.45359237  # [kg]
BOARD_FOOT = INCH**3 * 144  # [m3]

System = Literal["metric", "inch"]


def quarters(text: object) -> int | None:
    """Quarter inches of a trade thickness name ("12/4" is 12), or None if it is no such name."""
    found = re.fullmatch(r"\s*(\d{1,3})\s*/\s*4\s*", text) if isinstance(text, str) else None
    return int(found[1]) or None if found else None


def length(text: object, field: str = "length", *, signed: bool = False) -> float:
    """Length in m, as written by hand.

    Parameters
    ----------
    text : object
        ``80 mm``, ``2.4 m``, ``3 1/8"``, ``8'6"``, ``12/4`` (quarters of an inch).
    field : str
        Named in the refusal.
    signed : bool
        Whether it may be negative.

    Raises
    ------
    BadValue
        No unit, an unknown unit, not finite, or negative where that makes no sense.
    """
    named = quarters(text)
    return read(LENGTH, f"{named}/4 in" if named else text, field, signed)[0]


def mass(text: object, field: str = "mass") -> float:
    """Mass in kg, as ``32 kg``, ``1.2 t``, ``71 lb``."""
    return read(MASS, text, field, False)[0]


def angle(text: object, field: str = "angle", *, signed: bool = True) -> float:
    """Angle in rad, as ``30 deg`` or ``30°``."""
    return read(ANGLE, text, field, signed)[0]


def slope(text: object, field: str = "slope", *, signed: bool = True) -> float:
    """Rise over run in m/m, as ``12 mm/m``, ``3 %``, ``1/4 in/ft``, ``2 deg``."""
    value, unit = read(SLOPE, text, field, signed)
    if unit != "deg":
        return value
    if abs(value) >= math.pi / 2:
        raise BadValue(field, text, "less steep than 90 deg", f"Write {SLOPE.example}.")
    return math.tan(value)


def share(text: object, field: str = "share", *, signed: bool = False) -> float:
    """Fraction of a whole, as ``8 %``; may pass 100 %, as moisture content does."""
    return read(SHARE, text, field, signed)[0]


def temperature(text: object, field: str = "temperature") -> float:
    """Temperature in °C, as ``21 C``, ``70 F``."""
    value, unit = read(TEMPERATURE, text, field, True)
    celsius = {"C": value, "F": (value - 32) / 1.8, "K": value - 273.15}[unit]
    if celsius < -273.15:
        raise BadValue(field, text, "above absolute zero", f"Write {TEMPERATURE.example}.")
    return celsius


def area(text: object, field: str = "area") -> float:
    """Area in m2, as ``1.8 m2`` or ``20 ft2``."""
    return read(AREA, text, field, False)[0]


def volume(text: object, field: str = "volume") -> float:
    """Volume in m3, as ``0.15 m3``, ``60 bf``, ``5 ft3``."""
    return read(VOLUME, text, field, False)[0]


def density(text: object, field: str = "density") -> float:
    """Density in kg/m3, as ``980 kg/m3`` or ``61 lb/ft3``."""
    return read(DENSITY, text, field, False)[0]


def duration(text: object, field: str = "duration") -> float:
    """Time in min, as ``45 min`` or ``1 h 30 min``."""
    return read(DURATION, text, field, False)[0]


def pace(text: object, field: str = "pace") -> float:
    """Sawing time per area of cut in min/m2, as ``5 min/m2``."""
    return read(PACE, text, field, False)[0]


def clock(text: object, field: str = "clock position") -> float:
    """Direction in rad by the hour hand, seen from the butt: ``3 o'clock``, ``10:30``.

    Anticlockwise from +x (right): 3 is 0, 12 is pi/2; from 0 up to 2 pi.
    """
    remedy = 'Write "3 o\'clock" or "10:30", seen from the butt with 12 on top.'
    plain = text.replace("\u2019", "'").strip().lower() if isinstance(text, str) else ""
    found = re.fullmatch(r"(\d{1,2}(?:\.\d+)?)\s*o'?\s?clock|(\d{1,2}):([0-5]\d)(?:\s*o'?\s?clock)?", plain)
    hour = -1.0
    if found:
        hour = float(found[1]) if found[1] else int(found[2]) + int(found[3]) / 60
    if not 0 <= hour < 13:
        raise BadValue(field, text, "a place on the clock face", remedy)
    return math.radians((3 - hour) * 30 % 360)


def show_length(
    metres: float,
    system: System = "metric",
    kind: Literal["thickness", "long"] = "thickness",
    fine: bool = False,
) -> str:
    """Length as a person reads it off a tape.

    Parameters
    ----------
    metres : float
        [m]
    system : {"metric", "inch"}
    kind : {"thickness", "long"}
        Millimetres or inches; or metres, or feet and inches.
    fine : bool
        To 0.1 mm, 1 mm or 1/32 in instead of 1 mm, 10 mm, 1/16 in.
    """
    if system == "metric":
        if kind == "long":
            return f"{_plain(metres, 3 if fine else 2)} m"
        return f"{_plain(metres * 1000, 1 if fine else 0)} mm"
    parts = 32 if fine else 16
    steps = round(abs(metres) / INCH * parts)
    sign = "-" if metres < 0 and steps else ""
    feet, rest = divmod(steps, 12 * parts) if kind == "long" else (0, steps)
    whole, over = divmod(rest, parts)
    words = [f"{feet}'"] if feet else []
    inches = [str(whole)] if whole or not over else []
    inches += [str(Fraction(over, parts))] if over else []
    if rest or not feet:
        words.append(" ".join(inches) + '"')
    return sign + " ".join(words)


def show_mass(kilograms: float, system: System = "metric", up: bool = False) -> str:
    """Mass as a person reads it; `up` never shows less than it is, for lifts and loads."""
    if system == "metric" and abs(kilograms) >= 1000:
        return f"{_plain(kilograms / 1000, 2, up)} t"
    value, unit = (kilograms, "kg") if system == "metric" else (kilograms / POUND, "lb")
    return f"{_plain(value, 0 if abs(value) >= 10 else 1, up)} {unit}"


def show_volume(cubic_metres: float, unit: Literal["m3", "bf", "ft3"] = "m3") -> str:
    """Volume with its unit: 0.153 m³, 65 bf, 5.4 ft³."""
    if unit == "m3":
        return f"{_plain(cubic_metres, 3)} m³"
    if unit == "ft3":
        return f"{_plain(cubic_metres / FOOT**3, 1)} ft³"
    feet = cubic_metres / BOARD_FOOT
    return f"{_plain(feet, 0 if abs(feet) >= 10 else 1)} bf"


def show_area(square_metres: float, system: System = "metric") -> str:
    """Area with its unit: 1.84 m², 19.8 ft²."""
    if system == "metric":
        return f"{_plain(square_metres, 2)} m²"
    return f"{_plain(square_metres / FOOT**2, 1)} ft²"


def show_density(value: float, system: System = "metric") -> str:
    """Density with its unit: 980 kg/m³, 61.2 lb/ft³."""
    if system == "metric":
        return f"{_plain(value, 0)} kg/m³"
    return f"{_plain(value / POUND * FOOT**3, 1)} lb/ft³"


def show_angle(radians: float, digits: int = 1) -> str:
    """Angle in degrees: 30.0°."""
    return f"{_plain(math.degrees(radians), digits)}°"


def show_slope(slope: float, system: System = "metric") -> str:
    """Slope over a tape's length, without its sign: 14.5 mm/m, 0.17 in/ft."""
    size = abs(slope)
    return f"{_plain(size * 1000, 1)} mm/m" if system == "metric" else f"{_plain(size * 12, 2)} in/ft"


def show_clock(radians: float) -> str:
    """Direction as an hour seen from the butt, to five minutes of the dial: 3:00."""
    minutes = round((90 - math.degrees(radians)) % 360 * 2 / 5) * 5 % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def show_share(fraction: float, digits: int = 1) -> str:
    """Part of a whole in percent: 8.0 %."""
    return f"{_plain(fraction * 100, digits)} %"


def show_temperature(celsius: float, system: System = "metric") -> str:
    """Temperature with its unit: 21.1 °C, 70 °F."""
    return f"{_plain(celsius, 1)} °C" if system == "metric" else f"{_plain(celsius * 1.8 + 32, 0)} °F"


def _plain(value: float, digits: int, up: bool = False) -> str:
    """Show fixed digits, without a minus before zero."""
    if up:  # the small step back forgives binary dust such as 32.000000000000004
        value = math.ceil(value * 10**digits - 1e-9) / 10**digits
    shown = f"{value:.{digits}f}"
    return shown.lstrip("-") if not shown.strip("-0.") else shown
