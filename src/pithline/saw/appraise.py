"""One planned slab in full: its faces, its run, its tally, its sizes and its weight."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.block import Profile
from pithline.saw.grain import grain_shares, mean_sin2
from pithline.saw.model import Model
from pithline.saw.plan import PlannedSlab
from pithline.saw.sections import volumes_between
from pithline.saw.solution import Solution
from pithline.saw.tables import Tables
from pithline.saw.thickness import dry_thickness, finished_thickness, ring_shrinkage
from pithline.saw.timber import Timber
from pithline.saw.uses.pieces import pair_with, pieces_of
from pithline.slab.outline import SlabOutline

__all__ = ["Run", "appraise", "sold_run"]


@dataclass(frozen=True, slots=True)
class Run:
    """The part of a slab that is sold. Lengths in metres.

    Attributes
    ----------
    worth : float
        Tally units with premiums; all but the rate and the pith rule.
    start, end : float
    area, figure : float
        Counted face over the run, and how much of it shows figure. [m2]
    least : float
        Least narrow face over the run.
    tally : float
        In the unit of the aims.
    """

    worth: float
    start: float
    end: float
    area: float
    figure: float
    least: float
    tally: float


def sold_run(model: Model, tables: Tables, row: int, choice: int) -> Run:
    """The run that pays most of the slab of menu entry `choice` whose upper face is `row` of the tables."""
    from pithline.saw import value_kernel

    wood = model.wood
    z = wood.z[wood.usable_from : wood.usable_to]
    profile = Profile.of(z.size)
    worth, start, end, area, figure, tally = value_kernel.sold_run(
        wood, model.pay, choice, row, model.reach.step, tables, profile
    )
    run = np.concatenate([[start], z[(z > start) & (z < end)], [end]])
    least = float(np.interp(run, z, profile.narrow[:, 0]).min())
    return Run(worth, start, end, area, figure, least, tally)


def appraise(
    number: int,
    line: int,
    choice: int,
    solution: Solution,
    model: Model,
    shape: LogShape,
    aims: Aims,
    timber: Timber,
) -> PlannedSlab:
    """Describe the slab of menu entry `choice` whose upper face is `line`."""
    wood, pay, tables, step = model.wood, model.pay, solution.tables, model.reach.step
    item = model.choices[choice]
    i, t = line - solution.first, item.lines
    upper, lower = line * step, (line - t) * step
    outline = SlabOutline(
        z=wood.z,
        upper=np.stack([tables.left[:, i], tables.right[:, i]], axis=1),
        lower=np.stack([tables.left[:, i - t], tables.right[:, i - t]], axis=1),
        thickness=item.green,
    )
    run = sold_run(model, tables, i, choice)
    length = run.end - run.start
    mean_width = run.area / length if length > 0 else 0.0

    # Grain and drying are judged on the wider face at mid-length, as the planner does.
    middle = (wood.usable_from + wood.usable_to) // 2
    face = outline.upper if outline.upper_width[middle] >= outline.lower_width[middle] else outline.lower
    left, right = face[middle]
    height = 0.5 * (upper + lower)
    flat, rift, quarter = grain_shares(left, right, height, aims.flat_below, aims.quarter_above)
    through = ring_shrinkage(left, right, height, timber.radial, timber.tangential)
    # Across the width the two directions change places.
    across = timber.tangential + (timber.radial - timber.tangential) * mean_sin2(left, right, height)
    finished = finished_thickness(
        item.green,
        right - left,
        left,
        right,
        height,
        timber.radial,
        timber.tangential,
        aims.flattening,
        aims.sawing_variation,
    )
    planes = np.array([upper, lower])
    roll = math.atan2(solution.setting.sine, solution.setting.cosine)
    own_cost = pay.slab_cost
    own_cost += float(pay.per_volume[choice]) * 0.5 * float(tables.face[i] + tables.face[i - t]) * item.green
    pieces = pieces_of(number - 1, solution, model) if solution.takes else ()
    value = sum(p.value for p in pieces) if pieces else float(tables.values[choice, i]) + own_cost
    solid = float(volumes_between(shape, roll, solution.setting.pitch, planes)[0])
    return PlannedSlab(
        number=number,
        aim=item.aim,
        upper=upper,
        lower=lower,
        outline=outline,
        start=run.start,
        end=run.end,
        least_width=run.least,
        mean_width=mean_width,
        rough_dry=float(dry_thickness(item.green, through, aims.sawing_variation)),
        finished=float(finished),
        dry_width=mean_width * (1 - float(across)),
        solid=solid,
        tally=run.tally,
        value=value,
        own_cost=own_cost,
        weight=solid * timber.density,
        weight_high=solid * timber.density_high,
        flat=float(flat),
        rift=float(rift),
        quarter=float(quarter),
        holds_pith=bool(np.any((lower < tables.pith_high - 1e-9) & (upper > tables.pith_low + 1e-9))),
        figure_share=run.figure / run.area if run.area > 0 else 0.0,
        pieces=pieces,
        pair_with=pair_with(number, solution),
    )
