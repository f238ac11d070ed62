"""From what a person wrote about mill, aims and rates to the planner's value objects.

Tables of a file and options of the command line take the same way: options are put
into the tables first (`with_options`), so both are checked and refused alike.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pithline import field_schema, fields
from pithline.errors import BadValue
from pithline.saw.written.aims import AIMS, read_aims
from pithline.saw.written.assumed import Assumed, Written
from pithline.saw.written.mill import MILL, read_mill
from pithline.saw.written.rates import RATES, read_rates
from pithline.saw.written.uses import order_row, use_row

__all__ = ["TABLES", "Assumed", "Written", "read_aims", "read_mill", "read_rates", "schema", "with_options"]

_ROWS = {"rates.use": use_row, "aims.order": order_row}

TABLES = fields.Table("", "Mill, aims and rates of a sawing plan.", (MILL, AIMS, RATES))


def schema() -> dict[str, Any]:
    """JSON Schema of the tables [mill], [aims] and [rates]."""
    return field_schema.schema(TABLES, "pithline/saw-tables/1")


def with_options(tables: Mapping[str, Any], options: Mapping[str, Any]) -> dict[str, Any]:
    """Put options into the tables of a file, where they replace what was written.

    Parameters
    ----------
    tables : mapping
        As TOML gave it.
    options : mapping
        Dotted name to text, such as ``{"mill.bar": "90 cm"}``; None and empty lists
        were not given. Premiums are written ``60 cm: 15 %``, uses
        and orders as `saw.written.uses` reads them.

    Returns
    -------
    tables : dict
        A copy; nothing is checked yet.

    Raises
    ------
    BadValue
        A premium without its colon.
    """
    merged = {name: dict(table) if isinstance(table, Mapping) else table for name, table in tables.items()}
    for dotted, value in options.items():
        if value is None or value in ((), []):
            continue
        table, _, name = dotted.partition(".")
        if dotted in ("rates.width", "rates.length"):
            value = [_premium_row(dotted, text) for text in ([value] if isinstance(value, str) else value)]
        if dotted in _ROWS:
            rows = [value] if isinstance(value, str) else value
            value = [_ROWS[dotted](row, dotted) if isinstance(row, str) else row for row in rows]
        given = merged.setdefault(table, {})
        if not isinstance(given, dict):
            raise BadValue(table, given, "a table", f"Write its fields below a line [{table}].")
        given[name] = list(value) if isinstance(value, tuple) else value
    return merged


def _premium_row(field: str, text: str) -> dict[str, str]:
    size, colon, premium = text.rpartition(":")
    if not colon:
        raise BadValue(field, text, "a size, a colon and a premium", 'Write "60 cm: 15 %".')
    return {"from": size.strip(), "premium": premium.strip()}
