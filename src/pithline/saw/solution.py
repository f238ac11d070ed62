"""The best chain of cuts at one roll and pitch."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.saw.model import Model
from pithline.saw.tables import Setting, Tables

__all__ = ["Solution", "room", "solve"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """What the planner found. Lines are whole steps of the grid above the pith line.

    Attributes
    ----------
    net : float
        Value of the slabs less all costs.
    cuts : tuple of int
        Upper side of each kerf, from the top down.
    slabs : tuple of (line, choice)
        Upper face and number of the choice in the model's menu, from the top down.
    tables : Tables
        Cut down to this setting's lines; row i is line `first + i`.
    first : int
    setting : Setting
    """

    net: float
    cuts: tuple[int, ...]
    slabs: tuple[tuple[int, int], ...]
    tables: Tables
    first: int
    setting: Setting


def room(model: Model, edges: bool = True, pitch: float = 0.0) -> Tables:
    """Tables large enough for this log at any roll and pitches up to the given one [m/m].

    Without `edges` only values come out of them, not the slabs' outlines.
    """
    wood, reach = model.wood, model.reach
    radius = float(np.sqrt((wood.outlines**2).sum(axis=2)).max())
    lines = 2 * math.ceil((radius + 0.5 * abs(pitch) * wood.z[-1]) / reach.step) + 2 * reach.kerf + 4
    piths = 2 if wood.second.size else 1
    return Tables.of(wood.z.size, lines, len(model.choices), piths, edges)


def solve(model: Model, roll: float, pitch: float, ground: Floats, tables: Tables | None = None) -> Solution:
    """The true optimum of the model at one roll and pitch.

    Parameters
    ----------
    model : Model
    roll, pitch : float
        [rad], [m/m]
    ground : ndarray, shape (2,)
        See `saw.model.grounds`. [m]
    tables : Tables, optional
        Room to work in; made where not given.

    Returns
    -------
    Solution
        With no cuts and `net` 0 where nothing pays.
    """
    from pithline.saw import planner_kernel

    tables = room(model, pitch=pitch) if tables is None else tables
    setting = Setting(math.sin(roll), math.cos(roll), float(pitch), float(ground[0]), float(ground[1]))
    value, line, first, lines = planner_kernel.solve(model.wood, model.reach, model.pay, setting, tables)
    own = tables.cut_to(int(lines))
    cuts, slabs = _trace(int(line), own, model)
    return Solution(
        float(value),
        tuple(first + c for c in cuts),
        tuple((first + f, o) for f, o in slabs),
        own,
        int(first),
        setting,
    )


def _trace(line: int, tables: Tables, model: Model) -> tuple[list[int], list[tuple[int, int]]]:
    """Follow the choices that the kernel noted, from the first cut down."""
    cuts: list[int] = []
    slabs: list[tuple[int, int]] = []
    while line >= 0:
        cuts.append(line)
        face = line - model.reach.kerf
        take = int(tables.take[face])
        if take == -1:
            break
        if take >= 0:
            slabs.append((face, take))
            line = face - int(model.pay.thick[take])
        else:
            line = face + take + 2
    return cuts, slabs
