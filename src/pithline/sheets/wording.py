"""How a plan's figures are said on paper: one place, so that every sheet says them alike."""

from __future__ import annotations

import math
import re
from typing import Literal

from pithline.saw.plan import Plan, PlannedSlab
from pithline.slab.tally import TallyUnit
from pithline.units import System, show_length

__all__ = [
    "above_pith",
    "amount",
    "degrees",
    "field_words",
    "in_column",
    "length_unit",
    "sizes",
    "tally",
    "tally_unit",
]

Kind = Literal["thickness", "long"]


def length_unit(system: System) -> str:
    """What `in_column` figures are in, for a heading."""
    return "mm" if system == "metric" else "inches"


def in_column(metres: float, system: System) -> str:
    """A length under a heading that names the unit; inches keep their mark."""
    return show_length(metres, system).removesuffix(" mm").replace("-", "−")


def above_pith(metres: float, system: System) -> str:
    """A height with its sign: + above the pith mark, − below."""
    told = in_column(metres, system)
    return told if told.startswith("−") or told in ("0", '0"') else f"+{told}"


def tally_unit(plan: Plan) -> str:
    """The unit that the plan's tally is counted in."""
    return "m³" if plan.aims.unit is TallyUnit.M3 else "bf"


def tally(plan: Plan, value: float) -> str:
    """A tally with its unit."""
    return f"{value:.3f} m³" if plan.aims.unit is TallyUnit.M3 else f"{value:.0f} bf"


def amount(plan: Plan, value: float) -> str:
    """Money with its code; tally units where the plan has no rates."""
    return f"{plan.rates.currency} {value:,.0f}" if plan.rates.currency else tally(plan, value)


def sizes(slab: PlannedSlab, system: System) -> str:
    """The three thicknesses of a slab, each with its name."""
    green, rough, finished = (
        show_length(t, system) for t in (slab.outline.thickness, slab.rough_dry, slab.finished)
    )
    return f"{green} green, {rough} rough dry, {finished} finished"


def degrees(radians: float) -> str:
    """A turn of the log, said with its direction seen from the butt."""
    turned = math.degrees(math.remainder(radians, 2 * math.pi))
    if abs(turned) < 0.05:
        return "as it lies"
    return f"rolled {abs(turned):.0f}° {'anticlockwise' if turned > 0 else 'clockwise'}, seen from the butt"


def field_words(path: str) -> str:
    """Where something stands in a record, as words: ``log.zones[1].depth`` is "zone 1, depth"."""
    numbered = re.sub(r"(\w+)s\[(\d+)\]", r"\1 \2", path.removeprefix("log."))
    return numbered.replace(".", ", ").replace("_", " ")
