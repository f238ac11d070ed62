"""The tables [[rates.use]] and [[aims.order]]: what slabs are for, as a person writes it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.saw.thickness import same_aim, thickness_aim
from pithline.saw.uses.use import Grain, Use

__all__ = ["ORDER", "USE", "order_row", "read_orders", "read_uses", "short_row", "use_row"]

_L = Quantity.LENGTH
_MOST = 12  # uses and orders of one plan

_SIZE = (
    Field("width", _L, "Least narrow face, under bark.", required=True, least="1 cm", most="3 m"),
    Field("length", _L, "How long it is.", required=True, least="5 cm", most="30 m"),
    Field(
        "thickness",
        Quantity.TEXT,
        "Which of the thickness menu serve; empty = all of them.",
        many=True,
        parse=thickness_aim,
    ),
)
_WISHES = (
    Field("pair", Quantity.FLAG, "Two neighbouring slabs alike, opened like a book.", default=False),
    Field(
        "figure", Quantity.SHARE, "Least share of the faces that shows figure.", default="0 %", most="100 %"
    ),
    Field(
        "grain",
        Quantity.TEXT,
        "What half of the wider face must show.",
        default="any",
        choices=tuple(Grain),
    ),
    Field("clear_of_pith", Quantity.FLAG, "Not from a slab that holds the pith.", default=False),
)

USE = Table(
    "use",
    "Things that slabs, or lengths of them, make and that pay by the piece.",
    (
        Field("name", Quantity.TEXT, "Such as: dining top, bench, shelf, mantel.", required=True),
        *_SIZE,
        Field(
            "price",
            Quantity.NUMBER,
            "What one brings, or both of a pair, in the currency.",
            required=True,
            least="0",
            most="10000000",
        ),
        Field("at_most", Quantity.COUNT, "How many of it this log may give.", least="0", most="99"),
        Field("a_year", Quantity.COUNT, "How many of it you can sell in a year.", least="0", most="999"),
        Field(
            "made_this_year",
            Quantity.COUNT,
            "Of those, sold or in the stacks already.",
            default=0,
            most="999",
        ),
        *_WISHES,
    ),
    many=True,
)

ORDER = Table(
    "order",
    "Pieces that are ordered: as many as the log can give are cut before all else.",
    (
        Field("name", Quantity.TEXT, "For whom, or what it becomes.", required=True),
        Field("count", Quantity.COUNT, "Pieces, or pairs.", default=1, least="1", most="99"),
        *_SIZE,
        Field(
            "price",
            Quantity.NUMBER,
            "What one brings, or both of a pair; left out, the rate for the size asked.",
            least="0",
            most="10000000",
        ),
        *_WISHES,
    ),
    many=True,
)

_SHORT = re.compile(
    r"(?:(?P<count>\d+)\s+of\s+)?(?P<name>[^:@]+?)\s*:\s*(?P<width>[^x×]+?)\s*[x×]\s*(?P<length>[^,]+?)"
    r"(?:\s*,\s*(?P<rest>.+))?",
    re.IGNORECASE,
)


_MISCOUNTED = re.compile(r"([-+−]?\d[\d.,]*)\s+of(?:\s.*)?", re.IGNORECASE)
_PRICE = re.compile(r"at\s+(.+)")
_YEAR = re.compile(r"(\d+) (a year|made)")
_AMOUNT = re.compile(r"\d+(\.\d+)?")


def use_row(text: str, field: str = "rates.use") -> dict[str, Any]:
    """Read an option ``bench: 38 cm x 1.5 m, at 180`` (``2 of bench: ...`` caps it at two).

    Words after the price add wishes: ``pair``, ``clear of pith``, a grain, ``figure 20 %``,
    a thickness; and ``6 a year, 4 made``, which leaves two.

    Raises
    ------
    BadValue
    """
    row = _row(text, field, 'Write "bench: 38 cm x 1.5 m, at 180".')
    if "count" in row:
        row["at_most"] = row.pop("count")
    return row


def order_row(text: str, field: str = "aims.order") -> dict[str, Any]:
    """Read an option ``2 of table: 80 cm x 2 m, 12/4``.

    Raises
    ------
    BadValue
    """
    return _row(text, field, 'Write "2 of table top: 80 cm x 2 m, at 900, 12/4".')


def _row(text: str, field: str, remedy: str) -> dict[str, Any]:
    found = _SHORT.fullmatch(text.strip())
    if found is None:
        raise BadValue(field, text, "a name, a colon, width x length", remedy)
    # "1.5 of bench", "-2 of bench", "3 of": a count gone wrong, and no name.
    if miscounted := _MISCOUNTED.fullmatch(found["name"]):
        raise BadValue(f"{field}: how many", miscounted[1], "a whole number and then a name", remedy)
    row: dict[str, Any] = {"name": found["name"], "width": found["width"], "length": found["length"]}
    if found["count"]:
        row["count"] = int(found["count"])
    for word in filter(None, (w.strip() for w in (found["rest"] or "").split(","))):
        if priced := _PRICE.fullmatch(word):
            if not _AMOUNT.fullmatch(priced[1]):
                raise BadValue(f"{field}: price", priced[1], "a plain amount, 0 or more", 'Write "at 180".')
            _once(row, "price", float(priced[1]), field)
        elif (year := _YEAR.fullmatch(word)) and field == "rates.use":
            _once(row, "a_year" if year[2] == "a year" else "made_this_year", int(year[1]), field)
        elif word == "pair":
            row["pair"] = True
        elif word == "clear of pith":
            row["clear_of_pith"] = True
        elif word in tuple(Grain):
            _once(row, "grain", word, field)
        elif word.startswith("figure "):
            _once(row, "figure", word.removeprefix("figure "), field)
        else:
            row.setdefault("thickness", []).append(word)
    return row


def _once(row: dict[str, Any], name: str, value: Any, field: str) -> None:
    if name in row:
        raise BadValue(f"{field}: {name}", f"{row[name]}, {value}", "said once", "Leave one of the two out.")
    row[name] = value


def short_row(row: Mapping[str, Any]) -> str:
    """A row of either table on one line, as `use_row` and `order_row` read it."""
    count = row.get("at_most", row.get("count"))
    words = [f"{'' if count is None else f'{count} of '}{row['name']}: {row['width']} x {row['length']}"]
    if row.get("price") is not None:
        words.append(
            f"at {row['price']:g}" if isinstance(row["price"], int | float) else f"at {row['price']}"
        )
    if row.get("a_year") is not None:
        words.append(f"{row['a_year']} a year")
    if row.get("made_this_year"):
        words.append(f"{row['made_this_year']} made")
    wanted = row.get("thickness") or []
    words += [str(t) for t in ([wanted] if isinstance(wanted, str) else wanted)]
    words += [
        name
        for name, said in (("pair", row.get("pair")), ("clear of pith", row.get("clear_of_pith")))
        if said
    ]
    if row.get("grain", "any") != "any":
        words.append(str(row["grain"]))
    if row.get("figure", "0 %") not in ("0 %", "", None):
        words.append(f"figure {row['figure']}")
    return ", ".join(words)


def read_uses(rows: Iterable[Mapping[str, Any]]) -> tuple[Use, ...]:
    """Uses from the rows of [[rates.use]].

    Raises
    ------
    BadValue
        A name that is given twice, or more uses than one plan holds.
    """
    uses = []
    for row in rows:
        may = _may_give(row)
        if may != 0:
            uses.append(Use(price=row["price"], at_most=may, **_common(row)))
    return _distinct("rates.use", uses)


def _may_give(row: Mapping[str, Any]) -> int | None:
    """How many of a use this log may give: by its own cap, and by what is left of the year's."""
    cap, year, made = row["at_most"], row["a_year"], row["made_this_year"]
    if year is None:
        if made:
            raise BadValue(
                f"rates.use ({row['name']}): made_this_year",
                made,
                "given with a_year",
                "Say how many a year.",
            )
        return int(cap) if cap is not None else None
    left = max(int(year) - int(made or 0), 0)
    return left if cap is None else min(int(cap), left)


def read_orders(rows: Iterable[Mapping[str, Any]], menu: Iterable[Any]) -> tuple[Use, ...]:
    """Orders from the rows of [[aims.order]].

    Raises
    ------
    BadValue
        A thickness that is not on the menu, or a name that is given twice.
    """
    menu = tuple(menu)
    orders = []
    for row in rows:
        for aim in row["thickness"] or ():
            if not any(same_aim(aim, other) for other in menu):
                raise BadValue(
                    f"aims.order ({row['name']}): thickness",
                    aim.label,
                    f"one of the menu: {', '.join(m.label for m in menu)}",
                    "Add it to aims.thickness.",
                )
        orders.append(Use(price=row["price"], at_most=row["count"], ordered=True, **_common(row)))
    return _distinct("aims.order", orders)


def _common(row: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "name": row["name"],
        "width": row["width"],
        "length": row["length"],
        "thicknesses": tuple(aim.label for aim in row["thickness"] or ()),
        "pair": row["pair"],
        "figure": row["figure"],
        "grain": Grain(row["grain"]),
        "clear_of_pith": row["clear_of_pith"],
    }


def _distinct(field: str, uses: list[Use]) -> tuple[Use, ...]:
    names = [u.name for u in uses]
    for name in names:
        if names.count(name) > 1:
            raise BadValue(f"{field}.name", name, "named once", "Give each its own name.")
    if len(uses) > _MOST:
        raise BadValue(field, len(uses), f"{_MOST} or fewer", "Plan the rarer ones in another run.")
    return tuple(uses)
