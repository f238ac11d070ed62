"""What nobody said: defaults of the hand-written tables, named with their reasons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pithline.errors import BadValue
from pithline.fields import Field, Table, defaulted

__all__ = ["Assumed", "Written", "as_written", "assumed_in", "rising"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Assumed:
    """A value nobody gave: where it stands, what was taken, and why."""

    field: str
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Written(Generic[T]):
    """A value object, and what has to be said beside it.

    Attributes
    ----------
    value : Mill, Aims or Rates
    assumed : tuple of Assumed
    remarks : tuple of str
        Conversions, such as a rate per board foot against a tally in m3.
    """

    value: T
    assumed: tuple[Assumed, ...]
    remarks: tuple[str, ...] = ()


def assumed_in(
    table: Table, raw: Mapping[str, Any], why: Mapping[str, str], skip: tuple[str, ...] = ()
) -> tuple[Assumed, ...]:
    """Every default that `raw` leaves standing.

    Parameters
    ----------
    table : Table
    raw : mapping
    why : mapping
        Reason by field name; a default that is not in it explains itself.
    skip : tuple of str
        Fields that something else in `raw` decides.
    """
    return tuple(
        Assumed(path, _text(field.default), why.get(field.name, field.help.rstrip(".")))
        for path, field in defaulted(table, raw)
        if field.name not in skip
    )


def as_written(raw: Mapping[str, Any], table: Table, name: str) -> Any:
    """A field as it was written, or its default."""
    declared = table[name]
    return raw.get(name, declared.default if isinstance(declared, Field) else None)


def rising(
    raw: Mapping[str, Any], table: Table, names: tuple[str, str], got: Mapping[str, Any], equal: bool = False
) -> None:
    """Refuse two fields of which the first is not less than the second.

    Raises
    ------
    BadValue
    """
    low, high = names
    if got[low] < got[high] or (equal and got[low] == got[high]):
        return
    raise BadValue(
        f"{table.name}.{low}",
        as_written(raw, table, low),
        f"less than {table.name}.{high}, {as_written(raw, table, high)}",
        "Look whether the two are swapped.",
    )


def _text(default: Any) -> str:
    if isinstance(default, bool):
        return "yes" if default else "no"
    return ", ".join(default) if isinstance(default, list) else str(default)
