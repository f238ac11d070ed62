"""The best rip of a slab into square-edged boards, and what that is worth under every face."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pithline.saw.model import Model
from pithline.saw.rip.boards import Along, Board, Boards, Rip
from pithline.saw.rip.stock import Stock
from pithline.saw.tables import Tables
from pithline.slab.outline import SlabOutline

__all__ = ["rip_outline", "rip_values"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

_HAIR = 1e-6
_WAYS = (Along.PITH, Along.LEFT, Along.RIGHT)


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
    from pithline.saw.rip import ripping_kernel

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
    from pithline.saw.rip import ripping_kernel

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
    from pithline.saw.rip import ripping_kernel

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
