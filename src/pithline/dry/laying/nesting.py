"""Slabs slid together till they touch: more and more groups for one layer, the fewest that hold all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.contact import CELL, GRAIN, Floor, Profiles, profiles
from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.partition import fewest, incidence, relaxed
from pithline.dry.laying.rectangles import RectanglePlan, Spot, rectangle_plan

__all__ = ["Effort", "Nested", "nest"]

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

_MOST = 12  # slabs of a layer
_KEPT = 400  # layers that one search may hand over


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to look; counts and not times, so that a plan is the same on every machine.

    Attributes
    ----------
    rounds : int
        Of two searches for new groups each.
    beam : int
        Half-built layers kept at each step of a search.
    patience : int
        Rounds without a new group before the search ends.
    step : int
        Cells between the places tried along the floor.
    nodes : int
        Branches of the solver.
    """

    rounds: int = 24
    beam: int = 96
    patience: int = 3
    step: int = 2
    nodes: int = 300


@dataclass(frozen=True, slots=True)
class Nested:
    """Slabs of one thickness, laid.

    Attributes
    ----------
    layers : tuple of tuple of Spot
        Each in the order in which its slabs are slid up against those that lie.
    rectangles : RectanglePlan
    groups : int
        Different groups that were found to fit one layer.
    settled : bool
        No choice among those groups takes fewer layers.
    pool : tuple of tuple of Spot
        Those groups as they lie, for whoever must choose among them by something else.
    """

    layers: tuple[tuple[Spot, ...], ...]
    rectangles: RectanglePlan
    groups: int
    settled: bool
    pool: tuple[tuple[Spot, ...], ...]


def nest(
    slabs: Sequence[Footprint],
    floor: Floor,
    effort: Effort | None = None,
    progress: Progress | None = None,
    enough: int = 0,
) -> Nested:
    """Lay slabs of one thickness into the fewest layers that can be found.

    Parameters
    ----------
    slabs : sequence of Footprint
        Each fits on the floor.
    floor : Floor
    effort : Effort, optional
    progress : callable (text, share), optional
    enough : int
        A lower bound: with that many layers the search ends.

    Notes
    -----
    Column generation: the linear programme over the groups known so far says what each slab is
    worth; a beam search builds layers worth more than 1, which are new groups. It begins from
    the exact plan of bounding rectangles, so it never ends with more layers than that.
    """
    effort, say = effort or Effort(), progress or _silent
    say("laying bounding rectangles", 0.0)
    boxes = rectangle_plan(slabs, floor, effort.nodes)
    known: dict[tuple[int, ...], tuple[Spot, ...]] = {_key(layer): layer for layer in boxes.layers}
    best = [_key(layer) for layer in boxes.layers]
    if len(best) > max(enough, 1):
        search = _Search(slabs, floor, effort)
        best = _improve(search, known, best, enough, say)
    pool = tuple(known.values())
    keys = list(known)
    plan = fewest(keys, len(slabs), [keys.index(group) for group in best], effort.nodes)
    layers, seen = [], set[int]()
    for g in sorted(plan.chosen, key=lambda g: -len(keys[g])):
        layers.append(tuple(spot for spot in pool[g] if spot.slab not in seen))
        seen.update(keys[g])
    return Nested(tuple(layer for layer in layers if layer), boxes, len(known), plan.proved, pool)


class _Search:
    """The profiles of all slabs, and the random words by which the kernel knows sets apart."""

    def __init__(self, slabs: Sequence[Footprint], floor: Floor, effort: Effort) -> None:
        self.floor, self.effort = floor, effort
        self.ways: Profiles = profiles(slabs, floor)
        self.areas = np.array([slab.area for slab in slabs]) / floor.area
        # A fixed seed: the words only have to differ.
        self.words = np.random.default_rng(7).integers(1, 2**63, len(slabs), dtype=np.uint64)

    def layers(self, worth: Floats) -> list[tuple[Spot, ...]]:
        """Layers of great worth, each as it lies."""
        from pithline.dry.laying.contact_kernel import build

        ways, floor, beam = self.ways, self.floor, self.effort.beam
        sets = np.zeros((beam * _MOST, _MOST), np.int32)
        places = np.zeros((beam * _MOST, _MOST, 2), np.int32)
        counts, totals = np.zeros(beam * _MOST, np.int64), np.zeros(beam * _MOST)
        found = build(
            ways.low, ways.high, ways.cells, ways.own, worth, self.words, floor.cells, floor.grains,
            self.effort.step, _MOST, beam, sets, places, counts, totals,
        )  # fmt: skip
        keep = np.argsort(-totals[:found], kind="stable")[:_KEPT]
        return [
            tuple(
                Spot(int(ways.own[w]), ways.turns[w], float(at[0]) * CELL, float(at[1]) * GRAIN)
                for w, at in zip(sets[k, : counts[k]], places[k], strict=False)
            )
            for k in keep
        ]


def _improve(
    search: _Search,
    known: dict[tuple[int, ...], tuple[Spot, ...]],
    best: list[tuple[int, ...]],
    enough: int,
    say: Progress,
) -> list[tuple[int, ...]]:
    """Rounds of search; the known groups grow, the best choice of them is given back."""
    from concurrent.futures import ThreadPoolExecutor

    effort, count = search.effort, len(search.areas)
    chance = np.random.default_rng(11)  # fixed: the same slabs, the same layers
    tried, idle = 0, 0
    with ThreadPoolExecutor(2) as pair:
        for turn in range(effort.rounds):
            keys = list(known)
            at = {key: g for g, key in enumerate(keys)}
            duals = relaxed(incidence(keys, count), [at[group] for group in best])
            # Whole layers below the best are only worth a look where fractions go below it.
            hopeful = duals.value <= len(best) - 1 + 1e-6
            if hopeful and len(keys) > tried and (turn % 3 == 0 or idle):
                tried = len(keys)
                plan = fewest(keys, count, [at[group] for group in best], effort.nodes)
                best = [keys[g] for g in plan.chosen]
            say(
                f"{len(best)} layers so far; {len(keys)} groups that share a layer",
                turn / effort.rounds,
            )
            if len(best) <= enough or idle >= effort.patience:
                break
            # A breath of area: a slab of no worth still fills what would stay empty.
            plain = duals.worth + 0.02 * search.areas
            other = plain * chance.uniform(0.8, 1.2, count)
            if turn % 2:
                other = 0.5 * other + 0.5 * search.areas * len(best) / search.areas.sum()
            for layers in pair.map(search.layers, (plain, other)):
                for layer in layers:
                    known.setdefault(_key(layer), layer)
            idle = idle + 1 if len(known) == len(keys) else 0
    return best


def _key(layer: Sequence[Spot]) -> tuple[int, ...]:
    return tuple(sorted(spot.slab for spot in layer))


def _silent(text: str, share: float) -> None:
    """Nobody asked."""
