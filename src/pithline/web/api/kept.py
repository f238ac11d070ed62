"""Drying and money for programs: the records' own columns, table by table."""

from __future__ import annotations

from typing import Any, Literal

from django.apps import apps
from django.http import HttpRequest
from ninja import Query, Router, Schema

from pithline.web.api import shapes
from pithline.yard.desk import as_row

__all__ = ["TABLES", "router"]

router = Router()

TABLES = {
    "months": "Month",
    "loggers": "Logger",
    "stays": "Stay",
    "phases": "Phase",
    "samples": "Sample",
    "weighings": "Weighing",
    "readings": "Reading",
    "loads": "KilnLoad",
    "loaded": "Loaded",
    "kiln-steps": "KilnStep",
    "profiles": "Profile",
    "work": "Effort",
    "spendings": "Spending",
    "listings": "Listing",
    "asked": "Asked",
    "sales": "Sale",
    "offers": "Offer",
    "comparables": "Comparable",
    "lumber-rates": "LumberRate",
    "pairs": "Pair",
    "wants": "Want",
}
"""Address of each table, and its record."""


class Kept(Schema):
    """Part of a table, oldest first, and how many rows it has."""

    count: int
    items: list[dict[str, Any]]


Name = Literal[
    "months", "loggers", "stays", "phases", "samples", "weighings", "readings", "loads", "loaded",
    "kiln-steps", "profiles", "work", "spendings", "listings", "asked", "sales", "offers", "comparables",
    "lumber-rates", "pairs", "wants",
]  # fmt: skip


@router.get("/kept/{table}", response=shapes.answers(Kept))
def kept(request: HttpRequest, table: Name, window: Query[shapes.Window]) -> dict[str, Any]:
    """Rows of a table as the book keeps them; sizes in the units that their columns name."""
    model = apps.get_model("yard", TABLES[table])
    rows = model._default_manager.order_by("created_at", "pk")
    shown = rows[window.offset : window.offset + window.limit]
    return {"count": rows.count(), "items": [as_row(row) for row in shown]}
