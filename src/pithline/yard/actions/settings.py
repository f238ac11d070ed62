"""Settings of the book."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.yard.desk import Desk
from pithline.yard.kinds import entry
from pithline.yard.models import Plan, Preference, Slab, Want
from pithline.yard.preferences import SETTINGS

__all__ = ["set_preference"]

_NAMES = tuple(f.name for f in SETTINGS.fields)


@entry(
    Table(
        "set_preference",
        "One setting of the book.",
        (
            Field("name", Quantity.TEXT, "Which one.", required=True, choices=_NAMES),
            Field("value", Quantity.TEXT, "As typed; left out, the default again.", parse=lambda v, _: v),
        ),
    ),
    "Change a setting",
)
def set_preference(desk: Desk, said: dict[str, Any]) -> Preference:
    """Keep a setting as typed; it is read and checked before it is kept."""
    name, value = said["name"], said["value"]
    field = SETTINGS[name]
    assert isinstance(field, Field)
    known = Preference.objects.filter(name=name).first()
    if name == "currency":
        value = _currency(value, known)
    if value is None or value == "":
        if known:
            desk.remove(known)
        return Preference(name=name, value=None)
    read(Table("settings", SETTINGS.help, (replace(field, required=True),)), {name: value})
    return desk.change(known, value=value) if known else desk.create(Preference, name=name, value=value)


def _currency(value: Any, known: Preference | None) -> Any:
    """No other currency once there are amounts: they would silently become other sums."""
    code = value.strip().upper() if isinstance(value, str) else value
    if known and code != known.value:
        amounts = (
            Slab.objects.exclude(cost_minor=None, asking_minor=None),
            Plan.objects.exclude(net_minor=None),
            Want.objects.exclude(offer_minor=None),
        )
        if any(rows.exists() for rows in amounts):
            raise BadValue(
                "value", value or "empty", f"left at {known.value}", "The book holds amounts in it already."
            )
    return code
