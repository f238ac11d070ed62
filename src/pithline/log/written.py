"""From what a person wrote, in a file or as options, to a log record."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Collection, Mapping, Sequence
from typing import Any

from pithline.errors import BadValue, Question
from pithline.fields import Table, missing, read
from pithline.log.assumed import assumed
from pithline.log.bark import BarkRule, bark_rule
from pithline.log.declared import RECORD
from pithline.log.options import table_from_options
from pithline.log.outline import mean_diameter
from pithline.log.record import LogRecord, SecondPith, TapedZone
from pithline.log.resting import Ground
from pithline.log.size import Size, Station
from pithline.log.zones import ZoneKind

__all__ = ["OTHER_TABLES", "TOP_IS_WIDER", "end_from_table", "from_options", "from_table"]

OTHER_TABLES = ("mill", "aims", "rates", "stem", "boards", "call", "costs")
"""Tables of the same file that other rooms read."""

TOP_IS_WIDER = "--top-is-wider"

_READINGS = ("right", "up", "left", "down")


def from_table(raw: Mapping[str, Any], confirm: Collection[str] = frozenset()) -> LogRecord:
    """Read a log record.

    Parameters
    ----------
    raw : mapping
        The whole file: tables ``log`` and ``lie``; `OTHER_TABLES` are passed over.
    confirm : collection of str
        Unlikely things that the person has confirmed (`TOP_IS_WIDER`).

    Raises
    ------
    BadValue
        Naming field, value and rule.
    Question
        Where the top is wider than the butt and this is not confirmed.
    """
    from pithline.wood.species import species

    ours = {name: table for name, table in raw.items() if name not in OTHER_TABLES}
    tables = ("log", "lie", *OTHER_TABLES)
    for name in ours:
        if name not in tables:
            near = difflib.get_close_matches(name, tables, n=1, cutoff=0.6)
            hint = f"Did you mean {near[0]}? " if near else ""
            raise BadValue(
                name, ours[name], "one of the fields of the file", f"{hint}Known here: {', '.join(tables)}."
            )
    values = read(RECORD, ours)
    log, written = values["log"], ours["log"]
    wood = species(log["species"], "log.species")
    sizes = {end: _end(log[end], end) for end in ("butt", "top")}
    record = LogRecord(
        name=log["name"],
        species=wood,
        length=log["length"],
        butt=sizes["butt"],
        top=sizes["top"],
        stations=tuple(_station(row, n) for n, row in enumerate(log["stations"], 1)),
        bark=_bark(log["bark"]) or bark_rule(wood.scientific, wood.group),
        sweep=(log["sweep"]["amount"], log["sweep"]["towards"]) if log["sweep"] else (0.0, 0.0),
        zones=tuple(_zone(row) for row in log["zones"]),
        second_pith=_second(log["second_pith"]),
        ground=_ground(values["lie"] or {}),
        felled=log["felled"],
        notes=log["notes"],
        system="inch" if re.search(r"in|ft|foot|feet|['\"]", str(written["length"])) else "metric",
    )
    record = assumed(record, written, ours.get("lie"))
    shape = record.to_shape()
    record.lie()
    butt, top = mean_diameter(shape.outlines[0]), mean_diameter(shape.outlines[-1])
    if top > butt + 0.0005 and TOP_IS_WIDER not in confirm:
        raise Question(
            f"The top ({top * 100:.1f} cm under bark) is wider than the butt ({butt * 100:.1f} cm).",
            TOP_IS_WIDER,
        )
    return record


def from_options(confirm: Collection[str] = frozenset(), **options: Any) -> LogRecord:
    """The same from a few texts: `options` as of `table_from_options`."""
    return from_table(table_from_options(**options), confirm)


def end_from_table(raw: Mapping[str, Any], end: str) -> tuple[Size, str]:
    """Read one end alone, while the rest of the log is still being taped.

    Parameters
    ----------
    raw : mapping
        The table ``log.butt`` or ``log.top``.
    end : {"butt", "top"}

    Returns
    -------
    size : Size
        As the person sees it there, not yet turned to the butt's view.
    seen_from : str
        At which end the person stands.

    Raises
    ------
    BadValue
        As `from_table`.
    """
    values = read(_declared_end(end), raw, f"log.{end}")
    size = _size(values, f"log.{end}", over_bark=values["bark"] == "over", station=False)
    return size, values["seen_from"] or end


def _declared_end(end: str) -> Table:
    log = RECORD["log"]
    assert isinstance(log, Table)
    declared = log[end]
    assert isinstance(declared, Table)
    return declared


def _end(values: Mapping[str, Any], end: str) -> Size:
    size = _size(values, f"log.{end}", over_bark=values["bark"] == "over", station=False)
    return size.mirrored() if (values["seen_from"] or end) == "top" else size


def _station(values: Mapping[str, Any], n: int) -> Station:
    over = values["bark"] != "under"
    return Station(values["at"], _size(values, f"log.stations[{n}]", over_bark=over, station=True))


def _size(values: Mapping[str, Any], field: str, over_bark: bool, station: bool) -> Size:
    taped = [name for name in _READINGS if values[name] is not None]
    extents = [name for name in ("across", "tall") if values[name] is not None]
    ways = [" + ".join(way) for way in (taped, extents, ["diameter"], ["girth"]) if _said(values, way)]
    if values["around"]:
        ways.append("around")
    if not ways:
        raise missing(field, 'diameter = "64 cm", or up, down, left and right from the pith mark')
    if len(ways) > 1:
        raise BadValue(field, " and ".join(ways), "measured one way", "Keep the way you trust most.")
    for name in [*_READINGS] if taped else ["across", "tall"] if extents and not station else []:
        if values[name] is None:
            raise missing(f"{field}.{name}", f'{name} = "40 cm": it belongs to {ways[0]}')
    offset = (values.get("pith_right"), values.get("pith_up"))
    if (taped or values["around"]) and offset != (None, None):
        raise BadValue(
            f"{field}.pith_right", "given", "left out beside readings: they start at the pith mark already"
        )
    readings = _from_pith(values, field) if taped else None
    return Size(
        field,
        over_bark,
        readings=readings,
        around=_around(values["around"], field) if values["around"] else None,
        diameter=values["diameter"],
        girth=values["girth"],
        across=values["across"],
        tall=values["tall"],
        pith_right=offset[0] or 0.0,
        pith_up=offset[1] or 0.0,
    )


def _said(values: Mapping[str, Any], names: Sequence[str]) -> bool:
    return any(values[name] is not None for name in names)


def _from_pith(values: Mapping[str, Any], field: str) -> tuple[float, float, float, float]:
    for name in _READINGS:
        if not values[name] > 0:
            raise _outside(f"{field}.{name}", values[name])
    right, up, left, down = (values[name] for name in _READINGS)
    for names, span in (("left + right", left + right), ("up + down", up + down)):
        if not 0.06 <= span <= 5.0:
            raise BadValue(
                f"{field}, {names}", f"{span * 100:g} cm", "between 6 cm and 5 m", "Look at the units."
            )
    return right, up, left, down


def _around(rows: Sequence[Mapping[str, Any]], field: str) -> tuple[tuple[float, float], ...]:
    for n, row in enumerate(rows, 1):
        if not row["out"] > 0:
            raise _outside(f"{field}.around[{n}].out", row["out"])
    readings = sorted((row["clock"], row["out"]) for row in rows)
    gaps = [
        (after - before) % (2 * math.pi)
        for (before, _), (after, _) in zip(readings, readings[1:] + readings[:1], strict=True)
    ]
    if len(readings) < 4 or min(gaps) < 1e-6 or max(gaps) > 2 * math.pi / 3 + 1e-6:
        raise BadValue(
            f"{field}.around",
            f"{len(readings)} readings, {max(gaps) / math.pi * 6:.1f} hours of the clock at most apart",
            "four or more different directions, nowhere more than 4 hours apart",
            "Go round the pith mark with the tape: 12, 3, 6 and 9 o'clock and every bay and rib.",
        )
    return tuple(readings)


def _outside(field: str, value: float) -> BadValue:
    return BadValue(
        field,
        f"{value * 1000:g} mm",
        "more than 0: the pith mark has to lie inside the outline",
        "In a half log, mark another point inside the wood and say so in notes.",
    )


def _bark(values: Mapping[str, Any] | None) -> BarkRule | None:
    if values is None:
        return None
    same, butt, top = values["thickness"], values["butt"], values["top"]
    if same is not None and (butt is not None or top is not None):
        raise BadValue("log.bark", "thickness beside butt or top", "said one way", "Keep one of the two.")
    if same is None and (butt is None or top is None):
        raise missing("log.bark", 'thickness = "18 mm", or both butt and top')
    return BarkRule.taped(same if same is not None else butt, same if same is not None else top)


def _zone(values: Mapping[str, Any]) -> TapedZone:
    clock = None if values["clock"] == "centre" else values["clock"]
    kind = ZoneKind(values["kind"])
    return TapedZone(kind, values["from"], values["to"], clock, values["depth"], values["note"])


def _second(values: Mapping[str, Any] | None) -> SecondPith | None:
    if values is None:
        return None
    side = 1.0 if values["seen_from"] == "butt" else -1.0
    return SecondPith(
        values["from"],
        side * values["right"],
        values["up"],
        side * values["begin_right"],
        values["begin_up"],
    )


def _ground(values: Mapping[str, Any]) -> Ground:
    if not values:
        return Ground()
    piths = (values["pith_butt"], values["pith_top"])
    both = values["bearers"]
    bearers = (
        values["bearer_butt"] if values["bearer_butt"] is not None else both,
        values["bearer_top"] if values["bearer_top"] is not None else both,
    )
    for (butt, top), names in ((piths, ("pith_butt", "pith_top")), (bearers, ("bearer_butt", "bearer_top"))):
        if (butt is None) != (top is None):
            raise missing(f"lie.{names[butt is not None]}", f'{names[butt is not None]} = "45 cm"')
    if piths[0] is not None and bearers[0] is not None:
        raise BadValue(
            "lie", "pith heights beside bearers", "said one way", "Keep the pith heights: they set the rail."
        )
    return Ground(*piths, *bearers, slope=values["slope"], powerhead_room=values["powerhead_room"])
