"""What every piece of a stem is worth, quickly: the planner on a coarser grid and at fewer rolls.

Nothing here decides a slab. It only says which pieces deserve the full search.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.log.lie import Lie
from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import Aims, BarkWay
from pithline.saw.mill import Mill
from pithline.saw.model import Model, prepare, sharp_edges
from pithline.saw.rates import Rates
from pithline.saw.stem.stem import Stem, StemRules
from pithline.saw.tables import Pay, Reach, Tables, Wood
from pithline.saw.timber import Timber
from pithline.saw.uses.wants import Claimed

__all__ = ["COARSE", "Rough", "coarse", "rough_model", "rough_worth"]

Floats = NDArray[np.float64]
Pairs = NDArray[np.int64]

COARSE = 0.004  # grid of the quick look [m]
_SPACING = 0.35  # between its stations [m]
_VERTICES = 40  # of an outline
_THREADS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Rough:
    """A stem and a job made ready for the quick look.

    Attributes
    ----------
    stem : Stem
    rules : StemRules
    mill, aims : Mill, Aims
    model : Model
        Of the whole stem, on the coarse grid.
    points : ndarray, shape (points,)
        Where cuts may be. [m]
    skins : ndarray, shape (stations, 2, vertices, 2)
        Outlines under and over bark at the stem's stations. [m]
    slope, powerhead_room : float
        Of the ground beside the stem, as in `Lie`.
    """

    stem: Stem
    rules: StemRules
    mill: Mill
    aims: Aims
    model: Model
    points: Floats
    skins: Floats
    slope: float
    powerhead_room: float


def coarse(reach: Reach, pay: Pay, step: float) -> tuple[Reach, Pay]:
    """The same limits and thicknesses on another grid, rounded to the nearest line.

    Slab and kerf together are rounded, not each, so that a stack of slabs keeps its height;
    what a square metre of slab brings stays as it is.
    """

    def lines(count: float) -> int:
        return max(1, round(count * reach.step / step))

    kerf = lines(reach.kerf)
    thick = np.array([max(1, lines(int(t) + reach.kerf) - kerf) for t in pay.thick], dtype=np.int64)
    return reach._replace(
        step=step,
        kerf=kerf,
        depth_max=lines(reach.depth_max),
        least_waste=lines(reach.least_waste),
        most_waste=lines(reach.most_waste),
    ), pay._replace(thick=thick)


def rough_model(
    stem: Stem,
    rules: StemRules,
    points: Floats,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    lie: Lie,
    step: float = COARSE,
) -> Rough:
    """Everything that all pieces share."""
    model = prepare(stem.shape, mill, aims, rates, timber)
    reach, pay = coarse(model.reach, model.pay, step)
    made = Model(model.wood, reach, pay, model.choices, model.wants, model.most_slabs, model.use_names)
    skins = np.stack([stem.shape.outlines, stem.shape.over_bark()], axis=1)
    skins = skins[:, :, :: max(1, skins.shape[2] // _VERTICES)]
    return Rough(stem, rules, mill, aims, made, points, skins, lie.side_slope, lie.powerhead_room)


def rough_worth(rough: Rough, spans: Pairs, rolls: Floats) -> Floats:
    """Net of the best plan of each piece at pitch 0, at the best of the given rolls.

    Parameters
    ----------
    rough : Rough
    spans : ndarray, shape (pieces, 2)
        Numbers of the first and last point.
    rolls : ndarray, shape (rolls,)
        [rad]

    Returns
    -------
    ndarray, shape (pieces,)
        -inf where nothing can be sawn.
    """
    half = rolls.size // 2
    opposite = rolls.size % 2 == 0 and bool(np.allclose(rolls[half:], rolls[:half] + math.pi))
    both_ways = opposite and not (rough.model.pay.finished > 0).any()
    worth = np.full(len(spans), -math.inf)

    def part(which: range) -> None:
        look = _looker(rough, rolls, both_ways)
        for k in which:
            worth[k] = look(*_piece(rough, int(spans[k, 0]), int(spans[k, 1]), rolls))

    if len(spans) < 4 * _THREADS:
        part(range(len(spans)))
    else:
        with ThreadPoolExecutor(_THREADS) as pool:
            list(pool.map(part, (range(t, len(spans), _THREADS) for t in range(_THREADS))))
    return np.where(worth > 0, worth, -math.inf)


def _piece(rough: Rough, first: int, last: int, rolls: Floats) -> tuple[Wood, Floats]:
    """Wood and lowest allowed cuts of one piece, once it lies on its bearers."""
    stem, aims = rough.stem, rough.aims
    start = float(rough.points[first]) + (rough.rules.kerf if first else 0.0)
    end = float(rough.points[last])
    z = _with_edges(_stations(end - start, aims), stem.shape.zones, start)
    at = start + z
    whole = stem.shape.z
    j = np.clip(np.searchsorted(whole, at, side="right") - 1, 0, whole.size - 2)
    f = ((at - whole[j]) / (whole[j + 1] - whole[j]))[:, None, None, None]
    ends = stem.pith_at(np.array([start, end]))
    line = ends[0] + (z / z[-1])[:, None] * (ends[1] - ends[0])
    skins = rough.skins[j] * (1 - f) + rough.skins[j + 1] * f - line[:, None, None, :]
    outlines, over_bark = (np.ascontiguousarray(skins[:, k]) for k in range(2))
    if aims.bark is BarkWay.OFF:
        over_bark = outlines
    zones, places = _zones(rough, start, end, at, ends)
    present = np.array(places, dtype=np.bool_).reshape(-1, z.size)
    kinds = [q.kind for q in rough.stem.shape.zones if _meets(q, start, end)]
    spoils = np.array([k is not ZoneKind.FIGURE for k in kinds], dtype=np.bool_)
    second = np.zeros((0, 2))
    if stem.shape.second_pith is not None:
        g = f[:, 0, 0]
        forked = stem.shape.second_pith
        second = forked[j] * (1 - g) + forked[j + 1] * g - line
    figured = np.any(present & ~spoils[:, None], axis=0)
    if second.size:
        figured |= np.isfinite(second[:, 0])  # a crotch may show its feather from the fork on
    # What is not said here is the same all along the stem.
    wood = rough.model.wood._replace(
        outlines=outlines,
        bar_outlines=over_bark if aims.bark is BarkWay.ON else outlines,
        over_bark=over_bark,
        z=z,
        usable_from=int(aims.trim_butt > 0),
        usable_to=z.size - int(aims.trim_top > 0),
        zones=np.array(zones, dtype=np.float64).reshape(-1, 3),
        present=present,
        spoils=spoils,
        metal=np.array([k is ZoneKind.METAL for k in kinds], dtype=np.bool_),
        spoilt=np.any(present & spoils[:, None], axis=0),
        figured=figured,
        second=second,
    )
    return wood, _ground(rough, over_bark[[0, -1]], rolls)


def _stations(length: float, aims: Aims) -> Floats:
    """Places along a piece: evenly between the end trims, and both ends. [m]"""
    low, high = aims.trim_butt, length - aims.trim_top
    inner = np.linspace(low, high, max(3, math.ceil((high - low) / _SPACING) + 1))
    outer = ([0.0] if aims.trim_butt > 0 else [], [length] if aims.trim_top > 0 else [])
    return np.concatenate([outer[0], inner, outer[1]])


def _with_edges(z: Floats, zones: Iterable[Zone], start: float) -> Floats:
    """A piece's stations, and one to each side of where rot or a split begins or ends. [m]

    Whether something that pays by its length fits beside it hangs on some centimetres there.
    """
    edges = np.array(sharp_edges(zones)).reshape(-1) - start
    edges = edges[(edges > z[1]) & (edges < z[-2])]
    return np.union1d(z, edges) if edges.size else z


def _meets(zone: Zone, start: float, end: float) -> bool:
    return max(zone.start, start) < min(zone.end, end)


def _zones(
    rough: Rough, start: float, end: float, at: Floats, ends: Floats
) -> tuple[list[tuple[float, float, float]], list[NDArray[np.bool_]]]:
    """Zones of a piece from its own pith line, and the stations at which each counts."""
    circles, places = [], []
    for zone in rough.stem.shape.zones:
        if not _meets(zone, start, end):
            continue
        low, high = max(zone.start, start), min(zone.end, end)
        x, y = ends[0] + (0.5 * (low + high) - start) / (end - start) * (ends[1] - ends[0])
        circles.append((zone.x - float(x), zone.y - float(y), zone.radius))
        inside = (at >= low - 1e-9) & (at <= high + 1e-9)
        if not inside.any():
            after = int(np.searchsorted(at, low))
            inside[max(after - 1, 0) : after + 1] = True
        places.append(inside)
    return circles, places


def _ground(rough: Rough, ends: Floats, rolls: Floats) -> Floats:
    """As `saw.model.grounds`, for a piece that is rolled on bearers, shape (rolls, 2). [m]"""
    if rough.aims.both_sides:
        return np.full((rolls.size, 2), -math.inf)
    sine, cosine = np.sin(rolls), np.cos(rolls)
    up = ends @ np.stack([sine, cosine])  # (2, points, rolls)
    across = ends @ np.stack([cosine, -sine])
    half = 0.5 * np.ptp(across, axis=1)
    needed = rough.mill.below_bar + rough.slope * half - rough.powerhead_room
    height = rough.rules.bearers - up.min(axis=1)
    return np.ascontiguousarray((np.maximum(needed, 0.01) - height).T)


def _looker(rough: Rough, rolls: Floats, both_ways: bool) -> Callable[[Wood, Floats], float]:
    """One thread's room, and the planner called in it."""
    from pithline.saw import planner_kernel
    from pithline.saw.uses import chain_kernel

    model = rough.model
    turns = rolls.size // 2 if both_ways else rolls.size
    pitches = np.zeros(1)
    tables, turned = _room(rough), _room(rough)
    wants = model.wants
    lines = tables.costs.size

    def look(wood: Wood, ground: Floats) -> float:
        found = np.full((turns, 2, 1), -math.inf)
        both = np.stack([ground[:turns], ground[-turns:]], axis=1)
        if wants is None:
            planner_kernel.search(
                wood,
                model.reach,
                model.pay,
                rolls[:turns],
                pitches,
                both,
                both_ways,
                tables,
                turned,
                found,
            )
        else:
            # Nobody counts here: how many can be sold is left to the full search.
            chain_kernel.search(
                wood,
                model.reach,
                model.pay,
                wants,
                False,
                rolls[:turns],
                pitches,
                both,
                both_ways,
                tables,
                turned,
                claimed,
                over,
                found,
            )
        return float(found.max())

    if wants is not None:
        claimed, over = (Claimed.of(wants, model.pay, lines, tables.width.shape[0]) for _ in range(2))
    return look


def _room(rough: Rough) -> Tables:
    """Tables large enough for every piece, whatever its own pith line."""
    shape, reach = rough.stem.shape, rough.model.reach
    far = float(np.sqrt((shape.outlines**2).sum(axis=2)).max())
    far += 2 * float(np.sqrt((rough.stem.pith**2).sum(axis=1)).max())
    lines = 2 * math.ceil(far / reach.step) + 2 * reach.kerf + 4
    stations = _stations(shape.length, rough.aims).size + 4 * len(shape.zones)
    piths = 1 if shape.second_pith is None else 2
    return Tables.of(stations, lines, len(rough.model.choices), piths)
