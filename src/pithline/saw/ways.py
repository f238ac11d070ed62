"""Other ways to saw the same log, beside the chosen one."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.appraise import sold_run
from pithline.saw.mill import Mill
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.plan import Way
from pithline.saw.rates import Rates
from pithline.saw.search import bark_pitch, best_setting
from pithline.saw.solution import Solution, solve
from pithline.saw.timber import Timber
from pithline.units import System, show_mass, show_slope

__all__ = ["ROLLS", "as_way", "rise", "tally_of", "ways"]

ROLLS = np.radians(np.arange(0.0, 360.0, 2.0))


def rise(pitch: float, system: System = "metric") -> str:
    """A pitch of the cuts [m/m] in words: rising 4.0 mm/m towards the top."""
    return f"{'rising' if pitch > 0 else 'falling'} {show_slope(pitch, system)} towards the top"


def tally_of(solution: Solution, model: Model) -> float:
    """Sum of the slabs' tallies, in the unit of the aims."""
    rows = [(line - solution.first, choice) for line, choice in solution.slabs]
    return sum(sold_run(model, solution.tables, row, choice).tally for row, choice in rows)


def as_way(
    name: str, solution: Solution, model: Model, mill: Mill, note: str = "", chosen: bool = False
) -> Way:
    """Sum up a solution for the table of ways."""
    rows = [line - solution.first for line in solution.cuts]
    tables, kerf = solution.tables, model.reach.kerf
    area = sum(0.5 * float(tables.sawn[i] + tables.sawn[i - kerf]) for i in rows)
    return Way(
        name=name,
        net=solution.net,
        tally=tally_of(solution, model),
        slabs=len(solution.slabs),
        cuts=len(solution.cuts),
        area=area,
        minutes=area * mill.minutes_per_area + len(solution.cuts) * mill.minutes_per_cut,
        note=note,
        chosen=chosen,
    )


def ways(
    shape: LogShape,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    roll: float,
    pitch: float,
    system: System = "metric",
) -> Iterator[Way]:
    """Solve the log in every way worth comparing, at the given roll and pitch unless it says otherwise.

    Sizes in the notes are told in `system`.
    """
    model = prepare(shape, mill, aims, rates, timber)
    here = np.array([roll])
    ground = grounds(shape, lie, mill, aims, here)[0]
    if len(aims.thicknesses) > 1:
        for aim in aims.thicknesses:
            only = prepare(shape, mill, replace(aims, thicknesses=(aim,)), rates, timber)
            yield as_way(f"all {aim.label}", solve(only, roll, pitch, ground), only, mill)
    slope = bark_pitch(model.wood, roll)
    for name, other in (("parallel to the pith", 0.0), ("parallel to the bark on top", slope)):
        if abs(other - pitch) > 1e-9:
            note = rise(other, system) if other else ""
            yield as_way(name, solve(model, roll, other, ground), model, mill, note)
    lying = grounds(shape, lie, mill, replace(aims, both_sides=False), np.array([0.0]))[0]
    weight = _weight_at_most(shape, timber, system)
    if abs(roll) > 1e-9 or aims.both_sides:
        yield as_way("as it lies", solve(model, 0.0, pitch, lying), model, mill)
    if not aims.both_sides:
        off = np.array([-math.inf, -math.inf])
        note = f"turn over a log of up to {weight}: winch or levers, both sides chocked"
        yield as_way("sawn from both sides", solve(model, roll, pitch, off), model, mill, note)
    if not aims.roll_free:
        found = best_setting(model, ROLLS, np.array([pitch]), grounds(shape, lie, mill, aims, ROLLS))
        best = float(ROLLS[found.best[0]])
        on = grounds(shape, lie, mill, aims, np.array([best]))[0]
        if float(found.net[found.best]) <= solve(model, roll, pitch, ground).net * (1 + 1e-9):
            return  # no angle pays more than this one
        degrees = math.degrees(best)
        turned = f"{degrees:.0f}° anticlockwise" if degrees <= 180 else f"{360 - degrees:.0f}° clockwise"
        yield as_way(
            f"rolled {turned}",
            solve(model, best, pitch, on),
            model,
            mill,
            f"seen from the butt; up to {weight} to roll",
        )


def _weight_at_most(shape: LogShape, timber: Timber, system: System) -> str:
    from pithline.log.shape import polygon_areas

    area = polygon_areas(shape.over_bark())
    # Bark is taken as heavy as the heaviest wood, and rounded up: the figure warns a person's back.
    most = float(np.trapezoid(area, shape.z)) * timber.density_high
    return show_mass(math.ceil(most / 100) * 100.0, system, up=True)
