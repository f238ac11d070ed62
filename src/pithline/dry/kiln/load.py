"""A kiln load: which piece the schedule goes by, and whether the kiln can take its water."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Self

from pithline.dry.kiln.codes import Choice, choose
from pithline.dry.kiln.kiln import Kiln
from pithline.dry.kiln.sample_boards import wettest_half
from pithline.dry.kiln.schedules import drying_force, schedule
from pithline.dry.kiln.water import dry_wood, water_out
from pithline.dry.safe_loss import safe_loss
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species
from pithline.wood.species import species

__all__ = ["LOAD", "Lead", "Piece", "added", "check_water", "lead", "read_load", "water_of"]

_MIXED = 0.10  # spread of moisture in one load that is worth a word. [fraction]


def _wood(raw: Any, path: str) -> Species:
    return species(raw, path)


LOAD = Table(
    "load",
    "The slabs of one kiln load, alike ones together.",
    (
        Field("name", Quantity.TEXT, 'What is on the slabs, "14-3".', default=""),
        Field("species", Quantity.TEXT, "Any name of the wood.", required=True, parse=_wood),
        Field(
            "thickness", Quantity.LENGTH, "Green or rough dry.", required=True, least="10 mm", most="30 cm"
        ),
        Field("volume", Quantity.VOLUME, "Of one slab as sawn.", required=True, least="0.1 l", most="5 m3"),
        Field("moisture", Quantity.SHARE, "Mean moisture now.", required=True, least="4 %", most="250 %"),
        Field("count", Quantity.COUNT, "How many such slabs.", default=1, least="1", most="1000"),
    ),
    many=True,
)


@dataclass(frozen=True, slots=True)
class Piece:
    """One slab of a load.

    Attributes
    ----------
    name : str
    species : Species
    thickness : float
        [m]
    volume : float
        As sawn, green. [m3]
    moisture : float
        Dry basis. [fraction]
    """

    name: str
    species: Species
    thickness: float
    volume: float
    moisture: float

    @classmethod
    def weighed(cls, name: str, species: Species, thickness: float, volume: float, moisture: float) -> Self:
        """Check the numbers that a person gave; raises `BadValue`."""
        for field, value, most in (
            ("thickness", thickness, 1),
            ("volume", volume, 10),
            ("moisture", moisture, 4),
        ):
            if not 0 < value < most:  # NaN fails here too
                raise BadValue(field, value, f"more than 0 and under {most}")
        return cls(name, species, thickness, volume, moisture)


@dataclass(frozen=True, slots=True)
class Lead:
    """The pieces that a load goes by.

    Attributes
    ----------
    choice : Choice
        The most careful schedule that any piece asks for.
    slowest, thickest, wettest : Piece
        `slowest` asks for that schedule.
    start : float
        Mean of the wettest half of the pieces: where the schedule begins. [fraction]
    safe : Estimate
        Least of the pieces' safe daily losses. [fraction/day]
    remarks : tuple of str
    """

    choice: Choice
    slowest: Piece
    thickest: Piece
    wettest: Piece
    start: float
    safe: Estimate
    remarks: tuple[str, ...]


def read_load(raw: Any) -> tuple[Piece, ...]:
    """Read the tables [[load]].

    Raises
    ------
    BadValue
        Unknown fields, sizes out of range, or no slab at all.
    """
    got = read(Table("", "", (LOAD,)), {"load": raw if raw is not None else []})["load"]
    pieces = [_piece(row, n) for row in got for n in range(row["count"])]
    if not pieces:
        raise BadValue("load", "empty", "one slab or more", "Add a table [[load]].")
    return tuple(pieces)


def lead(pieces: Sequence[Piece]) -> Lead:
    """The wettest, the thickest and the slowest piece rule the load.

    Parameters
    ----------
    pieces : sequence of Piece

    Raises
    ------
    BadValue
        No piece.

    References
    ----------
    A load is dried at the rate of its slowest stock: mixed thicknesses over-dry the thin or check
    the thick (E. M. Wengert, answers on 8/4 stock, read); the schedule steps on the wettest half
    of the samples (read).
    """
    if not pieces:
        raise BadValue("load", "empty", "one slab or more")
    choices = [choose(piece.species, piece.thickness) for piece in pieces]
    at = min(range(len(pieces)), key=lambda n: _care(choices[n]))
    losses = [safe_loss(piece.species, piece.thickness) for piece in pieces]
    wettest = max(pieces, key=lambda piece: piece.moisture)
    driest = min(pieces, key=lambda piece: piece.moisture)
    return Lead(
        choices[at],
        pieces[at],
        max(pieces, key=lambda piece: piece.thickness),
        wettest,
        wettest_half([piece.moisture for piece in pieces]),
        min(losses, key=lambda loss: loss.low),
        tuple(_mixed(choices, pieces, wettest.moisture - driest.moisture)),
    )


def water_of(pieces: Iterable[Piece], end: float, above: float = 0.0) -> Estimate:
    """Water that leaves a load. [kg]

    Parameters
    ----------
    pieces : iterable of Piece
    end : float
        Wanted moisture; pieces that are drier already give none. [fraction]
    above : float
        Count only what leaves above this moisture. [fraction]
    """
    return added(
        water_out(piece.species, piece.volume, piece.moisture, floor)
        for piece in pieces
        if piece.moisture > (floor := max(end, above))
    )


def check_water(pieces: Sequence[Piece], kiln: Kiln, led: Lead) -> tuple[float, tuple[str, ...]]:
    """Water that the safe pace gives off in a day, against what the kiln takes out.

    Parameters
    ----------
    pieces : sequence of Piece
    kiln : Kiln
    led : Lead

    Returns
    -------
    per_day : float
        At the load's safe loss. [kg/day]
    remarks : tuple of str
        Where the kiln is too weak, or so strong that it must be held back.
    """
    mass = added(dry_wood(piece.species, piece.volume) for piece in pieces)
    per_day = mass.mid * led.safe.mid
    takes = f"the kiln takes {kiln.water.mid:.0f}"
    told = f"at its safe pace the load gives off {per_day:.0f} kg of water a day, {takes}"
    if per_day > kiln.water.high:
        return per_day, (
            f"{told}: it dries slower than it could; load less, or watch for mould while it is wet",
        )
    if per_day > kiln.water.low:
        return per_day, (f"{told}, give or take: near its limit",)
    if kiln.water.mid > 3 * per_day and not kiln.steady:
        return per_day, (
            f"{told}: far more than is safe, and nothing holds the humidity; vent little, shade",
        )
    return per_day, ()


def added(parts: Iterable[Estimate]) -> Estimate:
    """Sum of amounts whose errors go together, as the density of one wood does."""
    parts = list(parts)
    return Estimate(
        sum(p.low for p in parts),
        sum(p.mid for p in parts),
        sum(p.high for p in parts),
        any(p.guess for p in parts),
        tuple(dict.fromkeys(told for p in parts for told in p.basis)),
    )


def _piece(row: Mapping[str, Any], n: int) -> Piece:
    name = row["name"] + (f" #{n + 1}" if row["count"] > 1 else "")
    return Piece.weighed(name, row["species"], row["thickness"], row["volume"], row["moisture"])


def _care(choice: Choice) -> tuple[float, float]:
    plan = schedule(choice.code)
    return plan.steps[0].dry_bulb, drying_force(plan)


def _mixed(choices: Sequence[Choice], pieces: Sequence[Piece], spread: float) -> Iterable[str]:
    quarters = sorted({choice.quarters for choice in choices})
    if len(quarters) > 1:
        yield (
            f"mixed thicknesses, {quarters[0]}/4 to {quarters[-1]}/4: the load dries at the pace of the "
            "slowest, the thin slabs will be over-dry before the thick are ready"
        )
    woods = sorted({piece.species.name for piece in pieces})
    if len(woods) > 1:
        yield f"mixed woods ({', '.join(woods)}): the most careful schedule rules"
    if spread > _MIXED:
        yield f"moistures lie {spread * 100:.0f} % apart: the wettest rule; air-dry those first"
