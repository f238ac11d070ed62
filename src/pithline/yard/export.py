"""The book as plain tables: CSV, JSON, XLSX. Everything is in them; a size says its unit in its heading."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.apps import apps

from pithline.errors import BadValue
from pithline.yard.archive import in_order
from pithline.yard.desk import as_row
from pithline.yard.models import Contact, Job, Log, Place, Slab, Stack, Token
from pithline.yard.money import currency, shown
from pithline.yard.written_rows import WRITTEN

__all__ = ["FORMATS", "as_text", "csv_of", "export", "tables"]

FORMATS = ("csv", "json", "xlsx")
_LONGEST = 32_000  # characters that a cell of a spreadsheet holds
Row = dict[str, Any]


def tables() -> dict[str, list[Row]]:
    """Every table of the book, by name.

    The first ones are as a person writes them and can be imported again: ``contacts``,
    ``places``, ``stacks``, ``logs``, ``slabs``, and those of drying and money. Then each
    record of the book as it is kept, named ``kept_...``; those come back by a restore only.
    """
    told: dict[str, list[Row]] = {
        "contacts": list(_contacts()),
        "places": list(_places()),
        "stacks": list(_stacks()),
        "logs": list(_logs()),
        "slabs": list(_slabs()),
        **{name: list(rows()) for name, rows in WRITTEN.items()},
    }
    for model in in_order(apps):
        # Nothing about the book: who may write, and what the machine was busy with.
        if model not in (Token, Job):
            rows = model._default_manager.order_by("pk").iterator(chunk_size=500)
            told[f"kept_{model._meta.model_name}"] = [as_row(record) for record in rows]
    return told


def export(path: Path, how: str | None = None) -> int:
    """Write every table; returns the number of rows.

    Parameters
    ----------
    path : Path
        A ``.json`` or ``.xlsx`` file, or a ``.zip`` of CSV files.
    how : {"csv", "json", "xlsx"}, optional
        Else by the ending.

    Raises
    ------
    BadValue
        Another format, or a place that cannot be written.
    """
    how = how or {".zip": "csv", ".json": "json", ".xlsx": "xlsx"}.get(path.suffix.lower(), "")
    if how not in FORMATS:
        raise BadValue(
            "format", how or path.suffix, f"one of {', '.join(FORMATS)}", "End in .zip, .json or .xlsx."
        )
    told = tables()
    make = {"csv": _csv_zip, "json": _json, "xlsx": _xlsx}[how]
    data = make(told)
    try:
        path.write_bytes(data)
    except OSError as problem:
        raise BadValue("export", str(path), "a place that can be written", f"{problem.strerror}.") from None
    return sum(map(len, told.values()))


def as_text(value: Any) -> Any:
    """A cell that a spreadsheet cannot take for a formula.

    A text that begins like one gets an apostrophe before it, which spreadsheets know as
    the mark of a text; reading it back takes it off again.
    """
    if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t", "\r", "'")):
        return f"'{value}"
    return value


def _headings(rows: list[Row]) -> list[str]:
    return list(dict.fromkeys(name for row in rows for name in row))


def _cell(value: Any) -> Any:
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False)
    return value


def csv_of(rows: list[Row]) -> str:
    """One table as CSV."""
    out = io.StringIO()
    writer = csv.writer(out)
    headings = _headings(rows)
    writer.writerow(headings)
    for row in rows:
        writer.writerow(["" if (v := row.get(h)) is None else as_text(_cell(v)) for h in headings])
    return out.getvalue()


def _csv_zip(told: dict[str, list[Row]]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, rows in told.items():
            # The mark at the start tells spreadsheets that it is UTF-8.
            archive.writestr(f"{name}.csv", "\ufeff" + csv_of(rows))
    return out.getvalue()


def _json(told: dict[str, list[Row]]) -> bytes:
    head = {"format": "pithline/tables/1", "currency": currency()}
    return json.dumps(head | told, ensure_ascii=False, allow_nan=False, indent=1).encode()


def _xlsx(told: dict[str, list[Row]]) -> bytes:
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    book = Workbook(write_only=True)
    for name, rows in told.items():
        sheet = book.create_sheet(name[:31])
        headings = _headings(rows)
        sheet.append(headings)
        for row in rows:
            cells = []
            for heading in headings:
                value = _cell(row.get(heading))
                if isinstance(value, str):
                    value = ILLEGAL_CHARACTERS_RE.sub("", as_text(value))[:_LONGEST]
                cell = WriteOnlyCell(sheet, value)
                if isinstance(value, str):
                    cell.data_type = "s"  # else a text that begins with = becomes a formula
                cells.append(cell)
            sheet.append(cells)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _contacts() -> Iterator[Row]:
    for c in Contact.objects.all():
        yield {"name": c.name, "phone": c.phone, "email": c.email, "address": c.address, "note": c.note}


def _places() -> Iterator[Row]:
    for p in Place.objects.select_related("contact"):
        yield {
            "name": p.name,
            "kind": p.kind,
            "contact": p.contact.name if p.contact else "",
            "zone": p.zone,
            "latitude": p.latitude_deg,
            "longitude": p.longitude_deg,
            "access": p.access,
        }


def _stacks() -> Iterator[Row]:
    for s in Stack.objects.select_related("place"):
        yield {
            "name": s.name,
            "place": s.place.name if s.place else "",
            "sticker_m": s.sticker_m,
            "built_on": _day(s.built_on),
            "note": s.note,
        }


def _logs() -> Iterator[Row]:
    for log in Log.objects.select_related("owner_contact", "place").order_by("number"):
        yield {
            "number": log.number,
            "name": log.name,
            "species": log.species,
            "state": log.state,
            "owner": log.owner,
            "owner_contact": log.owner_contact.name if log.owner_contact else "",
            "owner_share_percent": None if log.owner_share is None else 100 * log.owner_share,
            "place": log.place.name if log.place else "",
            **{d: _day(getattr(log, d)) for d in _LOG_DAYS},
            "agreed": log.agreed,
            "note": log.note,
        }


_LOG_DAYS = ("offered_on", "answer_by", "consent_on", "felled_on", "saw_on")


def _slabs() -> Iterator[Row]:
    code = currency()
    slabs = Slab.objects.select_related("log", "stack", "place", "owner_contact").prefetch_related("sizes")
    for slab in slabs:
        size = next((s for s in slab.sizes.all() if s.current), None)
        yield {
            "slab": slab.label,
            "log": slab.log.number if slab.log else None,
            "number": slab.number,
            "suffix": slab.suffix,
            "species": slab.species,
            "nominal": slab.nominal,
            "now": slab.state,
            "state": size.state if size else None,
            "thickness_m": size.thickness_m if size else None,
            "length_m": size.length_m if size else None,
            "widths": _widths(size),
            "mean_width_m": size.mean_width_m if size else None,
            "tally": size.tally if size else None,
            "tally_unit": size.tally_unit if size else "",
            "tally_rule": size.tally_rule if size else "",
            "volume_m3": size.volume_m3 if size else None,
            "weight_kg": size.weight_kg if size else None,
            "moisture_percent": size.moisture_percent if size else None,
            "holds_pith": slab.holds_pith,
            "figure": slab.figure,
            "owner": slab.owner,
            "owner_contact": slab.owner_contact.name if slab.owner_contact else "",
            "stack": slab.stack.name if slab.stack else "",
            "layer": slab.layer,
            "spot": slab.spot,
            "place": slab.place.name if slab.place else "",
            "sawn_on": _day(slab.sawn_on),
            "cost": None if slab.cost_minor is None else shown(slab.cost_minor, code),
            "asking": None if slab.asking_minor is None else shown(slab.asking_minor, code),
            "note": slab.note,
        }


def _widths(size: Any) -> str:
    """Widths of both faces as the tally takes them."""
    if size is None or not size.outline:
        return ""
    o = size.outline
    rows = zip(o["z_m"], o["upper_edges_m"], o["lower_edges_m"], strict=True)
    return "; ".join(f"{z!r} m: {u[1] - u[0]!r} m / {w[1] - w[0]!r} m" for z, u, w in rows)


def _day(day: Any) -> str | None:
    return day.isoformat() if day else None
