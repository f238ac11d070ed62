"""One planned slab in full: its faces, its run, its tally, its sizes and its weight."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.grain import grain_shares, mean_sin2
from pithline.saw.model import Model
from pithline.saw.plan import PlannedSlab
from pithline.saw.sections import volumes_between
from pithline.saw.solution import Solution
from pithline.saw.thickness import dry_thickness, finished_thickness, ring_shrinkage
from pithline.saw.timber import Timber
from pithline.slab.outline import SlabOutline

__all__ = ["appraise", "best_run"]

Floats = NDArray[np.float64]


def best_run(
    model: Model, z: Floats, narrow: Floats, counted: Floats, figure: Floats, choice: int
) -> tuple[float, float, float, float]:
    """The run that a slab is sold over.

    Parameters
    ----------
    z, narrow, counted, figure : ndarray, shape (usable stations,)
        As in `saw.value_kernel.piece_value`. [m]
    choice : int

    Returns
    -------
    worth, start, end, premium : float
        Tally units times premiums (all but the rate and the pith rule); the run [m];
        the width premium reached [fraction].
    """
    from pithline.saw import value_kernel

    best = (0.0, float(z[0]), float(z[0]), 0.0)
    for threshold, premium in model.pay.width_steps[::-1]:
        value, start, end = value_kernel.piece_value(
            z, narrow, counted, figure, threshold, model.pay.sold[choice], model.pay
        )
        if value * (1 + premium) > best[0]:
            best = (value * (1 + premium), start, end, float(premium))
    return best


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
    from pithline.saw import value_kernel

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
    z = wood.z[wood.usable_from : wood.usable_to]
    narrow, counted, figure = np.empty(z.size), np.empty(z.size), np.empty(z.size)
    value_kernel.profile(wood, pay, i, t, item.green, tables, narrow, counted, figure)
    _, start, end, _ = best_run(model, z, narrow, counted, figure, choice)
    inside = z[(z > start) & (z < end)]
    run = np.concatenate([[start], inside, [end]])
    area = float(np.trapezoid(np.interp(run, z, counted), run))
    length = end - start
    mean_width = area / length if length > 0 else 0.0
    tally = float(value_kernel.tallied(area, length, item.sold, pay.rounded))
    shown = float(np.trapezoid(np.interp(run, z, figure), run)) / area if area > 0 else 0.0

    # Grain and drying are judged on the wider face at mid-length, as the planner does.
    middle = (wood.usable_from + wood.usable_to) // 2
    face = outline.upper if outline.upper_width[middle] >= outline.lower_width[middle] else outline.lower
    left, right = face[middle]
    height = 0.5 * (upper + lower)
    flat, rift, quarter = (
        float(share) for share in grain_shares(left, right, height, aims.flat_below, aims.quarter_above)
    )
    through = ring_shrinkage(left, right, height, timber.radial, timber.tangential)
    across = timber.tangential + (timber.radial - timber.tangential) * mean_sin2(left, right, height)
    solid = float(
        volumes_between(shape, _roll(solution), solution.setting.pitch, np.array([upper, lower]))[0]
    )
    holds = bool(np.any((lower < tables.pith_high - 1e-9) & (upper > tables.pith_low + 1e-9)))
    return PlannedSlab(
        number=number,
        aim=item.aim,
        upper=upper,
        lower=lower,
        outline=outline,
        start=start,
        end=end,
        least_width=float(np.interp(run, z, narrow).min()),
        mean_width=mean_width,
        rough_dry=float(dry_thickness(item.green, through, aims.sawing_variation)),
        finished=float(
            finished_thickness(
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
        ),
        dry_width=mean_width * (1 - float(across)),
        solid=solid,
        tally=tally,
        value=float(tables.values[choice, i]) + pay.slab_cost,
        own_cost=pay.slab_cost,
        weight=solid * timber.density,
        flat=flat,
        rift=rift,
        quarter=quarter,
        holds_pith=holds,
        figure_share=min(1.0, shown),
    )


def _roll(solution: Solution) -> float:
    return float(np.arctan2(solution.setting.sine, solution.setting.cosine))
