"""A plan in the words and rows of its page."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal

from pithline.saw.plan import Plan
from pithline.saw.ways import rise
from pithline.sheets.retake_chart import NOTABLE
from pithline.sheets.wording import above_pith, amount, degrees, in_column, length_unit, tally
from pithline.units import System, show_area, show_length, show_mass, show_share, show_volume

__all__ = ["Shown", "minutes", "show", "show_further"]


@dataclass(frozen=True, slots=True)
class Shown:
    """Rows and words, ready for the template; every size says its unit or stands under it."""

    worth: str  # "" without rates
    tally: str
    sums: str
    rule: str
    setting: str
    unit: str
    slabs: list[dict[str, Any]]
    cuts: list[dict[str, Any]]
    rail: list[tuple[str, str, str]]
    wood: list[dict[str, Any]]
    log: str
    worths: list[dict[str, str]]
    remarks: tuple[str, ...]
    sold: bool  # some slab is for something
    orders: list[dict[str, str]]
    orders_cost: str  # "" where nothing is ordered, or not all was weighed


def minutes(value: float) -> str:
    """A time of work, rounded to five minutes: 2 h 50 min."""
    whole = 5 * math.ceil(value / 5 - 1e-9)
    hours, rest = divmod(whole, 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"


def show(plan: Plan, system: System) -> Shown:
    """Say one plan."""
    pitch = "parallel to the pith" if plan.pitch == 0 else f"{rise(plan.pitch, system)} against the pith"
    possible = math.isfinite(plan.net)
    sides = (1, *(c.side for c in plan.cuts))
    volume: Literal["m3", "ft3"] = "m3" if system == "metric" else "ft3"
    setup = plan.setup
    return Shown(
        worth=amount(plan, plan.net) if plan.money and possible else "",
        tally=tally(plan, plan.tally),
        sums=f"{_count(len(plan.slabs), 'slab')}, {_count(len(plan.cuts), 'cut')}, "
        f"{show_area(plan.area, system)} of cut, about {minutes(plan.minutes)} of sawing",
        rule=f"{plan.aims.tally}, {plan.aims.unit}, green sizes",
        setting=f"{degrees(plan.roll)}; cuts {pitch}",
        unit=length_unit(system),
        slabs=[
            {
                "number": s.number,
                "pith": s.holds_pith,
                "aim": s.aim.label,
                "green": in_column(s.outline.thickness, system),
                "rough": in_column(s.rough_dry, system),
                "finished": in_column(s.finished, system),
                "length": show_length(s.length, system, "long"),
                "least": in_column(s.least_width, system),
                "mean": in_column(s.mean_width, system),
                "tally": tally(plan, s.tally),
                "worth": amount(plan, s.value) if plan.money else "",
                "weight": show_mass(s.weight_high, system, up=True),
                "grain": " / ".join(f"{100 * share:.0f}" for share in (s.flat, s.rift, s.quarter)),
                "pieces": [
                    f"{p.use or 'by the tally'}, {show_length(p.start, system, 'long')} to "
                    f"{show_length(p.end, system, 'long')}"
                    + (f": {amount(plan, p.value)}" if plan.money else "")
                    for p in s.pieces
                ],
                "pair": s.pair_with,
            }
            for s in plan.slabs
        ],
        cuts=[
            {
                "number": c.number,
                "set": in_column(c.set_to, system),
                "butt": above_pith(c.face_butt, system),
                "top": above_pith(c.face_top, system),
                "width": in_column(c.width, system),
                "frees": c.frees,
                "upper": c.upper,
                "turn": "" if c.side == before else "Turn the log over." if c.side == 2 else "Turn it back.",
            }
            for c, before in zip(plan.cuts, sides, strict=False)
        ],
        rail=[
            (name, show_length(butt, system), show_length(top, system))
            for name, butt, top in (
                ("Rail's underside above the pith mark", setup.rail_butt, setup.rail_top),
                ("Rail's underside above the ground", setup.above_ground_butt, setup.above_ground_top),
                ("Gap between rail and bark", setup.ledge_butt, setup.ledge_top),
            )
        ],
        wood=[
            {
                "name": line.name,
                "volume": show_volume(line.volume, volume),
                "share": show_share(line.volume / plan.ledger.log),
                "bar": max(0.0, round(100 * line.volume / plan.ledger.log, 1)),
                "note": line.note,
            }
            for line in plan.ledger.lines
            if abs(line.volume) > 1e-9
        ],
        log=show_volume(plan.ledger.log, volume),
        worths=[{"name": w.name, "value": amount(plan, w.value), "note": w.note} for w in plan.ledger.worths],
        remarks=(*plan.remarks, *plan.setup.remarks),
        sold=any(s.pieces for s in plan.slabs),
        orders=[
            {
                "name": o.name,
                "cut": f"{o.cut} of {o.wanted}",
                "cost": amount(plan, o.cost),
                "missing": o.missing,
            }
            for o in plan.orders
        ],
        orders_cost=amount(plan, plan.orders_cost) if plan.orders and plan.orders_cost > 0 else "",
    )


def show_further(plan: Plan, system: System) -> dict[str, Any]:
    """Ranges, other ways, and what was assumed and is worth measuring."""
    ranges = []
    for name, spread, said in (("Net", plan.net_spread, amount), ("Tally", plan.tally_spread, tally)):
        if spread and (name == "Tally" or plan.money) and math.isfinite(spread.p50):
            ranges.append((name, *(said(plan, value) for value in (spread.p10, spread.p50, spread.p90))))
    return {
        "ranges": ranges,
        "ways": [
            {
                "name": w.name,
                "chosen": w.chosen,
                "net": amount(plan, w.net) if math.isfinite(w.net) else "cannot be sawn",
                "tally": tally(plan, w.tally),
                "slabs": w.slabs,
                "cuts": w.cuts,
                "area": show_area(w.area, system),
                "time": minutes(w.minutes),
                "note": w.note,
            }
            for w in plan.ways
        ],
        "doubts": [
            {
                "field": d.field,
                "value": d.value,
                "low": f"{amount(plan, d.net_low)} if {d.low}",
                "high": f"{amount(plan, d.net_high)} if {d.high}",
                "swing": amount(plan, d.swing),
            }
            for d in plan.doubts
        ],
        "retakes": [
            {
                "field": r.field,
                "value": f"{r.value} ± {r.error}".replace(" ", "\u00a0"),
                "worth": amount(plan, r.regret),
                "best": f"{amount(plan, r.net_low)} to {amount(plan, r.net_high)}",
                "kept": f"{amount(plan, r.kept_low)} to {amount(plan, r.kept_high)}",
            }
            for r in plan.retakes
            if r.swing > NOTABLE * abs(plan.net) or r.regret > 0.1 * NOTABLE * abs(plan.net)
        ],
    }


def _count(number: int, name: str) -> str:
    return f"{number} {name}" if number == 1 else f"{number} {name}s"
