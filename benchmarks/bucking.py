"""What the quick look at a stem's pieces loses, and what it saves.

Every piece of a few made-up stems is searched in full (180 rolls) and the best row of pieces is
taken: the true best. Beside it stands what `saw.stem.bucked.buck` finds, and the time of both. The whole is a
bound to be kept: less than 0.5 % lost, 12 m at 10 cm steps within 5 s. Times count where the machine is idle.
"""

from __future__ import annotations

import os
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.log.tape import pith_path
from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import Aims, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare
from pithline.saw.rates import Rates, Step
from pithline.saw.search import best_setting
from pithline.saw.stem.bucked import buck
from pithline.saw.stem.row import best_row
from pithline.saw.stem.stem import Stem, StemRules, cut_points, piece_lie, piece_of, spans
from pithline.saw.timber import Timber
from pithline.saw.uses.use import Use
from pithline.saw.ways import ROLLS

sys.path.insert(0, str(Path(__file__).parent.parent))

MENU = tuple(ThicknessAim(f"{t} mm green", SizeKind.GREEN, t / 1000) for t in (54, 81))
AIMS = Aims(MENU, least_width=0.2, least_length=1.2, roll_free=True)
MILL = Mill(bar=1.07, kerf=0.009, rail=6.0)
RATES = Rates(
    "EUR",
    tuple((m.label, 2400.0) for m in MENU),
    width=(Step(0.35, 0.1), Step(0.5, 0.25)),
    length=(Step(2.0, 0.1), Step(2.5, 0.2)),
    per_cut_area=14.0,
    per_slab=12.0,
)
TIMBER = Timber("a wood", 0.03, 0.07, 900.0, 950.0, 1000.0)
GROUND = Lie(0.6, 0.6)


def stem(
    length: float, butt: float, top: float, sweep: float, lobes: float = 0.0, zones: tuple[Zone, ...] = ()
) -> Stem:
    """A made-up stem: tapering, flared at the butt, bent, with lobes that turn along it. [m]"""
    z = np.linspace(0, length, 25)
    turn = np.linspace(0, 2 * np.pi, 120, endpoint=False)
    radius = butt + (top - butt) * z / length + 0.05 * np.exp(-z / 0.5)
    form = 1 + lobes * np.cos(3 * turn[None, :] + 0.2 * z[:, None])
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    pith = pith_path(z, length, (sweep, 0.7))
    outlines = (radius[:, None] * form)[..., None] * ring + pith[:, None, :]
    return Stem(LogShape.of(z, outlines, np.full(z.size, 0.012), None, zones), pith)


STEMS = {
    "straight": stem(6.0, 0.30, 0.22, 0.0),
    "bent": stem(6.0, 0.30, 0.22, 0.25, 0.02),
    "rot at 2.9-3.6 m": stem(6.0, 0.28, 0.22, 0.08, 0.03, (Zone(ZoneKind.ROT, 2.9, 3.6, 0.10, 0.16, 0.14),)),
    "figure at 3.2-4.4 m, bent": stem(
        6.0, 0.32, 0.2, 0.15, 0.02, (Zone(ZoneKind.FIGURE, 3.2, 4.4, 0.0, 0.15, 0.15),)
    ),
}


def every_piece(one: Stem, rules: StemRules, mill: Mill, aims: Aims, rates: Rates) -> tuple[float, int]:
    """Net of the best row where every piece has been searched in full, and how many pieces."""
    points, rolls = cut_points(rules, one.shape.length), ROLLS if aims.roll_free else np.array([aims.roll])
    pairs = spans(rules, points, rules.most)
    worth = np.empty(len(pairs))
    for k, (i, j) in enumerate(pairs):
        piece = piece_of(one, points[i] + (rules.kerf if i else 0.0), points[j])
        model = prepare(piece, mill, aims, rates, TIMBER)
        ground = grounds(piece, piece_lie(piece, rules, GROUND), mill, aims, rolls)
        net = float(best_setting(model, rolls, np.zeros(1), ground).net.max())
        worth[k] = net - rules.piece_cost if net > 0 else -np.inf
    return best_row(points.size, pairs, worth, rules.cut_cost).net, len(pairs)


def table(rules: StemRules, mill: Mill, aims: Aims, rates: Rates) -> None:
    """Best of all and found, stem by stem."""
    print("| stem | pieces | best of all | found | lost % | all in full s | found in s | times faster |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for name, one in STEMS.items():
        began = time.perf_counter()
        found = buck(one, GROUND, rules, mill, aims, rates, TIMBER)
        took = time.perf_counter() - began
        began = time.perf_counter()
        best, count = every_piece(one, rules, mill, aims, rates)
        whole = time.perf_counter() - began
        lost = 100 * (1 - found.net / best)
        print(
            f"| {name} | {count} | {best:.0f} | {found.net:.0f} | {lost:.2f} | {whole:.1f} | {took:.2f} "
            f"| {whole / took:.0f} |"
        )
        assert -1e-6 <= lost < 0.5


def main() -> None:
    print(f"{os.cpu_count()} processors, load before: {os.getloadavg()[0]:.2f}.\n")
    # A grid of 2 mm halves the time of the reference; the quick look has 4 mm either way.
    mill, rates = replace(MILL, step=0.002), replace(RATES, figure=0.4)
    rules = StemRules(least=2.0, most=3.0, cut_cost=3.0, piece_cost=20.0)
    buck(STEMS["straight"], GROUND, rules, mill, AIMS, rates, TIMBER)  # loads the kernels
    print("6 m, cuts every 10 cm, pieces of 2 to 3 m, 180 rolls:\n")
    table(rules, mill, AIMS, rates)
    print("\nPieces of 2 to 4 m, as they lie, and benches and shelves that pay by the piece:\n")
    used = replace(rates, uses=(Use("bench", 0.38, 1.5, price=300.0), Use("shelf", 0.22, 1.0, price=70.0)))
    table(replace(rules, most=4.0), mill, replace(AIMS, roll_free=False), used)
    print("\n12 m, cuts every 10 cm, pieces of 2 to 5 m, 1 mm grid, every roll free:\n")
    long = stem(12.0, 0.36, 0.2, 0.25, 0.02)
    began, spent = time.perf_counter(), time.process_time()
    found = buck(long, GROUND, StemRules(cut_cost=3.0, piece_cost=20.0), MILL, AIMS, RATES, TIMBER)
    took, spent = time.perf_counter() - began, time.process_time() - spent
    print(
        f"{found.considered} pieces considered, {found.full} searched in full: {took:.1f} s on two threads "
        f"({spent:.1f} s of processor time)."
    )


if __name__ == "__main__":
    main()
