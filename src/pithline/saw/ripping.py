"""The best rip of a slab into square-edged boards, and what that is worth under every face."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.saw.aims import Aims, PithRule, SizeKind
from pithline.saw.boards import Along, Board, Boards, Rip
from pithline.saw.menu import Choice
from pithline.saw.model import Model
from pithline.saw.rates import Step
from pithline.saw.tables import Tables
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyUnit
from pithline.slab.tallying import surface_measure

__all__ = ["Stock", "rip_outline", "rip_values", "stock_of"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]

_HAIR = 1e-6
_WAYS = (Along.PITH, Along.LEFT, Along.RIGHT)


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


def stock_of(boards: Boards, choices: tuple[Choice, ...], aims: Aims, model: Model, length: float) -> Stock:
    """Put boards into the kernel's terms.

    Parameters
    ----------
    boards : Boards
    choices : tuple of Choice
        The thickness menu.
    aims : Aims
    model : Model
        Its shrinkage and flattening decide what a finished size needs.
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


def rip_values(model: Model, boards: Boards, stock: Stock, tables: Tables, first: int) -> Floats:
    """Worth of the best rip of the slab under every face, before the slab's own cost.

    Parameters
    ----------
    model : Model
    boards, stock : Boards, Stock
    tables : Tables
        Of one setting, with edges, cut to its lines.
    first : int
        Of its lines.

    Returns
    -------
    ndarray, shape (thicknesses, lines)
        0 where nothing is worth ripping. [money]
    """
    from pithline.saw import ripping_kernel

    lines = tables.costs.size
    found = np.zeros((len(model.choices), lines))
    ripping_kernel.rip_faces(
        model.wood,
        model.pay.thick,
        tables.left,
        tables.right,
        tables.pith_low,
        tables.pith_high,
        first,
        lines,
        model.reach.step,
        stock,
        _ways(boards.along),
        _room(np.stack([tables.left, tables.right]), stock),
        found,
    )
    return found


def rip_outline(
    outline: SlabOutline,
    usable: tuple[float, float],
    pith: tuple[bool, float],
    boards: Boards,
    stock: Stock,
    choice: int,
) -> Rip:
    """The best rip of one slab, board by board.

    Parameters
    ----------
    outline : SlabOutline
    usable : (start, end)
        Between the end trims; both must be stations of the outline. [m]
    pith : (holds, depth)
        Whether the pith lies between the faces, and how far inside the nearer one. [m]
    boards, stock : Boards, Stock
    choice : int
        Number of the thickness.

    Notes
    -----
    A board needs both faces over all its width and length: no wane. Between stations the clear
    edge is taken as straight, which is never more than what is there. Rips lie on whole steps; of all
    choices of strips that leave a kerf between them the best is found, each strip cut up the best way
    in every run in which it is clear.
    """
    from pithline.saw import ripping_kernel

    inside = (outline.z >= usable[0] - _HAIR) & (outline.z <= usable[1] + _HAIR)
    j0 = int(np.argmax(inside))
    j1 = j0 + int(inside.sum())
    if j1 - j0 < 2:
        return Rip((), 0.0, 0.0, Along.PITH, 0.0)
    left = np.ascontiguousarray(np.stack([outline.lower[:, 0], outline.upper[:, 0]], axis=1))
    right = np.ascontiguousarray(np.stack([outline.lower[:, 1], outline.upper[:, 1]], axis=1))
    room = _room(np.stack([left, right]), stock)
    low, high = np.empty(j1 - j0), np.empty(j1 - j0)
    best, take = np.empty(room), np.empty(room, dtype=np.int64)
    ways = _ways(boards.along)
    value, slope = ripping_kernel.rip_slab(
        left, right, outline.z, j0, j1, 1, 0, *pith, stock, choice, ways, low, high, best, take
    )
    z = outline.z[j0:j1]
    middle = float(0.5 * (z[0] + z[-1]))
    if not value > 0:
        return Rip((), 0.0, 0.0, Along.PITH, middle)
    ripping_kernel.clear_edges(left, right, j0, j1, 1, 0, slope, outline.z, low, high)
    reach = 0.5 * abs(slope) * float(z[-1] - z[0])
    across = np.array([-reach, reach])
    first, count = ripping_kernel.rip(low, high, z, slope, *pith, across, stock, choice, best, take)
    strips: list[tuple[int, int, int]] = []
    n = count - 1
    while n > 0:
        q = int(take[n])
        if q < 0:
            n -= 1
            continue
        a = n - int(stock.lines[q])
        strips.append((a, n, q))
        n = max(0, a - stock.kerf)
    found: list[Board] = []
    clear = (low, high, z)
    for a, n, q in reversed(strips):
        at, width = (first + a) * stock.step, (n - a) * stock.step
        holds = pith[0] and at < reach + stock.strip - 1e-9 and at + width > -reach - stock.strip + 1e-9
        item = (choice, int(holds and not stock.heart[q]), q)
        found += _strip(clear, slope, (at, at + width), boards, stock, item)
    shear = slope * (z - middle)
    along = _along(slope, (low + shear, high + shear), z)
    # Not the kernel's sum: that has a hair taken off to set a heart piece about the pith.
    return Rip(tuple(found), sum(b.value for b in found), float(slope), along, middle)


def _strip(
    clear: tuple[Floats, Floats, Floats],
    slope: float,
    edges: tuple[float, float],
    boards: Boards,
    stock: Stock,
    item: tuple[int, int, int],
) -> list[Board]:
    """The boards of one strip, from the butt; `item` is thickness, clear or with pith, and number."""
    from pithline.saw import ripping_kernel

    low, high, z = clear
    choice, flag, q = item
    plain = len(boards.widths)
    cant = boards.cants[q - plain] if q >= plain else None
    width, name = (cant.width, cant.name) if cant else (boards.widths[q], "")
    askew = abs(slope) * float(stock.lines[q]) * stock.step
    spans = np.empty((z.size, 2))
    found = []
    for r in range(ripping_kernel.runs_in(low, high, z, *edges, stock.gap / 1000, spans)):
        start, end = spans[r]
        n = min(stock.worth.shape[3] - 1, max(0, math.floor((end - start - askew) * 1000 + _HAIR)))
        # A board that runs askew has square ends: half of what they cost comes off at each.
        at = float(start) + 0.5 * askew
        for length, value in _pieces(stock, choice, flag, q, n):
            found.append(Board(edges[0], width, at, at + length, value, name))
            at += length + stock.gap / 1000
    return found


def _pieces(stock: Stock, choice: int, flag: int, q: int, n: int) -> list[tuple[float, float]]:
    """Length and value of what `n` clear millimetres are cut into, the way the worth was reckoned."""
    worth = stock.worth[choice, flag, q]
    if worth[n] <= 0:
        return []
    sizes = stock.sizes[q]
    if sizes[0] < 0:
        # Where whole feet are counted, nobody pays for what is over: the shortest that brings as much.
        return [(int(np.argmax(worth[: n + 1] >= worth[n] - 1e-12)) / 1000, float(worth[n]))]
    found = []
    while n > 0 and worth[n] > 0:
        if worth[n] == worth[n - 1]:
            n -= 1
            continue
        # Every millimetre is needed here, so one of the lengths and the best of the rest make up the worth.
        gaps = []
        for k, size in enumerate(sizes):
            rest = max(n - int(size) - stock.gap, 0)
            whole = stock.single[choice, flag, q, k] + worth[rest]
            gaps.append(abs(worth[n] - whole) if 0 <= size <= n else math.inf)
        k = int(np.argmin(gaps))
        found.append((int(sizes[k]) / 1000, float(stock.single[choice, flag, q, k])))
        n = max(n - int(sizes[k]) - stock.gap, 0)
    return found


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
    from pithline.saw import ripping_kernel

    worth = np.zeros(count)
    pays = single > 0
    ripping_kernel.crosscut_worth(single[pays], sizes[pays], gap, worth)
    return worth


def _finishes(choice: Choice, width: float, model: Model) -> bool:
    """Whether a board of this width dries and flattens to the wanted size, however its rings lie."""
    if choice.aim.kind is not SizeKind.FINISHED:
        return True
    pay = model.pay
    allowance = float(pay.flattening[np.searchsorted(pay.flattening[:, 0], width - 1e-9), 1])
    dry = (choice.green - pay.variation) * (1 - max(pay.radial, pay.tangential))
    return dry - allowance >= choice.aim.size - 1e-9


def _ways(along: Along) -> Flags:
    return np.array([along in (way, Along.BEST) for way in _WAYS])


def _room(edges: Floats, stock: Stock) -> int:
    """Steps across that hold the widest slab, sheared along an edge as it may be."""
    across = float(edges.max() - edges.min())
    return math.ceil(3 * across / stock.step) + 4


def _along(slope: float, outline: tuple[Floats, Floats], z: Floats) -> Along:
    """Which edge a slope other than 0 follows."""
    if slope == 0.0:
        return Along.PITH
    own = [abs(float(np.polyfit(z[np.isfinite(e)], e[np.isfinite(e)], 1)[0]) - slope) for e in outline]
    return Along.LEFT if own[0] <= own[1] else Along.RIGHT
