"""The air at a place: its months, and what loggers wrote there."""

from __future__ import annotations

from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name
from pithline.yard.kinds import entry
from pithline.yard.models import Month, Place

__all__ = ["percent", "set_months"]

_T = Quantity.TEXT


def percent(share: float | None) -> float | None:
    """A fraction as the book keeps it, without the dust of the multiplication."""
    return None if share is None else round(100 * share, 9)


@entry(
    Table(
        "set_months",
        "The mean air of a place's months. A month that is said again is replaced.",
        (
            Field("place", _T, "By name.", required=True),
            Field("like", _T, "A place of the shipped table; in place of rows."),
            Table(
                "months",
                "One row a month.",
                (
                    Field("month", Quantity.COUNT, "1 is January.", required=True, least="1", most="12"),
                    Field(
                        "temperature",
                        Quantity.TEMPERATURE,
                        "Mean of day and night.",
                        required=True,
                        least="-60 C",
                        most="60 C",
                    ),
                    Field(
                        "humidity",
                        Quantity.SHARE,
                        "Mean, relative.",
                        required=True,
                        least="1 %",
                        most="100 %",
                    ),
                ),
                many=True,
            ),
            Field(
                "basis",
                _T,
                "How far they can be trusted.",
                default="guess",
                choices=tuple(Month.Basis.values),
            ),
            Field("source", _T, "Where they come from.", default=""),
        ),
    ),
    "The months of a place",
)
def set_months(desk: Desk, said: dict[str, Any]) -> Place:
    """Keep monthly means of a place; forecasts for what dries there start from them."""
    place: Place = by_name(Place, said["place"], "place")
    if bool(said["like"]) == bool(said["months"]):
        raise BadValue("months", "empty" if not said["months"] else "given with like", "given, or like")
    if said["like"]:
        said = said | _shipped(said["like"])
    if said["basis"] != Month.Basis.GUESS and not said["source"]:
        raise BadValue("source", "missing", "named, unless it is a guess", "Say who measured it, and where.")
    known = {row.month: row for row in Month.objects.filter(place=place)}
    seen: set[int] = set()
    for n, row in enumerate(said["months"], 1):
        if row["month"] in seen:
            raise BadValue(f"months[{n}].month", row["month"], "said once")
        seen.add(row["month"])
        columns: dict[str, Any] = {
            "temperature_c": row["temperature"],
            "humidity_percent": percent(row["humidity"]),
            "basis": said["basis"],
            "source": said["source"],
        }
        if row["month"] in known:
            desk.change(known[row["month"]], **columns)
        else:
            desk.create(Month, place=place, month=row["month"], **columns)
    return place


def _shipped(name: str) -> dict[str, Any]:
    """Twelve rows of the shipped table, with their source."""
    from pithline.dry.printed import rows

    table = rows("months.csv")
    wanted = name.strip().casefold()
    known = dict.fromkeys(row["place"] for row in table)
    found = [each for each in known if wanted in (each.casefold(), each.casefold().split(" (")[0])]
    if len(found) != 1:
        raise BadValue("like", name, f"one of {', '.join(known)}", "Elsewhere give twelve months.")
    of = [row for row in table if row["place"] == found[0]]
    months = tuple(
        {
            "month": n,
            "temperature": float(row["temperature_c"]),
            "humidity": float(row["humidity_percent"]) / 100,
        }
        for n, row in enumerate(of, 1)
    )
    source = f"{found[0]}: {of[0]['source']}"
    return {"months": months, "basis": str(Month.Basis.PUBLISHED), "source": source[:200]}
