"""The table [rates]: its fields as a person writes them, and what they make."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Any

from pithline import units
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.saw.aims import Aims, ThicknessAim
from pithline.saw.rates import Rates, Step
from pithline.saw.thickness import same_aim, thickness_aim
from pithline.saw.written.assumed import Assumed, Written, assumed_in
from pithline.saw.written.price import Price, price
from pithline.saw.written.uses import USE, read_uses
from pithline.slab.tally import TallyUnit
from pithline.slab.tallying import volume_unit
from pithline.wood.species import species

__all__ = ["RATES", "premiums", "read_rates"]

_L = Quantity.LENGTH


def _per_volume(raw: Any, path: str) -> Price:
    return price(raw, path, ("m3", "bf", "ft3"), 'Write "9.50 per bf" or "4200 per m3".')


def _rate(raw: Any, path: str) -> tuple[Any, Price]:
    """``9.50 per bf``, or ``12/4: 11 per bf`` for one thickness."""
    if isinstance(raw, str) and ":" in raw:
        name, _, text = raw.rpartition(":")
        return thickness_aim(name, path), _per_volume(text.strip(), path)
    return None, _per_volume(raw, path)


def _wood(raw: Any, path: str) -> str:
    return species(raw, path).name


def _per_area(raw: Any, path: str) -> Price:
    return price(raw, path, ("m2", "ft2"), 'Write "12 per m2".')


def _per_kg(raw: Any, path: str) -> Price:
    return price(raw, path, ("kg", "lb"), 'Write "0.05 per kg".')


def _per_slab(raw: Any, path: str) -> Price:
    return price(raw, path, ("slab",), 'Write "8 per slab".')


def premiums(name: str, what: str) -> Table:
    """A table of steps from a size on, each with what it adds to a rate."""
    return Table(
        name,
        f"Premiums by {what}.",
        (
            Field("from", _L, "From this size on.", required=True, most="30 m"),
            Field("premium", Quantity.SHARE, "Added to the rate.", required=True, most="2000 %"),
        ),
        many=True,
    )


RATES = Table(
    "rates",
    "What slabs bring and what sawing costs, in your own figures.",
    (
        Field("currency", Quantity.TEXT, 'Three-letter code, such as "EUR".'),
        Field(
            "rate",
            Quantity.TEXT,
            'For every thickness, "9.50 per bf", or for one, "12/4: 11 per bf"; a list holds several.',
            many=True,
            parse=_rate,
        ),
        Table(
            "by",
            "Rate of one species, one thickness, or one of both; the closest match holds.",
            (
                Field("species", Quantity.TEXT, "Any name of the wood.", parse=_wood),
                Field("thickness", Quantity.TEXT, "As in the thickness menu.", parse=thickness_aim),
                Field("rate", Quantity.TEXT, 'Such as "11 per bf".', required=True, parse=_per_volume),
            ),
            many=True,
        ),
        premiums("width", "least narrow-face width"),
        premiums("length", "usable length"),
        Field("figure", Quantity.SHARE, "Premium where the faces show figure.", default="0 %", most="2000 %"),
        Field(
            "cut_cost",
            Quantity.TEXT,
            'Your own cost, "12 per m2" of cut.',
            default="0 per m2",
            parse=_per_area,
        ),
        Field(
            "slab_cost", Quantity.TEXT, 'Your own cost, "8 per slab".', default="0 per slab", parse=_per_slab
        ),
        Field(
            "carry_cost",
            Quantity.TEXT,
            'Your own cost of carrying green wood out, "0.05 per kg".',
            default="0 per kg",
            parse=_per_kg,
        ),
        Field(
            "month_cost",
            Quantity.TEXT,
            'Your own cost of the room a slab takes for a month of drying, "4 per m3".',
            default="0 per m3",
            parse=_per_volume,
        ),
        Field(
            "inch_months",
            Quantity.NUMBER,
            "Months that wood of one inch is kept to dry; only month_cost makes use of it.",
            default=8,
            least="0",
            most="60",
        ),
        Field(
            "months_power",
            Quantity.NUMBER,
            "Thickness to this power makes the months: 1.3 in kilns to 2 for free diffusion.",
            default=1.5,
            least="1",
            most="2",
        ),
        USE,
    ),
)

COSTS = ("cut_cost", "slab_cost", "carry_cost", "month_cost")

WHY = {
    "cut_cost": "free cuts make thick slabs win; give your own cost",
    "slab_cost": "free handling favours many slabs; give your own cost",
    "carry_cost": "free carrying favours heavy slabs; give your own cost",
    "month_cost": "free waiting favours thick slabs; give your own cost",
    "inch_months": "between the published ranges of most hardwoods in a yard, a guess from 3 to 15",
    "months_power": "between kilns and free diffusion, a guess from 1.3 to 2",
    "rate": "no rate given: every unit of the tally counts 1, and the plan saws for the most of them",
}


def read_rates(raw: Mapping[str, Any] | None, aims: Aims, wood: str = "") -> Written[Rates]:
    """Read the table [rates] for one species, in the unit of the aims' tally.

    Parameters
    ----------
    raw : mapping or None
        None or empty: every unit of the tally is worth 1, and nothing costs.
    aims : Aims
        Its menu must find a rate for every thickness; its unit is what rates are
        turned into.
    wood : str
        Name of the log's `Species`; rows of [[rates.by]] for other species are passed over.

    Raises
    ------
    BadValue
        Unknown fields, prices that cannot be read, prices without a currency, costs
        without a rate, a thickness without a rate.
    """
    raw = {} if raw is None else raw
    got = read(RATES, raw)
    prices = [p for _, p in got["rate"]] + [row["rate"] for row in got["by"]]
    costs = [got[name] for name in COSTS if name in raw]
    currency = _currency(got["currency"], [*prices, *costs])
    if not prices and any(cost.amount > 0 for cost in costs):
        remedy = 'A cost in money needs a rate to be set against: rate = "9.50 per bf".'
        raise BadValue("rates.rate", "missing", "given where costs are", remedy)
    if not prices and got["use"]:
        remedy = 'Say what the rest of the wood brings: rate = "9.50 per bf".'
        raise BadValue("rates.rate", "missing", "given where uses have prices", remedy)
    each = volume_unit(aims.unit)
    found = [(aim, _best_price(aim, got, wood)) for aim in aims.thicknesses] if prices else []
    for aim, its in found:
        if its is None:
            raise BadValue(
                "rates.rate",
                f"missing for {aim.label}",
                "known for every thickness",
                f'Add "{aim.label}: 11 per bf", or one rate for all.',
            )
    by = tuple((aim.label, its.amount * each) for aim, its in found if its is not None)
    rates = Rates(
        currency=currency if prices else "",
        by_thickness=by,
        otherwise=0.0 if prices else 1.0,
        width=_steps("rates.width", got["width"]),
        length=_steps("rates.length", got["length"]),
        figure=got["figure"],
        per_cut_area=got["cut_cost"].amount,
        per_slab=got["slab_cost"].amount,
        per_kg=got["carry_cost"].amount,
        per_month=got["month_cost"].amount,
        inch_months=float(got["inch_months"]),
        months_power=float(got["months_power"]),
        uses=read_uses(got["use"]),
    )
    # How long wood dries matters where a month of it costs something, and the costs where there is money.
    silent = () if got["month_cost"].amount > 0 else ("inch_months", "months_power")
    assumed = assumed_in(RATES, raw, WHY, silent)
    if not prices:
        assumed = (Assumed("rates.rate", "1 for each unit of the tally", WHY["rate"]), *assumed)
    remarks = tuple(dict.fromkeys(_conversion(its, aims.unit) for _, its in found if its is not None))
    return Written(rates, assumed, tuple(remark for remark in remarks if remark))


def _best_price(aim: ThicknessAim, got: Mapping[str, Any], wood: str) -> Price | None:
    """The closest match: species and thickness, then thickness, then species, then all."""
    ranked: list[tuple[int, Price]] = [
        (2 if other is not None else 0, its)
        for other, its in got["rate"]
        if other is None or same_aim(other, aim)
    ]
    for row in got["by"]:
        if row["species"] and row["species"] != wood:
            continue
        if row["thickness"] is not None and not same_aim(row["thickness"], aim):
            continue
        # Thickness counts more than species: a row for both beats either.
        ranked.append((2 * (row["thickness"] is not None) + bool(row["species"]), row["rate"]))
    # The last of equals holds, as a later line corrects an earlier one.
    return max(enumerate(ranked), key=lambda r: (r[1][0], r[0]))[1][1] if ranked else None


def _currency(written: str | None, prices: Iterable[Price]) -> str:
    codes = {p.currency for p in prices if p.currency} | ({written.upper()} if written else set())
    for code in codes:
        if not (len(code) == 3 and code.isascii() and code.isalpha()):
            raise BadValue("rates.currency", code, "a three-letter code", 'Write for instance "EUR".')
    if len(codes) > 1:
        raise BadValue("rates.currency", ", ".join(sorted(codes)), "one currency", "Convert the others.")
    if not codes and any(p.amount > 0 for p in prices):
        raise BadValue("rates.currency", "missing", "given with prices", 'Add currency = "EUR".')
    return codes.pop() if codes else ""


def _conversion(its: Price, unit: TallyUnit) -> str:
    """Say so where the rate's unit is not the tally's."""
    each = units.volume(its.unit if its.unit[0].isdigit() else f"1 {its.unit}")
    if math.isclose(each, volume_unit(unit), rel_tol=1e-9):
        return ""
    short = "m3" if unit is TallyUnit.M3 else "bf"
    return f"{its.written} is {its.amount * volume_unit(unit):.6g} per {short}, the unit of the tally."


def _steps(field: str, rows: Iterable[Mapping[str, float]]) -> tuple[Step, ...]:
    steps = sorted((Step(row["from"], row["premium"]) for row in rows), key=lambda s: s.least)
    for low, high in pairwise(steps):
        if high.least == low.least:
            raise BadValue(field, units.show_length(low.least), "named once", "Keep one of the premiums.")
        if high.premium < low.premium:
            raise BadValue(
                field,
                f"{units.show_share(high.premium)} from {units.show_length(high.least)}",
                f"at least the {units.show_share(low.premium)} of the smaller size",
                "A large slab can be sold as a smaller one.",
            )
    return tuple(steps)
