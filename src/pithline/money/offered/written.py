"""A call read: from the table as written to the offer as the sum takes it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from pithline.dry.months import Months, guessed, place
from pithline.errors import BadValue
from pithline.fields import Table, missing, read
from pithline.money.amount import Amount, one_currency
from pithline.money.likely import Likely
from pithline.money.offered.by_products import ByProducts
from pithline.money.offered.call import Call, Lumber, Removal
from pithline.money.offered.call_table import CALL, QUALITIES, WHY
from pithline.money.offered.drying_time import DryingAir, DryingTime
from pithline.money.offered.log_guess import LogGuess
from pithline.money.offered.realised import realised_yield
from pithline.saw.written.assumed import Written, assumed_in
from pithline.units import BOARD_FOOT

__all__ = ["Find", "read_by_products", "read_call"]

Find = Callable[[str, float | None, float | None], Months]
_NAMES = ("firewood", "firewood_share", "opening", "blanks", "blank_price", "sawdust")
_BESIDE = Table(CALL.name, CALL.help, tuple(CALL[name] for name in _NAMES))


def read_call(
    raw: Mapping[str, Any] | None,
    measured: bool = False,
    months: Months | None = None,
    find: Find = place,
) -> tuple[Written[Call], str]:
    """Read the table [call].

    Parameters
    ----------
    raw : mapping or None
    measured : bool
        Whether a record tells species and size, so that the call need not.
    months : Months, optional
        Of the place where slabs dry, where the call names none.
    find : callable (name, warmest, coldest) -> Months
        Looks up a place by its name; raises `BadValue`.

    Returns
    -------
    written : Written of Call
    currency : str
        The code among its amounts, "" where none is named.

    Raises
    ------
    BadValue
        Unknown or missing fields, figures without units, two currencies, a size said twice.
    """
    raw = {} if raw is None else raw
    got = read(CALL, raw)
    # A default is written as a span, too, but nobody said it.
    got |= {
        name: replace(figure, why=WHY[name])
        for name, figure in got.items()
        if isinstance(figure, Likely) and raw.get(name) is None and name in WHY
    }
    sizes = ("species", "girth", "length")
    for name in sizes:
        if measured and got[name] is not None:
            raise BadValue(
                f"call.{name}", raw[name], "left out where a log is measured", "The record says it."
            )
        if not measured and got[name] is None:
            example = {"species": '"red oak"', "girth": '"2.6 m"', "length": '"4 m"'}[name]
            raise missing(f"call.{name}", f"{name} = {example}")
    code = one_currency([got[n] for n in ("asked", "opening", "blank_price", "hire")] + _codes(got))
    guess = None
    if not measured:
        from pithline.wood.species import species

        guess = LogGuess(
            species(got["species"], "call.species").name,
            got["girth"],
            got["girth_at"],
            got["length"],
            got["taper"],
        )
    lumber = got["lumber"]
    air = None if got["drying"] else _air(got, months, find)
    call = Call(
        guess=guess,
        quality=got["quality"],
        quality_factor=QUALITIES[got["quality"]],
        distance=got["distance"],
        carry=got["carry"],
        pace=got["pace"],
        load=got["load"],
        payload=got["payload"],
        people=got["people"],
        handling=got["handling"],
        set_up=got["set_up"],
        asked=float(got["asked"]),
        realised=realised_yield(got["logs"]),
        price_level=got["price_level"],
        downgraded=got["downgraded"],
        downgraded_brings=got["downgraded_brings"],
        sawing=got["sawing"],
        between=got["between"],
        drying=DryingTime.said(got["drying"]) if got["drying"] else DryingTime.folk(),
        air=air,
        selling=got["selling"],
        work=got["work"],
        by_products=_by_products(got),
        lumber=Lumber(lumber.amount * BOARD_FOOT, got["edging"] / 60) if lumber else None,
        removal=Removal(float(got["hire"]) if got["hire"] else None, got["lifts"]),
        permission=got["permission"],
        tree_protection=got["tree_protection"],
        plant_movement=got["plant_movement"],
    )
    told = ("girth_at", "taper") if measured else ()
    told = (
        *told,
        *(() if lumber else ("edging",)),
        *(() if air else ("dry_to",)),
        "permission",
        "tree_protection",
        "plant_movement",
    )
    return Written(call, assumed_in(CALL, raw, WHY, told)), code


def read_by_products(raw: Mapping[str, Any]) -> ByProducts:
    """Of a call the prices of by-products alone; the rest may be unfinished.

    Raises
    ------
    BadValue
        A price that cannot be meant.
    """
    return _by_products(read(_BESIDE, {name: raw[name] for name in _NAMES if name in raw}))


def _by_products(got: Mapping[str, Any]) -> ByProducts:
    return ByProducts(
        firewood=got["firewood"].amount if got["firewood"] else 0.0,
        firewood_share=got["firewood_share"],
        opening=float(got["opening"]),
        blanks=got["blanks"],
        blank_price=float(got["blank_price"]),
        sawdust=got["sawdust"].amount if got["sawdust"] else 0.0,
    )


def _air(got: Mapping[str, Any], months: Months | None, find: Find) -> DryingAir | None:
    """Where the slabs dry; None where nobody said."""
    name, two = got["dries_at"], (got["warmest"], got["coldest"])
    if name is None and any(each is not None for each in two):
        if None in two:
            lacks = "coldest" if two[1] is None else "warmest"
            raise missing(f"call.{lacks}", f'{lacks} = "{-2 if lacks == "coldest" else 22} C"')
        name, find = "guessed", lambda _, *given: guessed(*given)
    if name is not None:
        try:
            months = find(name, *two)
        except BadValue as wrong:
            field = "dries_at" if wrong.field in ("place", "months") else wrong.field
            raise BadValue(f"call.{field}", wrong.value, wrong.rule, wrong.remedy) from None
    return DryingAir(months, got["stacked"], got["dry_to"]) if months is not None else None


def _codes(got: Mapping[str, Any]) -> list[Amount | None]:
    from decimal import Decimal

    return [
        Amount(Decimal(0), got[name].currency, f"call.{name}")
        for name in ("firewood", "sawdust", "lumber")
        if got[name] is not None and got[name].currency
    ]
