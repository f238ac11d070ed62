"""How long a verdict on a log takes, against planning every guess of it by itself.

The aim is under 1 s for 2,000 draws once the kernels are compiled. The reading off between
planned sizes is then compared with the plans of those very logs: what it costs in exactness.
Pass a number of logs to plan exactly (120 if none is given).
"""

from __future__ import annotations

import sys
import time
import tomllib
from pathlib import Path

import numpy as np

from pithline.money.cost.written import read_costs
from pithline.money.offered.dried import dried
from pithline.money.offered.log import OfferedLog, Planner
from pithline.money.offered.worth import worth
from pithline.money.offered.written import read_call
from pithline.money.offered.yields import planned_yield
from pithline.saw.timber import Timber
from pithline.saw.written.inputs import read_aims, read_mill, read_rates
from pithline.wood.species import species

DEMO = Path(__file__).parent.parent / "demo" / "phone-call.toml"
DRAWS = 2000


def main(exact: int) -> None:
    tables = tomllib.loads(DEMO.read_text(encoding="utf-8"))
    call, costs = read_call(tables["call"])[0].value, read_costs(tables["costs"]).value
    guess = call.guess
    assert guess is not None
    wood, aims = species(guess.species), read_aims(tables["aims"]).value
    rates = read_rates(tables["rates"], aims, wood.name).value
    planner = Planner(read_mill(tables["mill"]).value, aims, rates, Timber.of(wood, aims.moisture))
    took, forecasts = [], []
    for _ in range(4):  # the first one compiles or loads the kernels
        began = time.perf_counter()
        told = dried(call, planner, wood, np.random.default_rng(1))
        forecasts.append(time.perf_counter() - began)
        worth(told, costs, planner, np.random.default_rng(1), draws=DRAWS)
        took.append(time.perf_counter() - began)
    verdict = min(took[1:])

    log, rng = OfferedLog.told(guess), np.random.default_rng(2)
    x = {name: figure.at(rng.standard_normal(exact)) for name, figure in log.sizes.items()}
    read = log.yields(log.grid(x, planner), x)
    began = time.perf_counter()
    plans = []
    for size, fall, length in zip(*log.places(x), strict=True):
        record = guess.record(float(size), float(fall), float(length))
        plans.append(planned_yield(record.to_shape(), record.lie(), *planner.all))
    one = (time.perf_counter() - began) / exact
    print(f"verdict with {DRAWS} draws{verdict:10.2f} s   (first, compiling or loading: {took[0]:.2f} s)")
    print(f"  of it the drying forecast {min(forecasts[1:]):8.2f} s   {told.drying.basis}")
    print(f"planning each by itself {one * DRAWS:10.2f} s   {one * DRAWS / verdict:.0f} x, from {exact} logs")
    print("read off against planned: 10, 50, 90 %; half of the logs within; worst")
    for name in ("value", "tally", "area", "solid"):
        ours, theirs = getattr(read, name), np.array([getattr(each, name) for each in plans])
        low, mid, high = np.quantile(ours, [0.1, 0.5, 0.9]) / np.quantile(theirs, [0.1, 0.5, 0.9]) - 1
        off = np.abs(ours / theirs - 1)
        print(f"  {name:<8}{low:+8.2%}{mid:+8.2%}{high:+8.2%}{np.median(off):8.2%}{off.max():8.2%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 120)
