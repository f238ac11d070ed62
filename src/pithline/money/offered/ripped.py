"""The same log for square-edged lumber, and slab by slab for whichever brings more: planned exactly."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.money.offered.yields import Yield, slab_values, solved, summed
from pithline.saw.aims import Aims
from pithline.saw.appraise import sold_run
from pithline.saw.mill import Mill
from pithline.saw.model import Model
from pithline.saw.rates import Rates
from pithline.saw.rip.boards import Boards
from pithline.saw.solution import Solution
from pithline.saw.timber import Timber
from pithline.saw.ways import tally_of

__all__ = ["PRODUCTS", "planned_products"]

Floats = NDArray[np.float64]

PRODUCTS = ("live-edge slabs", "square-edged lumber", "mixed")


def planned_products(
    shape: LogShape,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    boards: Boards,
    edging: float,
) -> tuple[Yield, Yield, Yield]:
    """The exact plans of one log in the order of `PRODUCTS`.

    Parameters
    ----------
    shape, lie, mill, aims, rates, timber
        As for `planned_yield`.
    boards : Boards
        See `market_boards`.
    edging : float
        To edge and rip one slab. [money]

    Returns
    -------
    tuple of Yield
        `tally` holds live-edge slabs and boards together.

    Notes
    -----
    The worth of every slab that could be sawn is that of its best rip, less its own costs and its
    edging; the chain of cuts is then made the best of those, or of the larger of these and the live-edge
    values: `saw.rip`, at the roll and pitch of the aims.
    """
    from pithline.saw.rip.chain import with_rips
    from pithline.saw.rip.ripping import rip_values
    from pithline.saw.rip.stock import stock_of

    model, plain = solved(shape, lie, mill, aims, rates, timber)
    live = summed(model, plain, shape, aims, slab_values(model, plain), tally_of(plain, model))
    stock = stock_of(boards, model.choices, aims, model, shape.length)
    worth = rip_values(model, boards, stock, plain.tables, plain.first)
    own = _own_costs(model, plain) + edging
    rips = np.where(worth > 0, worth - own, -math.inf)

    def product(found: Solution, whole: Floats) -> Yield:
        values, brings, tally, edged = 0.0, 0.0, 0.0, 0
        each = slab_values(model, found)
        for n, (line, choice) in enumerate(found.slabs):
            at = choice, line - found.first
            claimed = bool(found.takes) and found.takes[n] != (0, -1)
            if not claimed and rips[at] > whole[at]:
                brings += float(worth[at])
                edged += 1
            else:
                values += each[n]
                tally += sold_run(model, found.tables, at[1], choice).tally
        made = summed(model, found, shape, aims, [values], tally + brings / boards.otherwise)
        return replace(made, boards=brings, edged=float(edged))

    whole = plain.tables.values if plain.claimed is None else plain.claimed.values[:, 0]
    alone = with_rips(model, plain, rips, live=False)
    return live, product(alone, np.full_like(rips, -math.inf)), product(with_rips(model, plain, rips), whole)


def _own_costs(model: Model, found: Solution) -> Floats:
    """Of the slab of every thickness under every face; 0 where it would reach past the lowest line."""
    face, costs = found.tables.face, np.zeros(found.tables.values.shape)
    for choice, item in enumerate(model.choices):
        mean = 0.5 * (face[item.lines :] + face[: face.size - item.lines])
        costs[choice, item.lines :] = model.pay.slab_cost + model.pay.per_volume[choice] * mean * item.green
    return costs
