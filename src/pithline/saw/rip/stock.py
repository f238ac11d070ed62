"""Boards and heart pieces in the terms of the rip: what a strip of each width brings by its clear length."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.saw.aims import Aims, PithRule, SizeKind
from pithline.saw.menu import Choice
from pithline.saw.model import Model
from pithline.saw.rates import Step
from pithline.saw.rip.boards import Boards
from pithline.slab.tally import TallyUnit
from pithline.slab.tallying import surface_measure

__all__ = ["Stock", "stock_of"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]

_HAIR = 1e-6


class Stock(NamedTuple):
    """Boards and heart pieces as the kernel reads them. Items are widths, then heart pieces."""

    step: float  # between places of a rip [m]
    kerf: int  # in those steps
    strip: float  # half width about the pith in which a board counts as holding it [m]
    lines: Whole  # (items,) width in steps
    heart: Flags  # (items,)
    margin: Floats  # (items,) wood about the pith [m]
    serves: Flags  # (thicknesses, items)
    worth: Floats  # (thicknesses, clear or with pith, items, millimetres) of a strip's clear run [money]
    sizes: Whole  # (items, lengths) to be cut, in millimetres; -1 for any length, or for none
    single: Floats  # (thicknesses, clear or with pith, items, lengths) of one piece [money]
    gap: int  # millimetres between two pieces of a strip


def stock_of(
    boards: Boards, choices: tuple[Choice, ...], aims: Aims, model: Model | None, length: float
) -> Stock:
    """Put boards into the kernel's terms.

    Parameters
    ----------
    boards : Boards
    choices : tuple of Choice
        The thickness menu.
    aims : Aims
    model : Model or None
        Its shrinkage and flattening decide what a finished size needs; None where none is aimed at.
    length : float
        No strip is longer. [m]

    Raises
    ------
    BadValue
        Nothing to rip.
    """
    if not boards.widths and not boards.cants:
        raise BadValue("boards.width", "empty", "at least one width", 'Say for instance width = ["15 cm"].')
    widths = [*boards.widths, *(c.width for c in boards.cants)]
    plain, gap = len(boards.widths), math.ceil(boards.crosscut * 1000 - _HAIR)
    # What becomes of a board that holds the pith: dropped, marked down, or paid in full.
    share = {PithRule.THROUGH: 0.0, PithRule.BOX: 1.0}.get(aims.pith, 1.0 - aims.pith_deduction)
    if boards.pith_strip is not None:
        share = 0.0
    count = math.ceil(length * 1000) + 1
    any_length = np.arange(count) / 1000
    sizes = np.full((len(widths), max(1, len(boards.lengths))), -1, dtype=np.int64)
    for q in range(len(widths)):
        own = (boards.cants[q - plain].length,) if q >= plain else boards.lengths
        sizes[q, : len(own)] = [math.ceil(n * 1000 - _HAIR) for n in own]
    serves = np.zeros((len(choices), len(widths)), dtype=np.bool_)
    worth = np.zeros((len(choices), 2, len(widths), count))
    single = np.full((len(choices), 2, *sizes.shape), -math.inf)
    for o, choice in enumerate(choices):
        for q, width in enumerate(widths):
            cant = boards.cants[q - plain] if q >= plain else None
            serves[o, q] = (
                _finishes(choice, width, model) if cant is None else choice.aim.label == cant.thickness.label
            )
            for flag, part in enumerate((1.0, share)):
                if cant is not None:
                    single[o, flag, q, 0] = cant.price - boards.per_board
                elif boards.lengths:
                    cut = sizes[q] / 1000
                    single[o, flag, q] = _by_length(boards, choice, width, aims.unit, part, cut)
                else:
                    brings = _by_length(boards, choice, width, aims.unit, part, any_length)
                    worth[o, flag, q] = np.maximum.accumulate(np.maximum(brings, 0.0))
                    continue
                there = sizes[q] >= 0
                worth[o, flag, q] = _cut_up(single[o, flag, q][there], sizes[q][there], gap, count)
    return Stock(
        step=boards.step,
        kerf=math.ceil(boards.kerf / boards.step - _HAIR),
        strip=boards.pith_strip or 0.0,
        lines=np.array([math.ceil(w / boards.step - _HAIR) for w in widths], dtype=np.int64),
        heart=np.arange(len(widths)) >= plain,
        margin=np.array([0.0] * plain + [c.margin for c in boards.cants]),
        serves=serves,
        worth=worth,
        sizes=sizes,
        single=single,
        gap=gap,
    )


def _by_length(
    boards: Boards, choice: Choice, width: float, unit: TallyUnit, share: float, lengths: Floats
) -> Floats:
    """What one board of each length brings, less its own cost; -inf where it is too short."""
    if unit is TallyUnit.BF_NOMINAL:
        tallied = surface_measure(width, lengths) * choice.sold
    else:
        tallied = width * lengths * choice.sold
    premium = (1 + _reached(boards.wide, np.array([width]))[0]) * (1 + _reached(boards.long, lengths))
    brings = boards.rate(choice.aim.label) * tallied * premium * share - boards.per_board
    least = 0.0 if boards.lengths else boards.least_length
    return np.where(lengths >= least - 1e-9, brings, -math.inf)


def _reached(steps: tuple[Step, ...], sizes: Floats) -> Floats:
    """The premium of the highest step that each size reaches."""
    premium = np.zeros(sizes.shape)
    for step in sorted(steps, key=lambda s: s.least):
        premium[sizes >= step.least - 1e-9] = step.premium
    return premium


def _cut_up(single: Floats, sizes: Whole, gap: int, count: int) -> Floats:
    """Best worth of a strip by its clear millimetres, cut into given lengths."""
    from pithline.saw.rip import ripping_kernel

    worth = np.zeros(count)
    pays = single > 0
    ripping_kernel.crosscut_worth(single[pays], sizes[pays], gap, worth)
    return worth


def _finishes(choice: Choice, width: float, model: Model | None) -> bool:
    """Whether a board of this width dries and flattens to the wanted size, however its rings lie."""
    if model is None or choice.aim.kind is not SizeKind.FINISHED:
        return True
    pay = model.pay
    allowance = float(pay.flattening[np.searchsorted(pay.flattening[:, 0], width - 1e-9), 1])
    dry = (choice.green - pay.variation) * (1 - max(pay.radial, pay.tangential))
    return dry - allowance >= choice.aim.size - 1e-9
