"""Which published schedule code a wood of a thickness has; and what to offer where it has none."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import inf
from statistics import fmean

from pithline.dry.kiln.schedules import drying_force, schedule
from pithline.dry.printed import rows
from pithline.errors import BadValue
from pithline.units import INCH
from pithline.wood.facts import Species, all_species

__all__ = ["CLASSES", "KINDS", "Choice", "Code", "choose", "codes_of", "density_class", "quarters_for"]

QUARTERS = (4, 5, 6, 8, 10, 12, 16)
KINDS = ("usual", "milder finish", "for white colour")
# Ours: where to look for a code to lend. Basic specific gravity from which a class begins.
CLASSES = (("light", 0.0), ("middling", 0.40), ("dense", 0.55))
# Sawn green a little over its name, as 12/4 red oak is sawn 81 mm (common practice, no source).
_OVER = 1.08

_CITED = {
    "AH188": "Dry Kiln Operator's Manual, Agriculture Handbook 188, 1991, Ch. 7, code index",
    "AH188-thick": "Dry Kiln Operator's Manual, Agriculture Handbook 188, 1991, Ch. 7, thick stock",
    "FPJ54": "Forest Products Journal 54(12):178-184, 2004, abstract",
    "Wengert": "E. M. Wengert, Hardwood lumber kiln schedules, article",
    "Wengert2010": "E. M. Wengert, answer on drying 12/4 white ash, 2010",
    "operator2010": "a kiln operator's published question on 12/4 white ash, 2010",
}


@dataclass(frozen=True, slots=True)
class Code:
    """One printed line of the code index.

    Attributes
    ----------
    wood : str
        As printed: "oak, red, upland".
    scientific : tuple of str
    quarters : tuple of int
        Thicknesses in quarter inches.
    code, kind : str
        "T4-D2"; one of `KINDS`.
    mark, sure : str
        "read" or "from memory"; how well remembered.
    source, note : str
    """

    wood: str
    scientific: tuple[str, ...]
    quarters: tuple[int, ...]
    code: str
    kind: str
    mark: str
    sure: str
    source: str
    note: str

    def cited(self) -> str:
        """Citation with its mark, as it is shown to people."""
        return f"{self.source} [{self.mark}, {'steps from memory' if self.mark == 'read' else self.sure}]"


@dataclass(frozen=True, slots=True)
class Choice:
    """The code to dry by, and whose it is.

    Attributes
    ----------
    code : str
    row : Code
    own : bool
        Printed for this wood at this thickness.
    quarters : int
        The class of thickness that was looked for.
    remarks : tuple of str
        Everything that has to be said beside it.
    """

    code: str
    row: Code
    own: bool
    quarters: int
    remarks: tuple[str, ...]


def quarters_for(thickness: float) -> int | None:
    """The thickness class that a slab falls into, in quarter inches; None above 16/4.

    Parameters
    ----------
    thickness : float
        Green or rough dry: up to 8 % over its name still belongs to the class. [m]

    Raises
    ------
    BadValue
        Not a thickness.
    """
    if not 0 < thickness < 1:  # NaN fails here too
        raise BadValue("thickness", thickness, "more than 0 and under 1 m", 'Write "12/4" or "80 mm".')
    # A hair of room: 12/4 typed as "12/4" must not miss its own class by a rounding.
    return next((q for q in QUARTERS if thickness <= q * INCH / 4 * _OVER + 1e-9), None)


def density_class(species: Species) -> str:
    """Return "light", "middling" or "dense" by basic specific gravity; "dense" where it is not known."""
    gravity = species.sg_basic.value if species.sg_basic else inf
    return [name for name, least in CLASSES if gravity >= least][-1]


def codes_of(species: Species) -> tuple[Code, ...]:
    """Every printed code of a wood."""
    return tuple(code for code in _index() if species.scientific in code.scientific)


def choose(species: Species, thickness: float, kind: str = "usual") -> Choice:
    """Pick the published code for a wood and thickness, or the most careful one to lend.

    Parameters
    ----------
    species : Species
    thickness : float
        [m]
    kind : str
        One of `KINDS`.

    Returns
    -------
    choice : Choice
        Of a wood without a code, or none so thick: the most careful printed code among woods
        of its density class (`CLASSES`) and that thickness, next thicker where there is none;
        never less careful than the wood's own code for thinner stock. The more careful of two
        starts cooler (a hot start collapses wet wood); of equal starts it has the lesser
        `drying_force`.

    Raises
    ------
    BadValue
        A kind that is not printed for this wood.
    """
    named = quarters_for(thickness)
    wanted = named or QUARTERS[-1]
    remarks: tuple[str, ...] = ()
    if named is None:
        remarks = (f"thicker than any published schedule: {wanted}/4 is the thickest, and taken; dry slower",)
    own = [code for code in codes_of(species) if code.kind == kind]
    if kind != "usual" and not any(wanted in code.quarters for code in own):
        known = ", ".join(dict.fromkeys(c.kind for c in codes_of(species) if wanted in c.quarters)) or "none"
        raise BadValue(
            "--kind", kind, f"printed for {wanted}/4 {species.name}", f"Known at this thickness: {known}."
        )
    exact = [code for code in own if wanted in code.quarters]
    if exact:
        row = min(exact, key=_care)
        remarks += (row.note,) if row.note else ()
        if len(exact) > 1:
            listed = " and ".join(f"{code.code} for {code.wood}" for code in exact)
            remarks += (f"printed are {listed}; the more careful one is taken",)
        return Choice(row.code, row, named is not None, wanted, remarks)
    thinner = [code for code in own if max(code.quarters) < wanted]
    kind_of = density_class(species)
    lent = _lent(kind_of, wanted)
    row = min([lent, *thinner[-1:]], key=_care)
    whose = "its own for thinner stock" if row in own else f"lent by {row.wood}, {_span(row)}"
    thick = f"published for {wanted}/4" if own else "known for"
    why = f"no code is {thick} {species.name}"
    if species.group != "hardwood":
        why += " (the tables here hold hardwoods only)"
    remarks += (f"{why}; {row.code} is the most careful printed one for {kind_of} woods ({whose}): a guess",)
    return Choice(row.code, row, False, wanted, remarks)


def _span(row: Code) -> str:
    return f"{row.quarters[0]}/4" + (f" to {row.quarters[-1]}/4" if len(row.quarters) > 1 else "")


def _care(code: Code) -> tuple[float, float]:
    plan = schedule(code.code)
    return plan.steps[0].dry_bulb, drying_force(plan)


@cache
def _lent(kind: str, wanted: int) -> Code:
    """Return the most careful usual code of a density class, or of a denser class where none is so thick."""
    names = [name for name, _ in CLASSES]
    usual = [code for code in _index() if code.kind == "usual"]
    for name in names[names.index(kind) :]:
        for quarters in (q for q in QUARTERS if q >= wanted):
            rated = [code for code in usual if quarters in code.quarters and _class(code) == name]
            if rated:
                return min(rated, key=_care)
    raise AssertionError("dense woods have a code at every thickness")


def _class(code: Code) -> str:
    known = [s.sg_basic.value for s in all_species() if s.scientific in code.scientific and s.sg_basic]
    if not known:
        return ""
    return [name for name, least in CLASSES if fmean(known) >= least][-1]


@cache
def _index() -> tuple[Code, ...]:
    return tuple(
        Code(
            row["wood"],
            tuple(row["scientific"].split(";")),
            tuple(int(q) for q in row["quarters"].split()),
            row["code"],
            row["kind"],
            row["mark"],
            row["sure"],
            _CITED[row["source"]],
            row["note"],
        )
        for row in rows("kiln_codes.csv")
    )
