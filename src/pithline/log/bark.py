"""How thick the bark is: as measured, or estimated from the species."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Self

from pithline.errors import BadValue

__all__ = ["BarkRule", "bark_rule"]


@dataclass(frozen=True, slots=True)
class BarkRule:
    """Bark thickness as a function of diameter or of the place along the log.

    Attributes
    ----------
    model : str
        "mm" (double thickness in mm = c0 + c1 D + c2 D^2, D over bark in cm),
        "k" (diameter under bark = k x over bark) or "taped" (butt and top thickness in m).
    c0, c1, c2 : float
        As printed. For "k" only c0; for "taped" c0 at the butt and c1 at the top. [m]
    spread : float
        Half range of the thickness. [fraction]
    source, mark : str
    factor : float
        Multiplies the thickness; 1 except where a range is tried out.
    """

    model: str
    c0: float
    c1: float = 0.0
    c2: float = 0.0
    spread: float = 0.0
    source: str = ""
    mark: str = "measured"
    factor: float = 1.0

    @classmethod
    def taped(cls, butt: float, top: float) -> Self:
        """Measured thickness at both ends, one side, straight between them. [m]"""
        return cls("taped", butt, top, spread=0.15)

    @property
    def measured(self) -> bool:
        """Whether a tape, not the species, says it."""
        return self.model == "taped"

    def times(self, factor: float) -> BarkRule:
        """The same rule with its thickness multiplied."""
        return replace(self, factor=self.factor * factor)

    def thickness(self, along: float, diameter: float, over_bark: bool) -> float:
        """Bark on one side of a section.

        Parameters
        ----------
        along : float
            Place along the log, 0 at the butt, 1 at the top.
        diameter : float
            Mean diameter there. [m]
        over_bark : bool
            Whether `diameter` was taken over the bark.

        Returns
        -------
        thickness : float
            One side. [m]

        Notes
        -----
        The printed parabolas bend down beyond the diameters they were fitted to; past
        their crest the thickness is held. Diameters under bark are met by bisection.

        References
        ----------
        .. [1] Altherr, Unfried, Hradetzky & Hradetzky, *Statistische Rindenbeziehungen*,
           FVA Baden-Wuerttemberg, 1974-1979 (coefficients as in the R package TapeS 0.13.4).
        """
        if self.model == "taped":
            return self.factor * (self.c0 * (1 - along) + self.c1 * along)
        if over_bark:
            return self._over(diameter)
        low, high = diameter, 2 * diameter
        for _ in range(60):
            middle = (low + high) / 2
            if middle - 2 * self._over(middle) < diameter:
                low = middle
            else:
                high = middle
        return (high - diameter) / 2

    def _over(self, diameter: float) -> float:
        if self.model == "k":
            return self.factor * diameter * (1 - self.c0) / 2
        cm = diameter * 100
        if self.c2 < 0:
            cm = min(cm, -self.c1 / (2 * self.c2))
        double_mm = self.c0 + self.c1 * cm + self.c2 * cm**2
        return self.factor * max(double_mm, 0.0) / 2000


# From memory: genera whose bark stays smooth and thin on old trees.
_SMOOTH = {"Fagus", "Carpinus", "Platanus", "Ilex", "Celtis", "Magnolia", "Ostrya"}


def bark_rule(scientific: str, group: str) -> BarkRule:
    """The best estimate there is for a species.

    Parameters
    ----------
    scientific : str
        ``Quercus rubra``.
    group : str
        "hardwood" or "softwood".

    Returns
    -------
    rule : BarkRule
        The species' own butt-log equation (range +-30 %), else one of its genus (+-40 %),
        else "other conifers" for a softwood, else the field shortcut k = 0.90 for rough and
        0.95 for smooth bark (+-50 %). The ranges are judgement, no source: different
        authors differ by as much for one species.
    """
    if not scientific:
        raise BadValue("log.species", scientific, "a species with a scientific name")
    rows = _rows()
    words = scientific.removeprefix("x ").split()
    genus = words[0]
    for row in rows:
        own_genus, _, own = row["scientific"].partition(" ")
        if own_genus == genus and len(words) > 1 and words[1] in own.split("/"):
            return _rule(row, 0.30)
    for row in sorted(rows, key=lambda r: not r["scientific"].endswith("spp.")):
        if row["scientific"].split()[0] == genus:
            return _rule(row, 0.40, f"the equation of {row['species']}, same genus")
    if group == "softwood":
        return _rule(_named(rows, "Coniferales"), 0.40, "the equation of other conifers")
    kind = "smooth" if genus in _SMOOTH else "rough"
    return _rule(_named(rows, kind), 0.50, f"the field shortcut for {kind}-barked hardwoods")


def _rule(row: dict[str, str], spread: float, what: str = "") -> BarkRule:
    c0, c1, c2 = (float(row[c]) if row[c] else math.nan for c in ("c0", "c1", "c2"))
    if row["model"] == "k":
        c1 = c2 = 0.0
    what = what or f"the equation of {row['species']}" if row["model"] == "mm" else what or "a measured mean"
    source = f"{what}: {row['source']}" if row["source"] else what
    return BarkRule(row["model"], c0, c1, c2, spread, source, row["mark"])


def _named(rows: tuple[dict[str, str], ...], scientific: str) -> dict[str, str]:
    return next(r for r in rows if r["scientific"] == scientific)


@cache
def _rows() -> tuple[dict[str, str], ...]:
    text = (resources.files("pithline.log") / "data" / "bark.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
