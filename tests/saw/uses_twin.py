"""What one slab, or two neighbours, earn by their uses, in plain words: no kernels, no shared arithmetic.

Places are not reckoned but tried: every piece starts at every place of a row, and where
something changes (a station, an end of a run, the last place at which it fits). So the claim
that only the outermost places count is itself on trial here.
"""

from __future__ import annotations

import math
from itertools import product

import numpy as np

from pithline.saw.uses.use import Grain, Use
from pithline.slab.tally import TallyUnit
from tests.saw.twin import HAIR, Drawn, Twin, runs
from tests.strategies import Case

__all__ = ["UsesTwin"]

GAP = 0.010  # wood that cutting a slab across takes [m]
PLACES = 9  # of a piece within one run, besides those where something changes


class UsesTwin(Twin):
    """The same job where slabs are for something.

    Attributes
    ----------
    uses : tuple of Use
        Orders first, then what the rates buy.
    """

    def __init__(self, case: Case, first: int, lines: int, *, outermost: bool = False) -> None:
        super().__init__(case, first, lines)
        self.outermost = outermost  # try the first and the last place of all alone
        self.uses = (*case.aims.orders, *case.rates.uses)

    # One slab ---------------------------------------------------------------

    def claims(self, f: int, o: int) -> dict[tuple[int, ...], float]:
        """The best net value of a slab for every way to make no, one or two pieces of it.

        Returns
        -------
        dict
            Sorted numbers of the uses that are made -> value less the slab's own cost.
        """
        found = {(): self.slab(f, o).value}
        share = self.paid_share(f, o)
        if share <= 0:
            return found
        slab, cost = self.drawn(f, o), self.own_cost(f, o)
        starts = {
            u: self._starts(slab, use) for u, use in enumerate(self.uses) if self._serves(f, o, use, slab)
        }
        for u, places in starts.items():
            paid = share * self._price(u, o) - cost
            rests = [self._rest(slab, o, share, start, start + self.uses[u].length) for start in places]
            if rests:
                found[(u,)] = paid + (0.0 if self.needless(f, o) else max(rests))
        for u, v in product(starts, repeat=2):
            apart = self.uses[u].length + GAP
            if any(a + apart <= b + HAIR for a, b in product(starts[u], starts[v])):
                both = (u, v) if u <= v else (v, u)
                found[both] = share * (self._price(u, o) + self._price(v, o)) - cost
        return found

    def _serves(self, f: int, o: int, use: Use, slab: Drawn) -> bool:
        """Whether a slab may make a thing, its size apart."""
        label = self.choices[o][0].aim.label
        if use.pair or (use.thicknesses and label not in use.thicknesses):
            return False
        return self._fit_to_show(f, o, use, slab)

    def _fit_to_show(self, f: int, o: int, use: Use, slab: Drawn) -> bool:
        """Pith, figure and grain as they are wanted."""
        if use.clear_of_pith and self.holds_pith(f, o):
            return False
        face = float(np.trapezoid(slab.counted, slab.z))
        if use.figure > 0 and float(slab.shown[-1]) < use.figure * face:
            return False
        return use.grain is Grain.ANY or self._grained(f, o, use.grain)

    def _grained(self, f: int, o: int, grain: Grain) -> bool:
        """Whether half of the wider face at mid-length has rings at the wanted angle, bit by bit."""
        aims, t = self.case.aims, self.choices[o][1]
        middle = (self.usable[0] + self.usable[-1] + 1) // 2
        i = f if self.width[middle, f] >= self.width[middle, f - t] else f - t
        left, right = float(self.left[middle, i]), float(self.right[middle, i])
        if right <= left:
            return False
        height = abs(self.heights[f] + self.heights[f - t]) / 2
        edges = np.linspace(left, right, 20_001)
        across = np.abs((edges[1:] + edges[:-1]) / 2)
        # A ring is a circle about the pith: its angle to the face has the tangent across / height.
        angle = np.arctan2(across, height)
        wanted = {
            Grain.FLAT: angle <= aims.flat_below,
            Grain.RIFT: (angle >= aims.flat_below) & (angle <= aims.quarter_above),
            Grain.QUARTER: angle >= aims.quarter_above,
        }[grain]
        return bool(wanted.mean() >= 0.5)

    def _starts(self, slab: Drawn, use: Use) -> list[float]:
        """Places where a piece may start: all along every run that is wide and long enough."""
        found: set[float] = set()
        for a, b in runs(slab.z, slab.narrow, use.width):
            last = b - use.length
            if last < a - HAIR:
                continue
            last = max(a, last)
            found |= {a, last, *np.linspace(a, last, PLACES)}
            found |= {float(z) for z in slab.z if a < z < last}
        places = sorted(found)
        return places[:1] + places[-1:] if self.outermost else places

    def _rest(self, slab: Drawn, o: int, share: float, start: float, end: float) -> float:
        """What one side of a piece brings by the tally."""
        low, high = float(slab.z[0]), float(slab.z[-1])
        sides = [(low, start - GAP), (end + GAP, high)]
        return max(
            max(0.0, self.best_run(slab, o, share, *side).value) for side in sides if side[1] > side[0]
        )

    def _price(self, u: int, o: int) -> float:
        use, choice = self.uses[u], self.choices[o][0]
        if use.price is not None:
            return use.price
        # A piece without a price brings the rate for the size asked; a square metre of face counts so much.
        unit = self.case.aims.unit
        if unit is TallyUnit.BF_NOMINAL:
            whole = self.inches(choice) / 0.3048**2
        else:
            whole = choice.green / (1.0 if unit is TallyUnit.M3 else 144 * 0.0254**3)
        each = use.width * use.length * whole * self.case.rates.rate(choice.aim.label)
        return 2 * each if use.pair else each

    # Two slabs --------------------------------------------------------------

    def pair(self, f: int, o: int, u: int) -> float:
        """Net value of the slab under line f and the one below its kerf as a pair, less the cut between."""
        use, t = self.uses[u], self.choices[o][1]
        between = f - t
        g = between - self.kerf
        none = -math.inf
        if g - t < 0 or (use.thicknesses and self.choices[o][0].aim.label not in use.thicknesses):
            return none
        slabs = [self.drawn(f, o), self.drawn(g, o)]
        for line, slab in zip((f, g), slabs, strict=True):
            if not self._fit_to_show(line, o, use, slab):
                return none
        share = min(self.paid_share(f, o), self.paid_share(g, o))
        if share <= 0 or not self.passes(between):
            return none
        # Both must be wide enough over the very same length of the log.
        at = [
            (max(a, c), min(b, d))
            for (a, b), (c, d) in product(*(runs(s.z, s.narrow, use.width) for s in slabs))
        ]
        if not any(b - a >= use.length - HAIR for a, b in at):
            return none
        return share * self._price(u, o) - self.own_cost(f, o) - self.own_cost(g, o) - self.cost(between)
