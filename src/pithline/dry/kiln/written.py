"""The table [kiln]: its fields as a person writes them, and what they make."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from pithline.dry.kiln.kiln import Controls, Kiln
from pithline.dry.kiln.starters import STARTERS
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.quantity import Quantity as Measure
from pithline.quantity import read as read_measure
from pithline.saw.written.assumed import Assumed, Written
from pithline.wood.estimate import Estimate

__all__ = ["KILN", "energy_price", "power", "read_kiln"]

POWER = Measure(
    "a power",
    (
        (Fraction(1), "W", ("w", "watt", "watts")),
        (Fraction(1000), "kW", ("kw", "kilowatt", "kilowatts")),
        # The Btu of 1055.056 J (ISO 31-4, 1992).
        (Fraction("1055.056") / 3600, "Btu/h", ("btu/h", "btu/hr")),
    ),
    '"1300 W" or "12 kW"',
)


def power(raw: Any, path: str) -> float:
    """Power in W, as ``1300 W``, ``12 kW``, ``5000 Btu/h``."""
    value = read_measure(POWER, raw, path, False)[0]
    if value > 1e6:
        raise BadValue(path, raw, "at most 1000 kW", "Look at the unit.")
    return value


def _per_kg(raw: Any, path: str) -> float:
    """Bought energy per kilogram of water [kWh/kg], as ``0.6 kWh per kg``."""
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*kwh\s*(?:per|/)\s*(kg|lb)\s*", str(raw), re.IGNORECASE)
    value = float(found[1]) / (0.45359237 if found[2].lower() == "lb" else 1.0) if found else -1.0
    if not 0 <= value <= 20:
        raise BadValue(path, raw, "an energy for water, up to 20 kWh per kg", 'Write "0.6 kWh per kg".')
    return value


def energy_price(raw: Any, path: str) -> tuple[float, str]:
    """Money for a kilowatt-hour and its currency, as ``0.30 EUR per kWh``."""
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*([A-Za-z]{3})\s*(?:per|/)\s*kwh\s*", str(raw), re.IGNORECASE)
    # Nothing dearer than a million can be meant, and no sum with it grows past what can be printed.
    if not found or float(found[1]) > 1e6:
        raise BadValue(path, str(raw)[:60], "a price of a kilowatt-hour", 'Write "0.30 EUR per kWh".')
    return float(found[1]), found[2].upper()


_L = Quantity.LENGTH
KILN = Table(
    "kiln",
    "What the kiln can do, in your own figures.",
    (
        Field("name", Quantity.TEXT, "What you call it."),
        Field(
            "like",
            Quantity.TEXT,
            "A kiln to begin from; fields that you leave out are taken from it, and marked.",
            default="small dehumidifier",
            choices=tuple(STARTERS),
        ),
        Field("top", Quantity.TEMPERATURE, "Highest air temperature it holds.", least="20 C", most="100 C"),
        Field(
            "water_per_day",
            Quantity.MASS,
            "Water it takes out of wet wood in a day.",
            least="1 g",
            most="5 t",
        ),
        Field("heat", Quantity.TEXT, 'Its heater, "1300 W"; 0 W in a solar kiln.', parse=power),
        Field("fans", Quantity.TEXT, 'Fans that run all the time, "530 W".', parse=power),
        Field("spray", Quantity.FLAG, "Whether it can damp its air: steam or mist."),
        Field(
            "controls",
            Quantity.TEXT,
            "What it holds at a setting by itself.",
            choices=tuple(str(each) for each in Controls),
        ),
        Field("driest", Quantity.SHARE, "Lowest humidity it can hold.", least="3 %", most="90 %"),
        Field("length", _L, "Room for the stack, along the slabs.", least="30 cm", most="30 m"),
        Field("width", _L, "Room for the stack, across.", least="20 cm", most="10 m"),
        Field("height", _L, "Room for the stack, stickers included.", least="20 cm", most="10 m"),
        Field(
            "energy_wet",
            Quantity.TEXT,
            'Bought for the water above 20 % moisture, without fans: "0.6 kWh per kg".',
            parse=_per_kg,
        ),
        Field(
            "energy_dry",
            Quantity.TEXT,
            'The same below 20 %, where each kilogram costs more: "1.2 kWh per kg".',
            parse=_per_kg,
        ),
    ),
)


def read_kiln(raw: Mapping[str, Any] | None) -> Written[Kiln]:
    """Read the table [kiln].

    Parameters
    ----------
    raw : mapping or None
        None or empty: the starter "small dehumidifier" as it stands.

    Returns
    -------
    Written
        The kiln; every figure that came from a starter is named with its range.

    Raises
    ------
    BadValue
        Unknown fields, sizes out of range, more energy for wet wood than for dry.
    """
    raw = {} if raw is None else raw
    like = read(KILN, raw)["like"]
    starter = STARTERS[like]
    begun = {name: value for name, (value, _, _) in starter.items()}
    got = read(KILN, {**begun, **raw})
    if got["energy_wet"] > got["energy_dry"] and {"energy_wet", "energy_dry"} <= set(raw):
        raise BadValue(
            "kiln.energy_wet", raw["energy_wet"], f"at most energy_dry, {raw['energy_dry']}", "Swap the two?"
        )
    assumed = tuple(
        Assumed(f"kiln.{name}", _told(value), f"{f'{span[0]} to {span[1]}; ' if span else ''}{why}")
        for name, (value, span, why) in starter.items()
        if name not in raw
    )
    kiln = Kiln(
        name=got["name"] or f"{like} kiln",
        water=_ranged(got, starter, raw, "water_per_day"),
        controls=Controls(got["controls"]),
        energy_wet=_ranged(got, starter, raw, "energy_wet"),
        energy_dry=_ranged(got, starter, raw, "energy_dry"),
        **{name: got[name] for name in ("top", "heat", "fans", "spray", "driest")},
        **{name: got[name] for name in ("length", "width", "height")},
    )
    return Written(kiln, assumed)


def _ranged(
    got: Mapping[str, Any], starter: Mapping[str, Any], raw: Mapping[str, Any], name: str
) -> Estimate:
    if name in raw:
        return Estimate(got[name], got[name], got[name], False, ("as written",))
    _, span, why = starter[name]
    if span is None:
        return Estimate(got[name], got[name], got[name], True, (why,))
    low, high = (read(KILN, {name: end})[name] for end in span)
    return Estimate(low, got[name], high, True, (why,))


def _told(value: str | bool) -> str:
    return value if isinstance(value, str) else ("true" if value else "false")
