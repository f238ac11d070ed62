"""A log on offer as its page asks for it: the call, and the few rates and costs that it hangs on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.http import QueryDict

from pithline.errors import BadValue, Refused
from pithline.fields import Table
from pithline.money.cost.written import COSTS, FIVE
from pithline.money.cost.written import WHY as WHY_COSTS
from pithline.money.offered.call_table import CALL
from pithline.money.offered.call_table import WHY as WHY_CALL
from pithline.saw.written.aims import AIMS
from pithline.saw.written.rates import RATES
from pithline.web.inputs import Asking, Group, asked, place_of
from pithline.web.money.drying_place import as_key, drying_place, places_with_months
from pithline.web.names import woods
from pithline.web.words import words
from pithline.yard.models import Log, Profile
from pithline.yard.money import currency
from pithline.yard.preferences import aims_from_settings

__all__ = ["SAID", "TICKS", "Offer", "offer_of"]

SAID = "said"  # in the address: the form was sent, so an empty field is empty on purpose
TICKS = ("permission", "tree_protection", "plant_movement")
_SIZES = ("species", "girth", "length")
_TOLD = ("girth_at", "taper", *_SIZES)
# Name of the group, its title, its table, its fields; the first five are open, the rest behind a fold.
GROUPS = (
    ("log", "The log", "call", (*_SIZES, "quality")),
    ("way", "Getting there", "call", ("distance", "carry", "load", "people", "asked")),
    ("slabs", "The slabs", "aims", ("thickness",)),
    ("rates", "What they bring", "rates", ("rate",)),
    ("ticks", "Asked before a yes", "call", TICKS),
    (
        "products",
        "What else it gives",
        "call",
        ("lumber", "edging", "firewood", "firewood_share", "opening", "blanks",
         "blank_price", "sawdust"),
    ),
    ("away", "Taking it away unsawn", "call", ("hire", "lifts", "payload")),
    ("costs", "Costs: five answers", "costs", FIVE),
    (
        "guesses",
        "Other guesses",
        "call",
        (
            "girth_at", "taper", "set_up", "pace", "handling", "sawing", "between", "price_level",
            "downgraded", "downgraded_brings", "dries_at", "stacked", "dry_to", "drying", "warmest",
            "coldest", "selling", "work", "logs",
        ),
    ),
)  # fmt: skip
OPEN = 5
_TABLES = {"call": CALL, "aims": AIMS, "rates": RATES, "costs": COSTS}


@dataclass(frozen=True, slots=True)
class Offer:
    """Everything that a verdict is made from, as typed.

    Attributes
    ----------
    log : Log or None
        None for a call about a log that is not in the book.
    tables : dict
        call, costs, mill, aims, rates; log and lie where it was measured; months of the place where the
        book's slabs dry, or None.
    said : dict
        Words of the page's own fields, by table.
    query : QueryDict
    problems : mapping of field to reason
    general : str
        A refusal that no field can mend.
    """

    log: Log | None
    tables: dict[str, Any]
    said: dict[str, Any]
    query: QueryDict
    problems: Mapping[str, str]
    general: str = ""

    @property
    def measured(self) -> bool:
        """Whether a record tells species and size."""
        return "log" in self.tables

    @property
    def groups(self) -> tuple[Group, ...]:
        """The open part of the form."""
        return self._groups[:OPEN]

    @property
    def folded(self) -> tuple[Group, ...]:
        """The part behind folds."""
        return self._groups[OPEN:]

    @property
    def _groups(self) -> tuple[Group, ...]:
        how = Asking(
            problems=self.problems,
            offers={"species": woods(), "dries_at": places_with_months()},
            sources={**WHY_COSTS, **WHY_CALL},
        )
        return tuple(
            Group(
                name,
                title,
                "",
                asked(_part(table, names, self.measured), self.said.get(table, {}), how, prefix=f"{table}."),
            )
            for name, title, table, names in GROUPS
            if table != "call" or not self.measured or set(names) - set(_TOLD)
        )

    @property
    def missing(self) -> list[str]:
        """What has to be said before there is an answer; names as on the page."""
        call = self.tables["call"]
        need = [("distance", "the distance")]
        if not self.measured:
            need = [("species", "the species"), ("girth", "the girth"), ("length", "the length"), *need]
        found = [told for name, told in need if not call.get(name)]
        if not self.tables["rates"].get("rate"):
            found.append("what slabs bring")
        if any(not self.tables["costs"].get(name) for name in FIVE):
            found.append("the five answers about costs")
        return found

    def refused(self, problem: Refused) -> Offer:
        """The same with a reason beside the field that it speaks of."""
        text = str(problem)
        if isinstance(problem, BadValue):
            place = re.sub(r"\.\d+$", "", place_of(problem.field, ""))
            known = {part.name for group in self._groups for part in group.parts}
            place = place if place in known else f"call.{place}"
            if place in known:
                # What to type in a terminal is no help on a page.
                remedy = " ".join(s for s in re.split(r"(?<=[.?]) ", problem.remedy) if "--" not in s)
                reason = f"Must be {problem.rule}. {remedy}".strip()
                return replace(self, problems={place: reason}, general=text)
        return replace(self, problems={}, general=text)

    def part(self, name: str) -> Any:
        """One field of the form, or None."""
        return next((part for group in self._groups for part in group.parts if part.name == name), None)


def offer_of(log: Log | None, query: QueryDict) -> Offer:
    """Read the page's address over what the book knows."""
    tables: dict[str, Any] = {}
    for kind in ("mill", "aims", "rates", "costs"):
        usual = Profile.objects.filter(kind=kind, usual=True).first()
        tables[kind] = dict(usual.table) if usual else {}
    tables["aims"] = aims_from_settings(tables["aims"])
    if currency():
        tables["rates"].setdefault("currency", currency())
    tables["call"] = dict((log.worth if log else None) or {})
    if log is not None and log.record is not None:
        tables |= {name: log.record[name] for name in ("log", "lie") if name in log.record}
        # Kept before it was measured: the record says these now.
        tables["call"] = {n: v for n, v in tables["call"].items() if n not in _TOLD}
    elif log is not None:
        tables["call"].setdefault("species", log.species)
    measured = "log" in tables
    said: dict[str, Any] = {table: {} for table in _TABLES}
    for _, _, table, names in GROUPS:
        here = _part(table, names, measured)
        if SAID in query:
            said[table] |= words(here, query, prefix=f"{table}.")
            for field in here.fields:
                tables[table].pop(field.name, None)
        else:
            said[table] |= {f.name: tables[table][f.name] for f in here.fields if f.name in tables[table]}
    for table, told in said.items():
        tables[table] |= told
    call = tables["call"]
    named = call.get("dries_at")
    # Said in degrees, it is no place of the book.
    own = not (call.get("drying") or call.get("warmest") or call.get("coldest"))
    tables["months"] = as_key(drying_place(str(named or ""))) if own else None
    return Offer(log, tables, said, query, {})


def _part(table: str, names: tuple[str, ...], measured: bool) -> Table:
    """The chosen fields of a table; those that a record tells are left out."""
    whole = _TABLES[table]
    kept = tuple(n for n in names if not (measured and table == "call" and n in _TOLD))
    return Table(table, whole.help, tuple(whole[n] for n in kept))
