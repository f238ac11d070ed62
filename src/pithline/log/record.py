"""A measured log: what was taped, what was assumed, and the shape that follows."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log.bark import BarkRule
from pithline.log.lie import Lie
from pithline.log.outline import mean_diameter, ray_length
from pithline.log.resting import Ground, lie_on, sag
from pithline.log.shape import LogShape
from pithline.log.size import Size, Station
from pithline.log.tape import Sweep, pith_path, shape_from_tape
from pithline.log.zones import Zone, ZoneKind
from pithline.units import FOOT, System, show_length

if TYPE_CHECKING:
    from pithline.wood.facts import Species

__all__ = ["FLARE_TAPER", "Assumption", "LogRecord", "SecondPith", "TapedZone"]

Floats = NDArray[np.float64]

# Stems above the flare taper by some 0.4 to 1 cm a metre; twice the upper end of that is
# not a stem's own taper any more. [m/m of diameter]
FLARE_TAPER = 0.02


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something nobody measured. All texts are for a person.

    Attributes
    ----------
    field : str
        Where it would stand in the record.
    value : str
        What was taken.
    low, high : str
        What it might be instead.
    why : str
        Where the value comes from.
    """

    field: str
    value: str
    low: str
    high: str
    why: str


@dataclass(frozen=True, slots=True)
class TapedZone:
    """A zone as said at the log: lengths in metres, `clock` in rad from +x, None = along the pith."""

    kind: ZoneKind
    start: float
    end: float
    clock: float | None
    depth: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class SecondPith:
    """The other pith of a crotch, from the first one, seen from the butt. Lengths in metres."""

    begin: float
    right: float
    up: float
    begin_right: float = 0.0
    begin_up: float = 0.0


@dataclass(frozen=True, slots=True)
class LogRecord:
    """One log as measured. Lengths in metres, directions in rad from +x seen from the butt.

    Attributes
    ----------
    name : str
    species : Species
    length : float
    butt, top : Size
        As seen from the butt.
    stations : tuple of Station
    bark : BarkRule
    sweep : (amount, towards)
    zones : tuple of TapedZone
    second_pith : SecondPith or None
    ground : Ground
    felled : date or None
    notes : str
    assumptions : tuple of Assumption
    system : {"metric", "inch"}
        How the person measures; texts for them follow it.
    """

    name: str
    species: Species
    length: float
    butt: Size
    top: Size
    stations: tuple[Station, ...]
    bark: BarkRule
    sweep: Sweep = (0.0, 0.0)
    zones: tuple[TapedZone, ...] = ()
    second_pith: SecondPith | None = None
    ground: Ground = field(default_factory=Ground)
    felled: datetime.date | None = None
    notes: str = ""
    assumptions: tuple[Assumption, ...] = ()
    system: System = "metric"

    def to_shape(self) -> LogShape:
        """The log's shape under bark, with zones and second pith.

        Raises
        ------
        BadValue
            Bark thicker than a radius, a pith mark outside, a station or zone beyond the ends.
        """
        shape = shape_from_tape(self.length, self.butt, self.top, self.stations, self.bark, self.sweep)
        zones = tuple(self._zone(shape, n, zone) for n, zone in enumerate(self.zones, 1))
        if self.second_pith is not None:
            # The fork is a kink of the second pith: it needs a station of its own.
            shape = shape.at(np.union1d(shape.z, [self.second_pith.begin]))
        second = self._second(shape)
        return LogShape.of(shape.z, shape.outlines, shape.bark, second, zones)

    def lie(self) -> Lie:
        """How the log lies, as measured or on level ground. See `lie_on`."""
        return lie_on(self.to_shape(), self.ground)

    def taper(self) -> float:
        """Loss of mean diameter from butt to top under bark. [m/m]"""
        shape = self.to_shape()
        return (mean_diameter(shape.outlines[0]) - mean_diameter(shape.outlines[-1])) / self.length

    def flared(self) -> bool:
        """Whether the butt looks flared and no width past the flare was taken."""
        early = any(s.at <= self.length / 3 for s in self.stations)
        return self.taper() > FLARE_TAPER and not early

    def questions(self) -> list[str]:
        """What one more look with the tape would settle, most useful first."""
        asked = []
        if self.flared():
            past = min(max(self.length / 5, 0.6), self.length / 3)
            inch = self.system == "inch"
            place = self.shown(max(round(past / FOOT), 1) * FOOT if inch else round(past, 1), "long")
            lost = self.shown(self.taper() * (FOOT if inch else 1.0))
            asked.append(
                f"The log loses {lost} of diameter a {'foot' if inch else 'metre'}: is the butt flared? "
                f"Measure one width past the flare, about {place} from the butt (--station, or "
                "[[log.stations]]). Two ends alone overstate flared butt logs by some 16 % of volume."
            )
        shape = self.to_shape()
        dip = sag(shape, lie_on(shape, self.ground))
        if dip > 0.03:
            asked.append(
                f"As it is said to lie, the log would dip {self.shown(dip)} into level ground between "
                "its ends: is the ground hollow there, or are the heights or the sweep wrong?"
            )
        return asked

    def shown(self, metres: float, kind: Literal["thickness", "long"] = "thickness") -> str:
        """A length as this person writes it."""
        return show_length(metres, self.system, kind)

    def variants(self) -> list[tuple[Assumption, LogRecord, LogRecord]]:
        """Each assumption that changes the shape or the lie, with its low and its high record."""
        from pithline.log.assumed import variants

        return variants(self)

    def _zone(self, shape: LogShape, n: int, zone: TapedZone) -> Zone:
        where = f"log.zones[{n}]"
        if not zone.start < zone.end:
            raise BadValue(f"{where}.to", f"{zone.end:g} m", f"beyond its from ({zone.start:g} m)")
        if zone.end > self.length + 1e-9:
            raise BadValue(
                f"{where}.to",
                f"{zone.end:g} m",
                f"on the log, at most {self.length:g} m",
                "Measure along the log from the butt.",
            )
        middle = np.array([(zone.start + zone.end) / 2])
        x, y = pith_path(middle, self.length, self.sweep)[0]
        if zone.clock is not None:
            # From where the pith has grown, as a person standing beside the log sees it.
            section = shape.at(middle).outlines[0] - np.array([x, y])
            reach = ray_length(section, zone.clock)
            x, y = x + reach * math.cos(zone.clock), y + reach * math.sin(zone.clock)
        return Zone(zone.kind, zone.start, zone.end, float(x), float(y), zone.depth, zone.note)

    def _second(self, shape: LogShape) -> Floats | None:
        fork = self.second_pith
        if fork is None:
            return None
        if not 0 <= fork.begin < self.length:
            raise BadValue(
                "log.second_pith.from", f"{fork.begin:g} m", f"on the log, less than {self.length:g} m"
            )
        distance = math.hypot(fork.right, fork.up)
        reach = ray_length(shape.outlines[-1], math.atan2(fork.up, fork.right))
        if not 0 < distance < reach:
            raise BadValue(
                "log.second_pith",
                f"{fork.right * 1000:.0f} mm right and {fork.up * 1000:.0f} mm up of the first pith",
                f"inside the top's outline (under {reach * 1000:.0f} mm that way), apart from the first",
                "Say also at which end you stood: seen_from.",
            )
        f = np.clip((shape.z - fork.begin) / (self.length - fork.begin), 0.0, 1.0)
        begin, end = np.array([fork.begin_right, fork.begin_up]), np.array([fork.right, fork.up])
        path = begin * (1 - f)[:, None] + end * f[:, None] + pith_path(shape.z, self.length, self.sweep)
        path[shape.z < fork.begin - 1e-9] = np.nan
        return path
