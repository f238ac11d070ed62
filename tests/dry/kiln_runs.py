"""Whole kiln runs as told, and the same reckoned by diffusion with a film of one's choice."""

from __future__ import annotations

import math

import numpy as np
from scipy.optimize import minimize_scalar

from pithline.dry.air import LOADED
from pithline.dry.coefficient import wood_of
from pithline.dry.kiln.codes import choose
from pithline.dry.kiln.course import through_kiln
from pithline.dry.kiln.kiln import Kiln
from pithline.dry.kiln.schedules import schedule
from pithline.dry.kiln.steps import settings
from pithline.dry.kiln.written import read_kiln
from pithline.units import length
from pithline.wood.species import species
from tests.sources import table

# "hot": one that can do every step as printed.
KILNS: dict[str, Kiln] = {
    "hot": read_kiln({"like": "container", "top": "82.3 C"}).value,
    "small dehumidifier": read_kiln({"like": "small dehumidifier"}).value,
}


def days(
    name: str, thickness: str, start: float, end: float, kiln: str, code: str = "", film: float = LOADED
) -> float:
    """Days of the wood itself under its published schedule, in such a kiln."""
    wood, thick = species(name), length(thickness)
    plan = schedule(code or choose(wood, thick).code)
    return sum(through_kiln(settings(plan, KILNS[kiln], start, end), thick, wood_of(wood), film=film).days)


def runs(film: float) -> np.ndarray:
    """Logarithm of ours over the told days, a row each."""
    return np.array(
        [
            math.log(
                days(
                    row["wood"], row["thickness"], float(row["start_percent"]) / 100,
                    float(row["end_percent"]) / 100, row["kiln"], row["code"], film,
                )
                / float(row["days"])
            )
            for row in table("kiln_runs")
        ]
    )  # fmt: skip


def factors(film: float) -> list[float]:
    """Days of green red oak of 6/4, 8/4 and 12/4 against 4/4, each under its own schedule."""
    made = [days("northern red oak", t, 0.80, 0.07, "hot", film=film) for t in ("4/4", "6/4", "8/4", "12/4")]
    return [each / made[0] for each in made[1:]]


def fitted(without: int | None = None) -> float:
    """The film with the least squares of those logarithms, times moving air's; without one of the runs."""

    def squares(x: float) -> float:
        off = runs(math.exp(x)) ** 2
        return float(off.sum() - (off[without] if without is not None else 0))

    found = minimize_scalar(
        squares, bounds=(math.log(0.005), math.log(0.2)),
        method="bounded", options={"xatol": 1e-3},
    )  # fmt: skip
    return math.exp(found.x)
