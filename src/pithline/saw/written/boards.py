"""The table [boards]: what slabs may be ripped into, as a person writes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Any

from pithline import units
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.saw.aims import Aims, ThicknessAim
from pithline.saw.rates import Step
from pithline.saw.rip.boards import Along, Boards, Cant
from pithline.saw.thickness import same_aim, thickness_aim
from pithline.saw.written.assumed import Assumed, Written, assumed_in
from pithline.saw.written.price import Price, price
from pithline.saw.written.rates import premiums
from pithline.slab.tallying import volume_unit

__all__ = ["BOARDS", "read_boards"]

_L = Quantity.LENGTH


def _per_volume(raw: Any, path: str) -> Price:
    return price(raw, path, ("m3", "bf", "ft3"), 'Write "4.20 per bf" or "1800 per m3".')


def _rate(raw: Any, path: str) -> tuple[ThicknessAim | None, Price]:
    """``4.20 per bf``, or ``12/4: 5 per bf`` for one thickness."""
    if isinstance(raw, str) and ":" in raw:
        name, _, text = raw.rpartition(":")
        return thickness_aim(name, path), _per_volume(text.strip(), path)
    return None, _per_volume(raw, path)


def _per_board(raw: Any, path: str) -> Price:
    return price(raw, path, ("slab", "piece"), 'Write "1.50 per piece".')


BOARDS = Table(
    "boards",
    "Square-edged boards and heart pieces that slabs may be ripped into.",
    (
        Field("width", _L, "Widths, green, as ripped.", required=True, many=True, least="1 cm", most="1 m"),
        Field(
            "length",
            _L,
            "Lengths that are bought; empty = any from least_length on.",
            many=True,
            least="10 cm",
            most="20 m",
        ),
        Field("least_length", _L, "Shortest board.", default="60 cm", least="10 cm", most="20 m"),
        Field("kerf", _L, "Wood that a rip takes.", default="4 mm", least="0 mm", most="2 cm"),
        Field(
            "crosscut", _L, "Wood that a cut across a board takes.", default="5 mm", least="0 mm", most="2 cm"
        ),
        Field(
            "along",
            Quantity.TEXT,
            "What rips run parallel to; best tries all three in every slab.",
            default="best",
            choices=tuple(str(a) for a in Along),
        ),
        Field(
            "step",
            _L,
            "Rips lie on whole steps from the pith line.",
            default="2 mm",
            least="1 mm",
            most="2 cm",
        ),
        Field(
            "pith",
            _L,
            "Half of the strip about the pith that no board may touch; else the pith rule of [aims] holds.",
            least="0 mm",
            most="20 cm",
        ),
        Field(
            "rate",
            Quantity.TEXT,
            'For every thickness, "4.20 per bf", or for one, "12/4: 5 per bf"; a list holds several.',
            many=True,
            parse=_rate,
        ),
        Field(
            "board_cost",
            Quantity.TEXT,
            'Your own cost of ripping and cutting a board, "1.50 per piece".',
            parse=_per_board,
        ),
        premiums("wide", "width of the board"),
        premiums("long", "length of the board"),
        Table(
            "cant",
            "A heart piece: a beam that holds the pith, ripped from a slab as thick as it is deep.",
            (
                Field("name", Quantity.TEXT, "What it is.", default="heart piece"),
                Field("width", _L, "Green.", required=True, least="2 cm", most="1 m"),
                Field(
                    "thickness",
                    Quantity.TEXT,
                    'Its depth, as in the thickness menu: "20 cm green".',
                    required=True,
                    parse=thickness_aim,
                ),
                Field("length", _L, "Of the piece.", required=True, least="20 cm", most="20 m"),
                Field("price", Quantity.TEXT, 'Of one, "320 per piece".', required=True, parse=_per_board),
                Field(
                    "margin",
                    _L,
                    "Wood between pith line and each face, at the least.",
                    default="20 mm",
                    least="0 mm",
                    most="50 cm",
                ),
            ),
            many=True,
        ),
    ),
)

WHY = {
    "kerf": "a bench or rail saw, common practice, no source",
    "crosscut": "a hand-held saw, common practice, no source",
    "least_length": "common practice, no source",
    "along": "whichever is worth most",
    "step": "finer than a hand-held saw is set",
}


def read_boards(raw: Mapping[str, Any], aims: Aims, currency: str) -> Written[Boards]:
    """Read the table [boards], in the unit of the aims' tally.

    Parameters
    ----------
    raw : mapping
    aims : Aims
        Every thickness of its menu needs a rate.
    currency : str
        Of the slabs' rates; "" where they count tally units, and then boards do so too.

    Raises
    ------
    BadValue
        Unknown or bad fields, another currency than the slabs', a thickness without a rate.
    """
    got = read(BOARDS, raw)
    prices = [(f"boards.rate[{n}]", its) for n, (_, its) in enumerate(got["rate"], 1)]
    prices += [("boards.board_cost", got["board_cost"])] if got["board_cost"] else []
    prices += [(f"boards.cant[{n}].price", row["price"]) for n, row in enumerate(got["cant"], 1)]
    for field, its in prices:
        if not currency and its.amount > 0:
            remedy = 'Give the slabs a rate in money too: rate = "9.50 per bf" in [rates].'
            raise BadValue(field, its.written, "left out where slabs are counted and not priced", remedy)
        if its.currency not in ("", currency):
            raise BadValue(field, its.written, f"in {currency}, as the slabs' rates are")
    each = volume_unit(aims.unit)
    by = []
    for aim in aims.thicknesses if got["rate"] else ():
        # The last line that names the thickness, else the last that names none.
        own = [its for name, its in got["rate"] if name is not None and same_aim(name, aim)]
        general = [its for name, its in got["rate"] if name is None]
        if not own and not general:
            raise BadValue(
                "boards.rate",
                f"missing for {aim.label}",
                "known for every thickness",
                f'Add "{aim.label}: 5 per bf", or one rate for all.',
            )
        by.append((aim.label, (own or general)[-1].amount * each))
    for row in got["cant"]:
        # Beside a heart piece boards as thick as it may be ripped, where somebody says what they bring.
        own = [its for name, its in got["rate"] if name is not None and same_aim(name, row["thickness"])]
        by += [(row["thickness"].label, own[-1].amount * each)] if own else []
    if not got["rate"] and currency:
        raise BadValue("boards.rate", "missing", "given where slabs have a rate", 'Add rate = "4.20 per bf".')
    boards = Boards(
        widths=tuple(sorted(set(got["width"]))),
        lengths=tuple(sorted(set(got["length"]))),
        least_length=0.0 if got["length"] else got["least_length"],
        kerf=got["kerf"],
        crosscut=got["crosscut"],
        along=Along(got["along"]),
        step=got["step"],
        pith_strip=got["pith"],
        by_thickness=tuple(by),
        otherwise=0.0 if currency else 1.0,
        wide=_steps("boards.wide", got["wide"]),
        long=_steps("boards.long", got["long"]),
        per_board=got["board_cost"].amount if got["board_cost"] else 0.0,
        cants=tuple(
            Cant(
                row["name"], row["thickness"], row["width"], row["length"], row["price"].amount, row["margin"]
            )
            for row in got["cant"]
        ),
    )
    assumed = assumed_in(BOARDS, raw, WHY, ("least_length",) if got["length"] else ())
    if not currency:
        why = "slabs have no rate: every unit of the tally counts 1"
        assumed = (Assumed("boards.rate", "1 for each unit of the tally", why), *assumed)
    return Written(boards, assumed)


def _steps(field: str, rows: Iterable[Mapping[str, float]]) -> tuple[Step, ...]:
    steps = sorted((Step(row["from"], row["premium"]) for row in rows), key=lambda s: s.least)
    for low, high in pairwise(steps):
        if high.least == low.least or high.premium < low.premium:
            raise BadValue(
                field,
                f"{units.show_share(high.premium)} from {units.show_length(high.least)}",
                f"once for each size and no less than the {units.show_share(low.premium)} of the smaller",
                "A large board can be sold as a smaller one.",
            )
    return tuple(steps)
