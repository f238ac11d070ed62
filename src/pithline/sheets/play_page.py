"""One page to play with: turn the log, move the first cut, and see the best slabs below it.

All plans are reckoned here and written into the page; its script only looks them up
and draws them, so the page works without a net and without Pithline.
"""

from __future__ import annotations

import html
import json
import math
from importlib.resources import files
from typing import Any

import numpy as np

from pithline.saw.aims import Following
from pithline.saw.field.first_cuts import BriefSlab, StartPlan, start_plans
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.plan import Plan
from pithline.saw.search import bark_pitch
from pithline.saw.solution import room, solve
from pithline.saw.timber import Timber
from pithline.sheets.end_view import zone_letter
from pithline.sheets.wording import degrees, tally_unit
from pithline.slab.tally import TallyUnit
from pithline.units import System

__all__ = ["play_data", "play_page"]

_TURN = 10  # degrees between two rolls
_APART = 0.003  # between two first cuts [m]


def play_page(plan: Plan, timber: Timber, title: str, system: System = "metric") -> str:
    """The page as one HTML document that loads nothing else.

    Parameters
    ----------
    plan : Plan
    timber : Timber
        That it was made with.
    title : str
        Names the log.
    system : {"metric", "inch"}
    """
    data = json.dumps(play_data(plan, timber, system), separators=(",", ":"), allow_nan=False)
    page = files("pithline.sheets").joinpath("play_page.html").read_text(encoding="utf-8")
    # "</" would end the script element that holds the data.
    return page.replace("{{title}}", html.escape(title)).replace("{{data}}", data.replace("</", "<\\/"))


def play_data(plan: Plan, timber: Timber, system: System = "metric") -> dict[str, Any]:
    """What the page looks up: for rolls every ten degrees the best plan of every first cut.

    Parameters
    ----------
    plan, timber, system
        As for `play_page`.

    Returns
    -------
    dict
        Lengths in metres. Cuts and slabs are in lines of `step`; of a roll's ``plans``
        each is [net, cuts, slabs], where slabs are numbers in the roll's ``slabs``:
        [line, choice, value, tally, mean width, number in ``uses``].
    """
    model = prepare(plan.shape, plan.mill, plan.aims, plan.rates, timber)
    own = math.degrees(math.remainder(plan.roll, 2 * math.pi))
    turns = [float(d) for d in range(-180, 180, _TURN)]
    # The plan's own roll takes the place of an equal one.
    turns = sorted([t for t in turns if abs(math.remainder(t - own, 360)) > 1e-6] + [own])
    angles = np.radians(turns)
    angles[turns.index(own)] = plan.roll
    ground = grounds(plan.shape, plan.lie, plan.mill, plan.aims, angles)
    uses: list[str] = []
    rolls = []
    steepest = max((abs(_pitch(plan, model, float(a))) for a in angles), default=0.0)
    tables = room(model, pitch=steepest)
    for degree, angle, below in zip(turns, angles, ground, strict=True):
        pitch = _pitch(plan, model, float(angle))
        solution = solve(model, float(angle), pitch, below, tables)
        apart = max(1, round(_APART / model.reach.step))
        plans = start_plans(solution, model, apart)
        rolls.append(_roll(degree, pitch, plans, uses))
    mine = turns.index(own)
    return {
        "system": system,
        "currency": plan.rates.currency,
        "tally_unit": tally_unit(plan),
        "tally_places": 3 if plan.aims.unit is TallyUnit.M3 else 0,
        "step": plan.step,
        "kerf": model.reach.kerf,
        "length": plan.shape.length,
        "as_planned": degrees(plan.roll),
        "choices": [[c.aim.label, c.lines] for c in model.choices],
        "uses": uses,
        "ends": [_end(plan, 0), _end(plan, -1)],
        "rolls": rolls,
        "planned": [mine, _nearest(rolls[mine]["plans"], plan)],
    }


def _pitch(plan: Plan, model: Model, roll: float) -> float:
    """Cuts that follow the bark lean otherwise at every roll."""
    if plan.aims.follow is Following.BARK and abs(math.remainder(roll - plan.roll, 2 * math.pi)) > 1e-9:
        return bark_pitch(model.wood, roll)
    return plan.pitch


def _roll(degree: float, pitch: float, plans: tuple[StartPlan, ...], uses: list[str]) -> dict[str, Any]:
    known: dict[object, int] = {}
    slabs: list[list[Any]] = []
    rows = []
    for plan in plans:
        numbers = []
        for slab in plan.slabs:
            if slab not in known:
                told = _words(slab)
                if told not in uses:
                    uses.append(told)
                known[slab] = len(slabs)
                slabs.append(
                    [slab.line, slab.choice, round(slab.value, 2), round(slab.tally, 4), round(slab.width, 4),
                     uses.index(told)]
                )  # fmt: skip
            numbers.append(known[slab])
        rows.append([round(plan.net, 2), list(plan.cuts), numbers])
    best = max(range(len(plans)), key=lambda k: plans[k].net) if plans else -1
    return {"degrees": round(degree, 1), "pitch": pitch, "plans": rows, "slabs": slabs, "best": best}


def _nearest(plans: list[list[Any]], plan: Plan) -> int:
    """The plan with the first cut nearest to the one that was planned."""
    if not plans:
        return -1
    wanted = round(max(c.upper for c in plan.cuts) / plan.step)
    return min(range(len(plans)), key=lambda k: abs(plans[k][1][0] - wanted))


def _end(plan: Plan, station: int) -> dict[str, Any]:
    z = 0.0 if station == 0 else plan.shape.length
    return {
        "wood": np.round(plan.shape.outlines[station], 4).tolist(),
        "bark": np.round(plan.shape.over_bark()[station], 4).tolist(),
        "zones": [
            [round(q.x, 4), round(q.y, 4), round(q.radius, 4), zone_letter(q)]
            for q in plan.shape.zones
            if q.start - 0.02 <= z <= q.end + 0.02
        ],
    }


def _words(slab: BriefSlab) -> str:
    names = [n or "tally" for n in slab.uses]
    if names in ([], ["tally"]):
        return ""
    told = " + ".join(f"{names.count(n)} {n}" if names.count(n) > 1 else n for n in dict.fromkeys(names))
    return f"pair {told}" if slab.pair else told
