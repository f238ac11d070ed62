"""How fast the planner is where slabs are for something: uses, caps, an order, a pair.

One setting against HiGHS, through scipy, on the very rows of the full model, and the
search of all rolls and pitches. Times count only where the machine was idle otherwise.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from pithline.saw.model import grounds
from pithline.saw.rows import rows_with_uses
from pithline.saw.search import best_setting
from pithline.saw.solution import room, solve
from pithline.saw.tables import Setting
from pithline.saw.uses import chain_kernel
from pithline.saw.uses.use import Use
from pithline.saw.uses.wants import Claimed

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parent.parent))  # for the drawn logs of the tests

from planner_speed import best_of, job

from tests.saw.test_uses_against_highs import by_milp

USES = (
    Use("dining top", 0.60, 2.0, price=320.0, at_most=2),
    Use("bench", 0.38, 1.5, price=120.0),
    Use("shelf", 0.22, 1.0, price=40.0),
    Use("wide table", 0.45, 2.0, price=420.0, at_most=1, pair=True),
)
ORDER = Use("ordered mantel", 0.30, 1.6, ("66 mm green",), price=90.0, at_most=2, ordered=True)


def main() -> None:
    work = job(figure=False)
    work = replace(
        work, aims=replace(work.aims, orders=(ORDER,)), rates=replace(work.rates, uses=USES, per_kg=0.03)
    )
    made = work.model
    wants = made.wants
    assert wants is not None
    tables = room(made, edges=False, pitch=work.pitch)
    claimed = Claimed.of(wants, made.pay, tables.costs.size, made.wood.z.size)
    ground = work.ground
    setting = Setting(
        float(np.sin(work.roll)), float(np.cos(work.roll)), work.pitch, float(ground[0]), float(ground[1])
    )
    ours = best_of(
        50,
        lambda: chain_kernel.solve(made.wood, made.reach, made.pay, wants, setting, tables, claimed),
    )
    solution = solve(made, work.roll, work.pitch, ground)
    found = list(rows_with_uses(solution, made))
    wanted = (*work.aims.orders, *work.rates.uses)
    began = time.perf_counter()
    pieces, net = by_milp(
        found, made.reach.kerf, list(wants.caps), [wanted[k].ordered for k in wants.counted]
    )
    theirs = time.perf_counter() - began
    assert abs(net - solution.net) <= 1e-9 * net, (net, solution.net)
    rolls, pitches = np.radians(np.arange(0, 360, 2.0)), np.linspace(-0.01, 0.01, 5)
    off = grounds(work.shape, work.lie, work.mill, work.aims, rolls)
    whole = best_of(5, lambda: best_setting(made, rolls, pitches, off))
    print(
        f"{solution.tables.costs.size} lines of 1 mm, {len(made.choices)} thicknesses, {len(USES)} uses and "
        f"an order, {wants.next_state.shape[0]} states, {wants.bonus.size} claims, {len(found)} rows.\n"
        f"Best {net:.2f} and {pieces} ordered pieces by both.\n"
        f"one roll and pitch          {1000 * ours:9.2f} ms\n"
        f"HiGHS, whole numbers        {1000 * theirs:9.0f} ms   {theirs / ours:,.0f} times as long\n"
        f"180 rolls x 5 pitches       {1000 * whole:9.0f} ms"
    )


if __name__ == "__main__":
    main()
