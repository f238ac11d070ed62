"""Mill, aims and rates back into tables, so that a set of them can be kept.

What is written here reads back as the same value objects.
"""

from __future__ import annotations

import math
from typing import Any

from pithline.saw.aims import Aims, Following
from pithline.saw.mill import Mill
from pithline.saw.rates import Rates
from pithline.saw.uses.use import Use
from pithline.saw.written.aims import BARK, PITH, UNITS
from pithline.slab.tally import TallyUnit

__all__ = ["aims_table", "mill_table", "rates_table"]

_LENGTHS = (
    *("bar", "bar_lost", "clearance", "kerf", "depth_min", "depth_max", "step"),
    *("rail", "overrun", "below_bar", "screw_low", "screw_high"),
)


def mill_table(mill: Mill) -> dict[str, Any]:
    """Write the table [mill], every field of it."""
    return {
        **{name: _mm(getattr(mill, name)) for name in _LENGTHS if getattr(mill, name) is not None},
        "pace": f"{_plain(mill.minutes_per_area)} min/m2",
        "per_cut": f"{_plain(mill.minutes_per_cut)} min",
        "per_turn": f"{_plain(mill.minutes_per_turn)} min",
    }


def aims_table(aims: Aims) -> dict[str, Any]:
    """Write the table [aims], every field of it that says something."""
    table: dict[str, Any] = {
        "thickness": [aim.label for aim in aims.thicknesses],
        "moisture": _percent(aims.moisture),
        "tally": str(aims.tally),
        "unit": _key(UNITS, aims.unit),
        **{
            name: _mm(getattr(aims, name))
            for name in ("least_width", "least_length", "trim_butt", "trim_top")
        },
        "pith": _key(PITH, aims.pith),
        "pith_deduction": _percent(aims.pith_deduction),
        **({} if aims.crotch_plane else {"roll": "free" if aims.roll_free else _degrees(aims.roll)}),
        "both_sides": aims.both_sides,
        "alternate": aims.alternate,
        "bark": _key(BARK, aims.bark),
        "least_waste": "one kerf" if aims.least_waste is None else _mm(aims.least_waste),
        "sawing_variation": _mm(aims.sawing_variation),
        "flattening": [
            {"allowance": _mm(allowance)} | ({} if math.isinf(limit) else {"up_to": _mm(limit)})
            for limit, allowance in aims.flattening
        ],
        "flat_below": _degrees(aims.flat_below),
        "quarter_above": _degrees(aims.quarter_above),
        "order": [_use(u) for u in aims.orders],
        "feather": _mm(aims.feather),
        "skip": [{"low": _mm(low), "high": _mm(high)} for low, high in aims.skips],
    }
    if aims.follow is Following.GIVEN:
        return table | {"pitch": f"{_plain(1000 * aims.pitch)} mm/m"}
    return table | {"follow": str(aims.follow)}


def rates_table(rates: Rates, unit: TallyUnit) -> dict[str, Any]:
    """Write the table [rates] for one species, per unit of the tally it was read for."""
    per = "per m3" if unit is TallyUnit.M3 else "per bf"
    table: dict[str, Any] = {
        "width": [{"from": _mm(s.least), "premium": _percent(s.premium)} for s in rates.width],
        "length": [{"from": _mm(s.least), "premium": _percent(s.premium)} for s in rates.length],
        "figure": _percent(rates.figure),
        "cut_cost": f"{_plain(rates.per_cut_area)} per m2",
        "slab_cost": f"{_plain(rates.per_slab)} per slab",
        "carry_cost": f"{_plain(rates.per_kg)} per kg",
        "month_cost": f"{_plain(rates.per_month)} per m3",
        "inch_months": rates.inch_months,
        "months_power": rates.months_power,
        "use": [_use(u) for u in rates.uses],
    }
    if not rates.currency:
        return table
    named = [f"{label}: {_plain(rate)} {per}" for label, rate in rates.by_thickness]
    return {"currency": rates.currency, "rate": named} | table


def _use(use: Use) -> dict[str, Any]:
    row: dict[str, Any] = {"name": use.name, "width": _mm(use.width), "length": _mm(use.length)}
    if use.thicknesses:
        row["thickness"] = list(use.thicknesses)
    if use.price is not None:
        row["price"] = use.price
    if use.at_most is not None:
        row["count" if use.ordered else "at_most"] = use.at_most
    wishes = {"pair": use.pair, "clear_of_pith": use.clear_of_pith, "grain": str(use.grain)}
    return row | wishes | {"figure": _percent(use.figure)}


def _plain(value: float) -> str:
    """Twelve digits are finer than any tape or price, and shed binary dust."""
    text = f"{value:.12f}".rstrip("0").rstrip(".")
    return text if text != "-0" else "0"


def _mm(metres: float) -> str:
    return f"{_plain(round(1000 * metres, 9))} mm"


def _percent(fraction: float) -> str:
    return f"{_plain(round(100 * fraction, 10))} %"


def _degrees(radians: float) -> str:
    return f"{_plain(round(math.degrees(radians), 9))} deg"


def _key(words: dict[str, Any], value: Any) -> str:
    return next(word for word, meant in words.items() if meant is value)
