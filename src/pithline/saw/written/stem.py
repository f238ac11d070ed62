"""The table [stem]: where a stem may be cut across, as a person writes it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.log.record import LogRecord
from pithline.log.tape import pith_path
from pithline.log.zones import ZoneKind
from pithline.saw.stem.stem import Stem, StemRules, Whole
from pithline.saw.written.assumed import Written, assumed_in, rising
from pithline.saw.written.price import Price, price

__all__ = ["STEM", "read_stem", "stem_of"]

_L = Quantity.LENGTH


def _per_cut(raw: Any, path: str) -> Price:
    return price(raw, path, ("slab", "piece", "cut"), 'Write "4 per piece".')


STEM = Table(
    "stem",
    "Where a stem may be cut across into pieces for the mill.",
    (
        Field(
            "step",
            _L,
            "Cuts lie on whole steps from the butt.",
            default="10 cm",
            least="1 cm",
            most="1 m",
        ),
        Field("least", _L, "Shortest piece.", default="2 m", least="30 cm", most="20 m"),
        Field(
            "most",
            _L,
            "Longest piece, for the trailer or the buyer; the mill's rail may allow less.",
            default="5 m",
            least="30 cm",
            most="20 m",
        ),
        Field(
            "length",
            _L,
            "Only these lengths, each with `over` added; empty = any from least to most.",
            many=True,
            least="30 cm",
            most="20 m",
        ),
        Field("over", _L, "Over-length on each of them, for the buyer's trim.", default="0 mm", most="1 m"),
        Field("kerf", _L, "Wood that a cut across takes.", default="10 mm", least="0 mm", most="5 cm"),
        Field(
            "bearers",
            _L,
            "Underside of a piece above the ground, once it lies ready for the rail.",
            default="20 cm",
            least="0 mm",
            most="4 m",
        ),
        Field("cut_cost", Quantity.TEXT, 'Your own cost of a cut across, "3 per piece".', parse=_per_cut),
        Field(
            "piece_cost",
            Quantity.TEXT,
            'Your own cost of rolling a piece onto bearers and setting the rail, "25 per piece".',
            parse=_per_cut,
        ),
        Field(
            "keep",
            Quantity.TEXT,
            "What no cut may go through: figure (every zone of figure), crotch (from where the pith "
            "forks to the top).",
            many=True,
            choices=("figure", "crotch"),
        ),
        Table(
            "whole",
            "A stretch that no cut may go through, such as a flare.",
            (
                Field("from", _L, "From the butt.", required=True, least="0 mm"),
                Field("to", _L, "From the butt.", required=True, least="1 cm"),
                Field("note", Quantity.TEXT, "In your own words.", default=""),
            ),
            many=True,
        ),
    ),
)

WHY = {
    "step": "fine enough: the best cuts lie in broad hollows of the worth",
    "least": "common practice, no source",
    "most": "common practice, no source: what one person still turns with a lever",
    "kerf": "a saw chain and a hand that wavers, common practice, no source",
    "bearers": "timbers laid across, common practice, no source",
}


def read_stem(raw: Mapping[str, Any] | None, record: LogRecord, currency: str) -> Written[StemRules]:
    """Read the table [stem] for one stem.

    Parameters
    ----------
    raw : mapping or None
        None or empty: every default.
    record : LogRecord
        Of the stem: its figure and its fork, where those are kept whole.
    currency : str
        That slabs are valued in; "" where there are no rates, and then costs have nothing to be set against.

    Raises
    ------
    BadValue
        Unknown or bad fields, a stretch beyond the stem, nothing that could be kept, costs without rates.
    """
    raw = {} if raw is None else raw
    got = read(STEM, raw)
    rising(raw, STEM, ("least", "most"), got, equal=True)
    for name in ("cut_cost", "piece_cost"):
        cost = got[name]
        if cost is not None and cost.amount > 0 and not currency:
            remedy = 'A cost in money needs a rate to be set against: rate = "9.50 per bf" in [rates].'
            raise BadValue(f"stem.{name}", cost.written, "left out where there is no rate", remedy)
        if cost is not None and cost.currency not in ("", currency):
            raise BadValue(f"stem.{name}", cost.written, f"in {currency}, as the rates are")
    whole = []
    for n, row in enumerate(got["whole"], 1):
        if not row["from"] < row["to"] <= record.length + 1e-9:
            raise BadValue(
                f"stem.whole[{n}].to",
                f"{row['to']:g} m",
                f"beyond its from ({row['from']:g} m) and on the stem, at most {record.length:g} m",
            )
        whole.append(Whole(row["from"], row["to"], row["note"]))
    whole += _kept(got["keep"], record)
    rules = StemRules(
        step=got["step"],
        least=got["least"],
        most=got["most"],
        lengths=tuple(sorted(got["length"])),
        over=got["over"],
        kerf=got["kerf"],
        cut_cost=got["cut_cost"].amount if got["cut_cost"] else 0.0,
        piece_cost=got["piece_cost"].amount if got["piece_cost"] else 0.0,
        bearers=got["bearers"],
        whole=tuple(whole),
    )
    silent = ("least", "most") if got["length"] else ("over",)
    return Written(rules, assumed_in(STEM, raw, WHY, silent))


def stem_of(record: LogRecord) -> Stem:
    """The stem of a record: its shape, and its grown pith by the sweep that was measured."""
    shape = record.to_shape()
    return Stem(shape, pith_path(shape.z, shape.length, record.sweep))


def _kept(names: tuple[str, ...], record: LogRecord) -> list[Whole]:
    found: list[Whole] = []
    for name in dict.fromkeys(names):
        kept: list[Whole] = []
        if name == "figure":
            zones = [q for q in record.zones if q.kind is ZoneKind.FIGURE]
            kept = [Whole(q.start, q.end, q.note or "figure") for q in zones]
        elif record.second_pith is not None:
            kept = [Whole(record.second_pith.begin, record.length, "crotch")]
        if not kept:
            remedy = "Add it to the record ([[log.zones]] or [log.second_pith]), or leave this out."
            raise BadValue("stem.keep", name, "something that the record tells of", remedy)
        found += kept
    return found
