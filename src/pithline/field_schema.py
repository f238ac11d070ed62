"""JSON Schema of a declared table, for editors and for programs that write records."""

from __future__ import annotations

from typing import Any

from pithline.fields import EXAMPLES, Field, Quantity, Table

__all__ = ["schema"]


def schema(table: Table, title: str) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a table.

    Parameters
    ----------
    table : Table
    title : str
        Name and version of the schema, such as ``pithline/log-record/1``.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        **_object(table),
    }


def _object(table: Table) -> dict[str, Any]:
    needed = [f.name for f in table.fields if f.required]
    body: dict[str, Any] = {
        "type": "object",
        "description": table.help,
        "properties": {f.name: _property(f) for f in table.fields},
        "additionalProperties": False,
    }
    if needed:
        body["required"] = needed
    return body


def _property(f: Field | Table) -> dict[str, Any]:
    if isinstance(f, Table):
        body = _object(f)
        return {"type": "array", "description": f.help, "items": body} if f.many else body
    plain = {Quantity.FLAG: "boolean", Quantity.COUNT: "integer", Quantity.NUMBER: "number"}
    body = {"type": plain.get(f.quantity, "string")}
    if f.choices:
        body["enum"] = list(f.choices)
    if f.quantity is Quantity.DATE:
        body["format"] = "date"
    if f.quantity in EXAMPLES:
        body["examples"] = [*EXAMPLES[f.quantity], *f.words]
    if f.many:
        # One value alone is taken as a list of one.
        body = {"anyOf": [body, {"type": "array", "items": dict(body)}]}
    limits = [f"at least {f.least}" if f.least else "", f"at most {f.most}" if f.most else ""]
    body["description"] = "; ".join([f.help.rstrip("."), *(limit for limit in limits if limit)])
    if f.default is not None:
        body["default"] = f.default
    return body
