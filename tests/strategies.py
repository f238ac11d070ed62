"""Logs, mills, wishes and rates to try things on: awkward on purpose, and all invented."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from hypothesis import strategies as st

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import Aims, BarkWay, PithRule, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.rates import Rates, Step
from pithline.saw.timber import Timber
from pithline.slab.tally import TallyRule, TallyUnit

__all__ = ["TIMBER", "Case", "case", "cases", "cylinder", "frustum", "log", "logs", "zones"]

TIMBER = Timber("a wood", 0.03, 0.07, 900.0, 950.0, 1000.0)


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """Everything that one plan needs."""

    shape: LogShape
    lie: Lie
    mill: Mill
    aims: Aims
    rates: Rates
    roll: float
    pitch: float
    timber: Timber = TIMBER

    @property
    def model(self) -> Model:
        return prepare(self.shape, self.mill, self.aims, self.rates, self.timber)

    @property
    def ground(self) -> np.ndarray:
        return grounds(self.shape, self.lie, self.mill, self.aims, np.array([self.roll]))[0]

    def but(self, **parts: Any) -> Case:
        """The same case with some fields of its parts changed: ``but(mill={"kerf": 0.01})``."""
        return replace(self, **{name: replace(getattr(self, name), **new) for name, new in parts.items()})


def cylinder(radius: float, length: float, points: int = 360) -> LogShape:
    """A straight round log with the pith in its middle, as a polygon. [m]"""
    return frustum(radius, radius, length, points)


def frustum(butt: float, top: float, length: float, points: int = 360) -> LogShape:
    """A straight cone by the radii of its ends. [m]"""
    turn = np.linspace(0, 2 * np.pi, points, endpoint=False)
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    return LogShape.of(np.array([0.0, length]), np.stack([butt * ring, top * ring]), np.zeros(2))


def log(rng: np.random.Generator, rough: float, zone_count: int = 0, forked: bool = False) -> LogShape:
    """A tapering, swept, lobed log with its pith off the middle.

    `rough` is how far the lobes stand out, as a fraction of the radius: up to some
    0.05 the outlines stay convex, from 0.2 on they have bays.
    """
    length = rng.uniform(1.8, 5.0)
    z = np.linspace(0, length, int(rng.integers(2, 6)))
    turn = np.linspace(0, 2 * np.pi, int(rng.integers(24, 72)), endpoint=False)
    radius = rng.uniform(0.12, 0.45) * (1 - rng.uniform(0, 0.35) * z / length)
    lobes = [
        (k, rng.uniform(0, rough) / math.sqrt(k), rng.uniform(0, 6.3), rng.uniform(-1, 1)) for k in (2, 3, 5)
    ]
    shift, bend = rng.uniform(-0.25, 0.25, 2) * radius[-1], rng.uniform(-0.05, 0.05, 2)
    outlines = []
    for r, at in zip(radius, z / length, strict=True):
        swell = 1 + sum(a * np.cos(k * turn + p + twist * at) for k, a, p, twist in lobes)
        ring = r * np.maximum(swell, 0.3)[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
        outlines.append(ring + shift + bend * 4 * at * (1 - at))
    bark = rng.uniform(0, 0.02) * np.linspace(1, 0.6, z.size)
    second = None
    if forked:
        second = np.outer(np.linspace(0, 1, z.size), rng.uniform(-0.1, 0.1, 2))
        if rng.random() < 0.5 and z.size > 2:
            second[0] = np.nan
    return LogShape.of(z, np.array(outlines), bark, second, zones(rng, zone_count, length, radius[-1]))


def zones(rng: np.random.Generator, count: int, length: float, radius: float) -> tuple[Zone, ...]:
    """Places that are better or worse than clear wood, anywhere in the log."""
    found = []
    for _ in range(count):
        start = rng.uniform(0, 0.8) * length
        end = min(length, start + rng.uniform(0.1, 0.6) * length)
        kind = list(ZoneKind)[int(rng.integers(4))]
        r = rng.uniform(0.02, 0.08) if kind is ZoneKind.METAL else rng.uniform(0.03, 0.6 * radius)
        x, y = rng.uniform(-radius, radius, 2)
        found.append(Zone(kind, start, end, float(x), float(y), float(r)))
    return tuple(found)


def _menu(rng: np.random.Generator, step: float) -> tuple[ThicknessAim, ...]:
    choices = [
        ThicknessAim("52 mm green", SizeKind.GREEN, 0.052),
        ThicknessAim("30 mm green", SizeKind.GREEN, 0.030),
        ThicknessAim("80 mm green", SizeKind.GREEN, 0.080),
        ThicknessAim("8/4", SizeKind.ROUGH_DRY, 0.0508, 8),
        ThicknessAim("12/4", SizeKind.ROUGH_DRY, 0.0762, 12),
        ThicknessAim("60 mm finished", SizeKind.FINISHED, 0.060),
    ]
    take = rng.permutation(len(choices))[: int(rng.integers(1, 4))]
    return tuple(choices[k] for k in take)


def case(seed: int, step: float = 0.004, **fixed: Any) -> Case:
    """One whole job, drawn from a seed; `fixed` holds fields of the aims that are not drawn."""
    rng = np.random.default_rng(seed)
    shape = log(rng, rng.choice([0.0, 0.04, 0.3]), int(rng.choice([0, 0, 1, 3])), bool(rng.random() < 0.2))
    mill = Mill(
        bar=rng.uniform(0.45, 1.2),
        kerf=rng.uniform(0.006, 0.012),
        depth_max=rng.choice([0.18, 0.33]),
        step=step,
        below_bar=rng.uniform(0, 0.08),
    )
    low = -shape.over_bark()[[0, -1], :, 1].min(axis=1)
    lie = Lie(low[0] + 0.05, low[1] + rng.uniform(0, 0.1), 0.05, 0.05, rng.uniform(-0.2, 0.2))
    unit = list(TallyUnit)[int(rng.integers(3))]
    rules = [r for r in TallyRule if unit is not TallyUnit.BF_NOMINAL or r is not TallyRule.SOLID]
    trim = rng.choice([0.0, 0.05, 0.15], 2)
    wishes: dict[str, Any] = {
        "tally": rules[int(rng.integers(len(rules)))],
        "unit": unit,
        "least_width": rng.uniform(0.05, 0.25),
        "least_length": rng.uniform(0.5, 1.8),
        "trim_butt": float(trim[0]),
        "trim_top": float(trim[1]),
        "pith": list(PithRule)[int(rng.integers(3))],
        "pith_deduction": rng.uniform(0, 0.3),
        "both_sides": bool(rng.random() < 0.4),
        "bark": list(BarkWay)[int(rng.integers(3))],
        "least_waste": rng.choice([None, 0.02, 0.05]),
        "feather": 0.05 if seed % 2 else 0.0,
        **fixed,
    }
    menu = wishes.pop("thicknesses", None) or _menu(rng, step)
    scale = 1.0 if unit is not TallyUnit.M3 else 400.0
    rates = Rates(
        "EUR",
        tuple((m.label, scale * rng.uniform(2, 6)) for m in menu),
        width=tuple(Step(w, p) for w, p in ((0.3, 0.1), (0.45, 0.3)) if rng.random() < 0.6),
        length=tuple(Step(w, p) for w, p in ((1.5, 0.05), (2.4, 0.2)) if rng.random() < 0.6),
        figure=rng.choice([0.0, 0.5]),
        per_cut_area=rng.choice([0.0, 5.0, 15.0]),
        per_slab=rng.choice([0.0, 4.0]),
    )
    roll = rng.choice([0.0, rng.uniform(-3.1, 3.1)])
    pitch = rng.choice([0.0, rng.uniform(-0.02, 0.02)])
    return Case(shape, lie, mill, Aims(menu, **wishes), rates, float(roll), float(pitch))


def cases(step: float = 0.004, **fixed: Any) -> st.SearchStrategy[Case]:
    """Whole jobs; a failing one is told by its seed."""
    return st.integers(0, 2**32 - 1).map(lambda seed: case(seed, step, **fixed))


def logs(rough: float = 0.3, zone_count: int = 0) -> st.SearchStrategy[LogShape]:
    """Logs alone."""
    return st.integers(0, 2**32 - 1).map(lambda seed: log(np.random.default_rng(seed), rough, zone_count))
