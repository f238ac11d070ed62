"""One slab into several, several into one, and two that belong together."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyRule
from pithline.slab.tallying import face_area, tally_width
from pithline.slab.taped import Width, taped_outline
from pithline.units import show_length
from pithline.yard.actions.slabs import SLAB, live_slab
from pithline.yard.actions.stays import NOWHERE, handed_down, stay
from pithline.yard.actions.tally import thickness
from pithline.yard.desk import Desk
from pithline.yard.finding import slab_of
from pithline.yard.kinds import entry
from pithline.yard.models import Pair, Parent, Size, Slab
from pithline.yard.moments import today
from pithline.yard.sizing import book_counting, columns, outline_of

__all__ = ["join_slabs", "pair_slabs", "split_slab", "unpair_slabs"]

_T, _L = Quantity.TEXT, Quantity.LENGTH
Floats = NDArray[np.float64]


@entry(
    Table(
        "split_slab",
        "A slab cut into pieces: it is retired, the pieces are 14-3a, 14-3b.",
        (
            SLAB,
            Field(
                "way",
                _T,
                "cross: across the grain; rip: along it.",
                required=True,
                choices=("cross", "rip"),
            ),
            Field(
                "at",
                _L,
                "Middle of each cut. Cross: from the end where widths begin. "
                "Rip: from the middle line, to the left with a minus.",
                required=True,
                many=True,
                signed=True,
            ),
            Field("kerf", _L, "Width of the cut; counts half to either side.", default="4 mm", most="5 cm"),
        ),
    ),
    "Cut a slab up",
)
def split_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Retire a slab and make its pieces, whose volume with kerf and whose cost add up to its own."""
    slab = live_slab(said["slab"])
    size = slab.sizes.filter(current=True).first()
    outline = outline_of(size) if size else None
    if size is None or outline is None:
        raise BadValue("slab", said["slab"], "measured before it is cut", "Write its size down first.")
    cuts = sorted(said["at"])
    if not cuts:
        raise BadValue("at", "empty", "at least one cut")
    pieces = (_crossed if said["way"] == "cross" else _ripped)(outline, cuts, said["kerf"])
    shares = np.array([share for _, share in pieces])
    costs = _parted(slab.cost_minor, shares)
    counting = book_counting()
    for (piece, share), cost in zip(pieces, costs, strict=True):
        letter = desk.next_number(f"pieces of {slab.pk}")
        if letter > 26:
            raise BadValue("at", len(cuts), "cuts for no more than 26 pieces of one slab in all")
        child = desk.create(
            Slab,
            log=slab.log,
            number=slab.number,
            suffix=slab.suffix + chr(96 + letter),
            species=slab.species,
            nominal=slab.nominal,
            state=slab.state,
            owner=slab.owner,
            owner_contact=slab.owner_contact,
            plan=slab.plan,
            planned_number=slab.planned_number,
            place=slab.place,
            stack=slab.stack,
            layer=slab.layer,
            sawn_on=slab.sawn_on,
            # A rip may have parted it from the pith; whoever looks at the pieces can say.
            holds_pith=slab.holds_pith if said["way"] == "cross" or slab.holds_pith is False else None,
            ends_sealed_on=slab.ends_sealed_on,
            figure=slab.figure,
            flaws=slab.flaws,
            cost_minor=cost,
        )
        desk.create(Size, slab=child, state=size.state, at=size.at, **columns(piece, slab.nominal, counting))
        desk.create(Parent, child=child, parent=slab, share=float(share))
        handed_down(desk, slab, child)
    stay(desk, slab, None, today())
    return desk.change(slab, state=Slab.State.RETIRED, **NOWHERE)


@entry(
    Table(
        "join_slabs",
        "Slabs glued up into one piece: they are retired, it gets a number of its own (G-1).",
        (
            Field("slabs", _T, "The numbers on them.", required=True, many=True),
            Field("thickness", _T, "Of the new piece.", required=True, parse=thickness),
            Field("length", _L, "Of the new piece.", required=True, least="5 cm", most="30 m"),
            Field("width", _L, "Of the new piece.", required=True, least="1 cm", most="5 m"),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Glue slabs up",
)
def join_slabs(desk: Desk, said: dict[str, Any]) -> Slab:
    """Retire the parts and make the whole, which costs what they cost together."""
    parts = [live_slab(text, "slabs") for text in said["slabs"]]
    if len({part.pk for part in parts}) != len(parts) or len(parts) < 2:
        raise BadValue("slabs", ", ".join(said["slabs"]), "two or more different slabs")
    costs = [part.cost_minor for part in parts]
    owners = {(part.owner, part.owner_contact_id) for part in parts}
    if len(owners) > 1:
        raise BadValue(
            "slabs",
            ", ".join(said["slabs"]),
            "of one owner",
            "Say first whose they are, by sharing them out.",
        )
    first = parts[0]
    whole = desk.create(
        Slab,
        log=None,
        number=desk.next_number("glued"),
        species=" + ".join(sorted({part.species for part in parts})),
        state=Slab.State.FLATTENED,
        owner=first.owner,
        owner_contact=first.owner_contact,
        place=first.place,
        cost_minor=None if None in costs else sum(costs),
        note=said["note"],
    )
    metres, _ = said["thickness"]
    outline = taped_outline(said["length"], metres, [Width(None, said["width"], said["width"])])
    nominal = first.nominal
    desk.create(Size, slab=whole, state=Size.State.FLATTENED, **columns(outline, nominal, book_counting()))
    for part in parts:
        desk.create(Parent, child=whole, parent=part, share=1.0)
        stay(desk, part, None, today())
        desk.change(part, state=Slab.State.RETIRED, **NOWHERE)
    return whole


@entry(
    Table(
        "pair_slabs",
        "Two slabs that belong together, such as book-matched neighbours.",
        (
            Field("first", _T, "The number on the one.", required=True),
            Field("second", _T, "The number on the other.", required=True),
            Field("note", _T, "Why.", default=""),
        ),
    ),
    "Pair slabs",
)
def pair_slabs(desk: Desk, said: dict[str, Any]) -> Pair:
    """Let two slabs be a pair; a slab may belong to several."""
    first, second = _two(said)
    # A piece that was cut up or scrapped is no half of anything; to part an old pair stays allowed.
    for name in ("first", "second"):
        live_slab(said[name], name)
    if Pair.objects.filter(first=first, second=second).exists():
        raise BadValue("second", str(second), "not paired with the first already")
    return desk.create(Pair, first=first, second=second, note=said["note"])


@entry(
    Table(
        "unpair_slabs",
        "Two slabs that no longer belong together.",
        (
            Field("first", _T, "The number on the one.", required=True),
            Field("second", _T, "The number on the other.", required=True),
        ),
    ),
    "Part a pair",
)
def unpair_slabs(desk: Desk, said: dict[str, Any]) -> Slab:
    """Part a pair; both slabs stay."""
    first, second = _two(said)
    pair = Pair.objects.filter(first=first, second=second).first()
    if pair is None:
        raise BadValue("second", str(second), "paired with the first")
    desk.remove(pair)
    return first


def _two(said: dict[str, Any]) -> tuple[Slab, Slab]:
    """Both slabs in an order of their own, so that one pair is not kept twice."""
    one, other = slab_of(said["first"], "first"), slab_of(said["second"], "second")
    if one.pk == other.pk:
        raise BadValue("second", said["second"], "another slab than the first")
    return (one, other) if one.pk < other.pk else (other, one)


def _crossed(outline: SlabOutline, cuts: list[float], kerf: float) -> list[tuple[SlabOutline, float]]:
    """Pieces between cross-cuts, each with its share of the wood, half of every kerf counted in."""
    z = outline.z
    edges = [float(z[0]), *cuts, float(z[-1])]
    _apart(edges, kerf, "at")
    volume = outline.thickness * face_area(z, tally_width(outline, TallyRule.MEAN), edges[0], edges[-1])
    pieces = []
    for n in range(len(edges) - 1):
        low, high = edges[n], edges[n + 1]
        share = outline.thickness * face_area(z, tally_width(outline, TallyRule.MEAN), low, high) / volume
        start = low + (kerf / 2 if n else 0.0)
        end = high - (kerf / 2 if n < len(edges) - 2 else 0.0)
        at = np.concatenate([[start], z[(z > start) & (z < end)], [end]])
        faces = (
            np.stack([np.interp(at, z, face[:, side]) for side in (0, 1)], axis=1)
            for face in (outline.upper, outline.lower)
        )
        upper, lower = faces
        pieces.append((SlabOutline(at - start, upper, lower, outline.thickness), share))
    return pieces


def _ripped(outline: SlabOutline, cuts: list[float], kerf: float) -> list[tuple[SlabOutline, float]]:
    """Pieces between rips along the middle line, likewise."""
    both = np.concatenate([outline.upper, outline.lower])
    edges = [float(both[:, 0].min()), *cuts, float(both[:, 1].max())]
    _apart(edges, kerf, "at")

    def between(low: float, high: float) -> SlabOutline:
        upper, lower = (np.clip(face, low, high) for face in (outline.upper, outline.lower))
        return SlabOutline(outline.z, upper, lower, outline.thickness)

    outline = _denser(outline, [edge + side * kerf / 2 for edge in cuts for side in (-1, 0, 1)])
    areas, pieces = [], []
    for n in range(len(edges) - 1):
        low, high = edges[n], edges[n + 1]
        areas.append(_area(between(low, high)))
        low += kerf / 2 if n else 0.0
        high -= kerf / 2 if n < len(edges) - 2 else 0.0
        pieces.append(between(low, high))
    whole = sum(areas)
    return [(piece, area / whole) for piece, area in zip(pieces, areas, strict=True)]


def _denser(outline: SlabOutline, lines: list[float]) -> SlabOutline:
    """The same outline with a station wherever an edge crosses a line, so that clipping it is exact."""
    at = [outline.z]
    for edge in (*outline.upper.T, *outline.lower.T):
        for line in lines:
            above = edge > line
            k = np.flatnonzero(above[1:] != above[:-1])
            run = (line - edge[k]) / (edge[k + 1] - edge[k])
            at.append(outline.z[k] + run * (outline.z[k + 1] - outline.z[k]))
    z = np.unique(np.concatenate(at))
    upper, lower = (
        np.stack([np.interp(z, outline.z, face[:, side]) for side in (0, 1)], axis=1)
        for face in (outline.upper, outline.lower)
    )
    return SlabOutline(z, upper, lower, outline.thickness)


def _area(outline: SlabOutline) -> float:
    z = outline.z
    return face_area(z, tally_width(outline, TallyRule.MEAN), float(z[0]), float(z[-1]))


def _apart(edges: list[float], kerf: float, field: str) -> None:
    for low, high in pairwise(edges):
        if high - low <= kerf:
            raise BadValue(
                field,
                ", ".join(show_length(cut) for cut in edges[1:-1]),
                f"within {show_length(edges[0])} to {show_length(edges[-1])}, a kerf apart",
            )


def _parted(cost: int | None, shares: Floats) -> list[int | None]:
    """Whole coins by share that add up: the coins left over go to the largest remainders."""
    if cost is None:
        return [None] * len(shares)
    exact = cost * shares / shares.sum()
    parts = np.floor(exact).astype(int)
    left = cost - int(parts.sum())
    for n in np.argsort(parts - exact, kind="stable")[:left]:
        parts[n] += 1
    return [int(part) for part in parts]
