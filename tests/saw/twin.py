"""The exact planner once more, in plain words: no kernels, no shared arithmetic.

It starts from the value objects that a person's record becomes, and takes from the
planner only the stations along the log and the green thicknesses of the menu (both
tested by themselves). Chords come from shapely, values from intervals and numpy's
interpolation, the best chain from a recursion that tries every piece.
"""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from pithline.log.zones import ZoneKind
from pithline.saw.aims import BarkWay, PithRule, SizeKind
from pithline.saw.menu import menu
from pithline.saw.model import stations
from pithline.slab.tally import TallyRule, TallyUnit
from tests.strategies import Case

__all__ = ["Twin"]

HAIR = 1e-9


@dataclass
class Piece:
    """What a slab is worth: -inf where it may not or cannot be sold."""

    value: float
    tally: float = 0.0
    start: float = 0.0
    end: float = 0.0


@dataclass
class Drawn:
    """A slab along the log between the end trims."""

    z: np.ndarray
    narrow: np.ndarray
    counted: np.ndarray
    shown: np.ndarray  # figured area from the first station


class Twin:
    """One job at one roll and pitch, on lines `first` to `first + lines - 1`."""

    def __init__(self, case: Case, first: int, lines: int) -> None:
        self.case, self.first, self.lines = case, first, lines
        self.step = case.mill.step
        self.kerf = math.ceil(case.mill.kerf / self.step - 1e-6)
        shape, aims = case.shape, case.aims
        self.z = stations(shape, aims.trim_butt, aims.trim_top)
        self.usable = [
            j
            for j, z in enumerate(self.z)
            if aims.trim_butt - HAIR <= z <= shape.length - aims.trim_top + HAIR
        ]
        self.offsets = [case.pitch * (z - shape.length / 2) for z in self.z]
        self.heights = [(first + i) * self.step for i in range(lines)]
        at = shape.at(self.z)
        wood = [self._turned(o) for o in at.outlines]
        # Bark that is off no longer lifts the rail.
        outer = at.outlines if aims.bark is BarkWay.OFF else at.over_bark()
        self.over_bark = [self._turned(o) for o in outer]
        self.wood = [self._spans(o, offset) for o, offset in zip(wood, self.offsets, strict=True)]
        barred = self.over_bark if aims.bark is BarkWay.ON else wood
        self.barred = [self._spans(o, offset) for o, offset in zip(barred, self.offsets, strict=True)]
        self.covered = [self._covered(q.start, q.end) for q in shape.zones]
        self.menu = menu(aims, case.rates, case.timber, case.mill)
        self.choices = [(c, math.ceil(c.green / self.step - 1e-6)) for c in self.menu]
        sides = [[self._sound(j, i) for i in range(lines)] for j in range(len(self.z))]
        self.left = np.array([[s[0] for s in row] for row in sides])
        self.right = np.array([[s[1] for s in row] for row in sides])
        self.width = self.right - self.left
        self.figured = np.array([[self._shows(j, i) for i in range(lines)] for j in range(len(self.z))])
        self.piths = self._pith_ranges()

    def _turned(self, outline: np.ndarray) -> np.ndarray:
        c, s = math.cos(self.case.roll), math.sin(self.case.roll)
        return outline @ np.array([[c, s], [-s, c]])

    def _turned_point(self, x: float, y: float) -> tuple[float, float]:
        v, u = self._turned(np.array([[x, y]]))[0]
        return float(v), float(u)

    # Chords -----------------------------------------------------------------

    def _spans(self, outline: np.ndarray, offset: float) -> list[list[tuple[float, float]]]:
        """Where every line runs inside an outline, from left to right."""
        far = 10 * float(np.abs(outline).max())
        wood = shapely.Polygon(outline)
        levels = np.array(self.heights) + offset
        lines = shapely.linestrings([[(-far, h), (far, h)] for h in levels])
        found = []
        for cut in shapely.intersection(lines, wood):
            parts = [
                g for g in getattr(cut, "geoms", [cut]) if g.geom_type == "LineString" and not g.is_empty
            ]
            joined: list[tuple[float, float]] = []
            for a, b in sorted((min(x), max(x)) for x in (np.array(g.coords)[:, 0] for g in parts)):
                if joined and a <= joined[-1][1] + 1e-12:
                    joined[-1] = (joined[-1][0], max(b, joined[-1][1]))
                else:
                    joined.append((a, b))
            found.append(joined)
        return found

    def _covered(self, start: float, end: float) -> set[int]:
        """Stations at which a zone counts; one that lies between two stations counts at both."""
        inside = {k for k, z in enumerate(self.z) if start - HAIR <= z <= end + HAIR}
        below = max((k for k, z in enumerate(self.z) if z < start), default=0)
        return inside or {below, below + 1}

    def _sound(self, j: int, i: int) -> tuple[float, float]:
        """The widest run of sound wood on one line: inside the widest run of wood."""
        height = self.heights[i] + self.offsets[j]
        pieces = self.wood[j][i]
        if not pieces:
            return 0.0, 0.0
        left, right = max(pieces, key=lambda p: p[1] - p[0])
        sound = [(left, right)]
        for q, covered in zip(self.case.shape.zones, self.covered, strict=True):
            v, u = self._turned_point(q.x, q.y)
            if q.kind is ZoneKind.FIGURE or j not in covered or abs(height - u) >= q.radius:
                continue
            half = math.sqrt(q.radius**2 - (height - u) ** 2)
            rest = []
            for a, b in sound:
                rest += [(a, min(b, v - half)), (max(a, v + half), b)]
            sound = [(a, b) for a, b in rest if b > a]
        return max(sound, key=lambda p: p[1] - p[0], default=(0.0, 0.0))

    def _shows(self, j: int, i: int) -> float:
        """Width of the sound wood that shows figure; overlapping zones add up to all of it at most."""
        height, total = self.heights[i] + self.offsets[j], 0.0
        for q, covered in zip(self.case.shape.zones, self.covered, strict=True):
            v, u = self._turned_point(q.x, q.y)
            if q.kind is ZoneKind.FIGURE and j in covered and abs(height - u) < q.radius:
                half = math.sqrt(q.radius**2 - (height - u) ** 2)
                total += max(0.0, min(self.right[j, i], v + half) - max(self.left[j, i], v - half))
        return min(total + self._feather(j, i), float(self.width[j, i]))

    def _feather(self, j: int, i: int) -> float:
        """What a crotch shows on a line: all between the piths, none a feather away."""
        reach = self.case.aims.feather
        if self.case.shape.second_pith is None or reach == 0:
            return 0.0
        second = self.case.shape.at(self.z).second_pith[j]
        if np.isnan(second).any():
            return 0.0
        v, u = self._turned_point(*second)
        height = self.heights[i] + self.offsets[j]
        away = max(0.0, min(0.0, u) - height, height - max(0.0, u))
        span = min(self.right[j, i], max(0.0, v) + reach) - max(self.left[j, i], min(0.0, v) - reach)
        return max(0.0, span) * max(0.0, 1 - away / reach)

    # Cuts -------------------------------------------------------------------

    def _pith_ranges(self) -> list[tuple[float, float]]:
        ends = [-self.offsets[0], -self.offsets[-1]]
        ranges = [(min(ends), max(ends))]
        if self.case.shape.second_pith is not None:
            second = self.case.shape.at(self.z).second_pith
            assert second is not None
            at = [
                self._turned_point(*p)[1] - o
                for p, o in zip(second, self.offsets, strict=True)
                if not np.isnan(p).any()
            ]
            ranges.append((min(at), max(at)) if at else (math.inf, -math.inf))
        return ranges

    def sawn(self, i: int) -> tuple[float, float]:
        """Area that the bar passes along one line, and its widest place."""
        spans = [at[i][-1][1] - at[i][0][0] if at[i] else 0.0 for at in self.barred]
        return float(np.trapezoid(spans, self.z)), max(spans)

    def cost(self, i: int) -> float:
        """Of the cut whose kerf has its upper side on line i: the mean of its two sides."""
        return self.case.rates.per_cut_area * (self.sawn(i)[0] + self.sawn(i - self.kerf)[0]) / 2

    def allowed(self, i: int) -> bool:
        """Bar, ground, metal, and the pith where it is to be boxed."""
        if i < self.kerf or not self.passes(i):
            return False
        under, (butt, top) = self.heights[i - self.kerf], self.case.ground
        return not (under + self.offsets[0] < butt - HAIR or under + self.offsets[-1] < top - HAIR)

    def passes(self, i: int) -> bool:
        """What allows a cut, the ground apart."""
        mill, upper, under = self.case.mill, self.heights[i], self.heights[i - self.kerf]
        if max(self.sawn(i)[1], self.sawn(i - self.kerf)[1]) + mill.clearance > mill.usable + HAIR:
            return False
        if self.case.aims.pith is PithRule.BOX and any(under <= b and upper >= a for a, b in self.piths):
            return False
        for q, covered in zip(self.case.shape.zones, self.covered, strict=True):
            if q.kind is ZoneKind.METAL:
                u = self._turned_point(q.x, q.y)[1]
                for j in covered:
                    low, high = under + self.offsets[j], upper + self.offsets[j]
                    if low < u + q.radius and high > u - q.radius:
                        return False
        return True

    def start(self, i: int) -> bool:
        """Whether the first cut may be here: rail 1 cm over the highest bark, mill down as far as it goes."""
        tops = [float(o[:, 1].max()) - offset for o, offset in zip(self.over_bark, self.offsets, strict=True)]
        highest = max(tops)
        deepest = math.floor(self.case.mill.depth_max / self.step + 1e-6) - self.kerf
        return self.allowed(i) and self.heights[i] >= highest + 0.01 - deepest * self.step - HAIR

    # Slabs ------------------------------------------------------------------

    def slab(self, f: int, o: int) -> Piece:
        """The slab of choice o under line f, sold over the run that pays most."""
        share = self.paid_share(f, o)
        if share <= 0 or self.needless(f, o):
            return Piece(-math.inf)
        best = self.best_run(self.drawn(f, o), o, share, self.z[self.usable[0]], self.z[self.usable[-1]])
        return Piece(best.value - self.own_cost(f, o), best.tally, best.start, best.end)

    def paid_share(self, f: int, o: int) -> float:
        """Share of its price that the slab of choice o under line f is paid; 0 where it may not be."""
        aims = self.case.aims
        choice, t = self.choices[o]
        if f - t < 0:
            return 0.0
        share = 1.0
        lower, upper = self.heights[f - t], self.heights[f]
        if any(lower < high - HAIR and upper > low + HAIR for low, high in aims.skips):
            return 0.0
        if self.holds_pith(f, o):
            if aims.pith is PithRule.THROUGH:
                return 0.0
            if aims.pith is PithRule.FREE:
                share = 1 - aims.pith_deduction
        if choice.aim.kind is SizeKind.FINISHED and not self._finishes(f, o):
            return 0.0
        return share

    def needless(self, f: int, o: int) -> bool:
        """Whether a thinner slab would finish to the same size: nobody pays for wood that is planed away."""
        choice = self.choices[o][0]
        thinner = o > 0 and self.choices[o - 1][0].aim is choice.aim
        return choice.aim.kind is SizeKind.FINISHED and thinner and self._finishes(f, o - 1)

    def holds_pith(self, f: int, o: int) -> bool:
        """Whether a pith lies inside a slab, at its faces not counted."""
        lower, upper = self.heights[f - self.choices[o][1]], self.heights[f]
        return any(lower < b - HAIR and upper > a + HAIR for a, b in self.piths)

    def drawn(self, f: int, o: int) -> Drawn:
        """The slab of choice o under line f, station by station."""
        t = self.choices[o][1]
        z = self.z[self.usable]
        rows = self.usable
        above, under = self.width[rows, f], self.width[rows, f - t]
        narrow = np.minimum(above, under)
        # Where something spoils the wood both faces must keep the same piece.
        both = np.minimum(self.right[rows, f], self.right[rows, f - t]) - np.maximum(
            self.left[rows, f], self.left[rows, f - t]
        )
        zones = zip(self.case.shape.zones, self.covered, strict=True)
        bad = set().union(*(covered for q, covered in zones if q.kind is not ZoneKind.FIGURE))
        narrow = np.where([j in bad for j in rows], np.clip(both, 0, narrow), narrow)
        counted = {
            TallyRule.NARROW: narrow,
            TallyRule.MEAN: (above + under) / 2,
            TallyRule.WIDE: np.maximum(above, under),
            TallyRule.SOLID: np.trapezoid(self.width[rows, f - t : f + 1], axis=1) / t,
        }[self.case.aims.tally]
        shows = (self.figured[rows, f] + self.figured[rows, f - t]) / 2
        # Figure is taken as spread evenly between stations.
        shown = np.concatenate([[0], np.cumsum((shows[1:] + shows[:-1]) / 2 * np.diff(z))])
        return Drawn(z, narrow, counted, shown)

    def best_run(self, slab: Drawn, o: int, share: float, low: float, high: float) -> Piece:
        """The run between two places that pays most by the tally, before costs; -inf where none pays."""
        aims, rates = self.case.aims, self.case.rates
        z, choice = slab.z, self.choices[o][0]
        best = Piece(-math.inf)
        rate = share * rates.rate(choice.aim.label)
        widths = {aims.least_width} | {s.least for s in rates.width if s.least > aims.least_width}
        for threshold in widths:
            premium = max((s.premium for s in rates.width if s.least <= threshold), default=0.0)
            for a, b in runs(z, slab.narrow, threshold):
                start, end = max(a, low), min(b, high)
                length = end - start
                if length < aims.least_length - HAIR:
                    continue
                at = np.concatenate([[start], z[(z > start) & (z < end)], [end]])
                area = float(np.trapezoid(np.interp(at, z, slab.counted), at))
                if area <= 0:
                    continue
                figure = min(area, float(np.interp(end, z, slab.shown) - np.interp(start, z, slab.shown)))
                tally = self._tally(area, length, choice)
                longer = max((s.premium for s in rates.length if length >= s.least - HAIR), default=0.0)
                worth = rate * tally * (1 + premium) * (1 + longer) * (1 + rates.figure * figure / area)
                if worth > 0 and worth > best.value:
                    best = Piece(worth, tally, start, end)
        return best

    def own_cost(self, f: int, o: int) -> float:
        """Of handling a slab, and of carrying and drying all of it, from end to end of the log."""
        rates, t = self.case.rates, self.choices[o][1]
        faces = [float(np.trapezoid(self.width[:, i], self.z)) for i in (f, f - t)]
        thick = t * self.step
        months = rates.inch_months * (self.choices[o][0].green / 0.0254) ** rates.months_power
        each = rates.per_kg * self.case.timber.density + rates.per_month * months
        return rates.per_slab + each * thick * sum(faces) / 2

    def _tally(self, area: float, length: float, choice) -> float:  # type: ignore[no-untyped-def]
        unit = self.case.aims.unit
        if unit is TallyUnit.M3:
            return area * choice.green
        if unit is TallyUnit.BF_SAWN:
            return area * choice.green / (144 * 0.0254**3)
        feet = math.floor(length / 0.3048 + HAIR)
        return math.floor(area / length / 0.0254 * feet / 12 + 0.5) * self.inches(choice)

    def inches(self, choice) -> float:  # type: ignore[no-untyped-def]
        """Nominal thickness by which square feet become board feet."""
        quarters = choice.aim.quarters
        if not quarters:
            # Sold by the largest of the usual sizes that it still holds, dried.
            dry = choice.green * (1 - (self.case.timber.radial + self.case.timber.tangential) / 2)
            names = (2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 24)
            quarters = max(q for q in names if q * 0.0254 / 4 <= dry + HAIR)
        return max(quarters, 4) / 4

    def _finishes(self, f: int, o: int) -> bool:
        """Whether the wider face at mid-length, dried and flattened, keeps the wanted size."""
        choice, t = self.choices[o]
        timber, aims = self.case.timber, self.case.aims
        middle = (self.usable[0] + self.usable[-1] + 1) // 2
        i = f if self.width[middle, f] >= self.width[middle, f - t] else f - t
        left, right = self.left[middle, i], self.right[middle, i]
        h = abs(self.heights[f] + self.heights[f - t]) / 2
        quarter = 1.0
        if right > left and h > 0:
            # Mean of x2 / (x2 + h2), by Gauss's rule on short pieces.
            ends = np.linspace(left, right, 401)
            nodes, weights = np.polynomial.legendre.leggauss(8)
            x = (ends[:-1, None] + ends[1:, None]) / 2 + nodes * (right - left) / 800
            quarter = float((x**2 / (x**2 + h**2) * weights).sum() / 800)
        shrinkage = timber.radial + (timber.tangential - timber.radial) * quarter
        allowance = next((a for w, a in aims.flattening if right - left <= w + HAIR), aims.flattening[-1][1])
        return (choice.green - aims.sawing_variation) * (1 - shrinkage) - allowance >= choice.aim.size - HAIR

    # The chain --------------------------------------------------------------

    def best(self) -> float:
        """The most that the whole log may bring, by trying every chain."""
        aims, mill = self.case.aims, self.case.mill
        wanted = mill.kerf if aims.least_waste is None else aims.least_waste
        least = math.ceil(max(wanted, mill.depth_min) / self.step - 1e-6)
        most = math.floor(mill.depth_max / self.step + 1e-6) - self.kerf
        allowed = [self.allowed(i) for i in range(self.lines)]
        costs = [self.cost(i) if allowed[i] else math.inf for i in range(self.lines)]
        values = [[self.slab(f, o).value for o in range(len(self.choices))] for f in range(self.lines)]
        boxes = self.piths if aims.pith is PithRule.BOX else []

        @lru_cache(None)
        def below(f: int) -> float:
            found = 0.0
            for o, (_, t) in enumerate(self.choices):
                i = f - t
                if i >= self.kerf and allowed[i]:
                    found = max(found, values[f][o] - costs[i] + below(i - self.kerf))
            for gap in range(max(1, least), most + 1):
                i = f - gap
                if i < self.kerf:
                    break
                # Waste may not hold the pith that is to be boxed in a slab.
                held = any(self.heights[f] > a and self.heights[i] < b for a, b in boxes)
                if allowed[i] and not held:
                    found = max(found, -costs[i] + below(i - self.kerf))
            return found

        sys.setrecursionlimit(10_000)
        starts = [i for i in range(self.kerf, self.lines) if allowed[i] and self.start(i)]
        return max([0.0, *(below(i - self.kerf) - costs[i] for i in starts)])


def runs(z: np.ndarray, y: np.ndarray, threshold: float) -> list[tuple[float, float]]:
    """Where a function straight between its points reaches a threshold."""
    found: list[tuple[float, float]] = []
    for a, b, ya, yb in zip(z[:-1], z[1:], y[:-1], y[1:], strict=True):
        if max(ya, yb) < threshold:
            continue
        if ya >= threshold and yb >= threshold:
            start, end = a, b
        else:
            cross = a + (threshold - ya) / (yb - ya) * (b - a)
            start, end = (a, cross) if ya >= threshold else (cross, b)
        if found and abs(found[-1][1] - start) < 1e-12:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return found
