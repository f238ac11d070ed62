"""The fields of a log record as a person writes them by hand."""

from __future__ import annotations

from pithline.fields import Field, Quantity, Table
from pithline.log.zones import ZoneKind

__all__ = ["LIE", "LOG", "RECORD"]

_L = Quantity.LENGTH


_AROUND = Table(
    "around",
    "Readings from the pith mark at any clock positions, four or more: for crotches, ribs and bays.",
    (
        Field("clock", Quantity.CLOCK, "Direction from the pith mark.", required=True),
        Field("out", _L, "From the pith mark to the edge.", required=True, most="4 m", signed=True),
    ),
    many=True,
)


def _size(least: str = "6 cm", most: str = "5 m") -> tuple[Field | Table, ...]:
    """Every way to tape a section; the record says which combinations make sense."""
    return (
        Field("diameter", _L, "Mean diameter.", least=least, most=most),
        Field("girth", _L, "Tape laid round the log.", least="18 cm", most="16 m"),
        Field("across", _L, "Level width.", least=least, most=most),
        Field("tall", _L, "Upright height.", least=least, most=most),
        Field("right", _L, "From the pith mark to the right edge.", most="4 m", signed=True),
        Field("up", _L, "From the pith mark up to the edge.", most="4 m", signed=True),
        Field("left", _L, "From the pith mark to the left edge.", most="4 m", signed=True),
        Field("down", _L, "From the pith mark down to the edge.", most="4 m", signed=True),
        _AROUND,
    )


def _end(name: str, seen: str) -> Table:
    return Table(
        name,
        f"The {name} end: four readings from the pith mark (best), across and tall, a diameter or a girth.",
        (
            *_size(),
            Field("pith_right", _L, "Pith mark right of the middle; not with readings.", signed=True),
            Field("pith_up", _L, "Pith mark above the middle; not with readings.", signed=True),
            Field(
                "bark",
                Quantity.TEXT,
                "Whether the readings end under or over the bark (assumed: under).",
                choices=("under", "over"),
            ),
            Field(
                "seen_from",
                Quantity.TEXT,
                f'At which end you stood; right and left are yours there (assumed: "{seen}").',
                choices=("butt", "top"),
            ),
        ),
        required=True,
    )


_STATIONS = Table(
    "stations",
    "Further widths along the log; one past the flare is worth most. Right and left as seen from the butt.",
    (
        Field("at", _L, "Distance from the butt.", required=True),
        *_size(),
        Field(
            "bark",
            Quantity.TEXT,
            "Whether the tape lay over the bark (assumed) or under it.",
            choices=("over", "under"),
        ),
    ),
    many=True,
)

_BARK = Table(
    "bark",
    "Bark thickness, one side; left out, it is estimated from the species.",
    (
        Field("thickness", _L, "Same all along.", least="0 mm"),
        Field("butt", _L, "At the butt.", least="0 mm"),
        Field("top", _L, "At the top.", least="0 mm"),
    ),
)

_SWEEP = Table(
    "sweep",
    "How far the log bends away from the straight line between its ends; left out, it is taken as straight.",
    (
        Field("amount", _L, "Largest gap, near mid-length.", required=True, least="0 mm", most="1 m"),
        Field(
            "towards",
            Quantity.CLOCK,
            "Where the belly points, as it lies, on the clock seen from the butt.",
            required=True,
        ),
    ),
)

_ZONES = Table(
    "zones",
    "Places that are better or worse than clear wood.",
    (
        Field(
            "kind",
            Quantity.TEXT,
            "figure is worth more; rot, split and metal hold no sound wood; no cut may pass metal.",
            required=True,
            choices=tuple(str(k) for k in ZoneKind),
        ),
        Field("from", _L, "Where it begins, from the butt.", required=True, least="0 mm"),
        Field("to", _L, "Where it ends, from the butt.", required=True, least="1 mm"),
        Field(
            "clock",
            Quantity.CLOCK,
            'On which side, seen from the butt: "2 o\'clock", or "centre" for along the pith.',
            required=True,
            words=("centre",),
        ),
        Field(
            "depth",
            _L,
            "How deep it goes: a round bar of this radius about the edge there (or about the pith).",
            required=True,
            least="1 mm",
            most="2.5 m",
        ),
        Field("note", Quantity.TEXT, "In your own words.", default=""),
    ),
    many=True,
)

_SECOND = Table(
    "second_pith",
    "The other pith of a crotch; the readings and the cuts go by the first one.",
    (
        Field("from", _L, "Where the pith forks, from the butt.", required=True, least="0 mm"),
        Field("right", _L, "At the top, right of the first pith.", required=True, signed=True),
        Field("up", _L, "At the top, above the first pith.", required=True, signed=True),
        Field("begin_right", _L, "Where it begins, if not 0.", default="0 mm", signed=True),
        Field("begin_up", _L, "Where it begins, if not 0.", default="0 mm", signed=True),
        Field(
            "seen_from",
            Quantity.TEXT,
            'At which end you stood (assumed: "top").',
            choices=("butt", "top"),
        ),
    ),
)

LOG = Table(
    "log",
    "The log as it was measured.",
    (
        Field("name", Quantity.TEXT, "What you call it.", default="log"),
        Field("species", Quantity.TEXT, "Common or scientific name.", required=True),
        Field("length", _L, "Butt to top along the pith line.", required=True, least="30 cm", most="30 m"),
        Field("felled", Quantity.DATE, "When it came down."),
        Field("notes", Quantity.TEXT, "In your own words.", default=""),
        _end("butt", "butt"),
        _end("top", "top"),
        _STATIONS,
        _BARK,
        _SWEEP,
        _ZONES,
        _SECOND,
    ),
    required=True,
)

LIE = Table(
    "lie",
    "How the log lies; left out, it lies on level ground.",
    (
        Field("pith_butt", _L, "Pith mark above the ground at the butt.", least="0 mm", most="6 m"),
        Field("pith_top", _L, "Pith mark above the ground at the top.", least="0 mm", most="6 m"),
        Field("bearers", _L, "Log's underside above the ground, both ends.", least="0 mm", most="4 m"),
        Field("bearer_butt", _L, "The same at the butt alone.", least="0 mm", most="4 m"),
        Field("bearer_top", _L, "The same at the top alone.", least="0 mm", most="4 m"),
        Field(
            "slope",
            Quantity.SLOPE,
            "Rise of the ground towards the powerhead's side; negative where it falls away.",
            default="0 %",
            signed=True,
        ),
        Field(
            "powerhead_room",
            _L,
            "Free or dug depth below the ground line on the powerhead's side.",
            default="0 mm",
            least="0 mm",
            most="5 m",
        ),
    ),
)

RECORD = Table("", "A measured log and how it lies.", (LOG, LIE))
