"""Square-edged boards and heart pieces that a slab may be ripped into, and what they bring."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pithline.saw.aims import ThicknessAim
from pithline.saw.rates import Step

__all__ = ["Along", "Board", "Boards", "Cant", "Rip"]


class Along(StrEnum):
    """What the rips of a slab run parallel to."""

    PITH = "pith"
    LEFT = "left edge"
    RIGHT = "right edge"
    BEST = "best"  # whichever of the three is worth most, slab by slab


@dataclass(frozen=True, slots=True)
class Cant:
    """A heart piece: a beam that holds the pith inside, ripped from a slab as thick as it is deep.

    Attributes
    ----------
    name : str
    thickness : ThicknessAim
        Its depth.
    width, length : float
        [m]
    price : float
        Of one. [money]
    margin : float
        Wood between the pith line and each of its four faces at the least. [m]
    """

    name: str
    thickness: ThicknessAim
    width: float
    length: float
    price: float
    margin: float = 0.0


@dataclass(frozen=True, slots=True)
class Boards:
    """What may be ripped from a slab. Lengths in metres.

    Attributes
    ----------
    widths : tuple of float
        As ripped, green.
    lengths : tuple of float
        What the buyer takes; empty = any length from `least_length` on.
    least_length : float
        Of a board, where any length is bought.
    kerf, crosscut : float
        Wood that a rip and a cut across a board take.
    along : Along
    step : float
        Rips lie on whole steps from the pith line.
    pith_strip : float or None
        Half of the strip about the pith that no board may touch, in slabs that hold it; None:
        boards follow the pith rule of the aims.
    by_thickness : tuple of (label, rate)
        Per unit of the aims' tally.
    otherwise : float
        Rate of a thickness that is not listed.
    wide, long : tuple of Step
        Premiums by width and by length.
    per_board : float
        The user's own cost of ripping and cutting one. [money]
    cants : tuple of Cant
    """

    widths: tuple[float, ...]
    lengths: tuple[float, ...] = ()
    least_length: float = 0.6
    kerf: float = 0.004
    crosscut: float = 0.005
    along: Along = Along.BEST
    step: float = 0.002
    pith_strip: float | None = None
    by_thickness: tuple[tuple[str, float], ...] = ()
    otherwise: float = 0.0
    wide: tuple[Step, ...] = ()
    long: tuple[Step, ...] = ()
    per_board: float = 0.0
    cants: tuple[Cant, ...] = ()

    def rate(self, label: str) -> float:
        """Rate for one entry of the thickness menu. [money/tally unit]"""
        return dict(self.by_thickness).get(label, self.otherwise)


@dataclass(frozen=True, slots=True)
class Board:
    """One board of a ripped slab. Lengths in metres.

    Attributes
    ----------
    left, width : float
        Its left edge from the pith line at mid-length of the slab, measured across; its width.
    start, end : float
        Along the log from the butt.
    value : float
        In money or tally units, less what ripping it costs.
    cant : str
        Name of the heart piece that it is; "" for a board.
    """

    left: float
    width: float
    start: float
    end: float
    value: float
    cant: str = ""

    @property
    def length(self) -> float:
        """[m]."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Rip:
    """The best way to rip one slab.

    Attributes
    ----------
    boards : tuple of Board
        From the left, each strip from the butt.
    value : float
        Of all of them.
    slope : float
        Of the rips against the pith line: across over along; 0 = parallel. [m/m]
    along : Along
    middle : float
        Place along the log where a rip lies at its `left`. [m]
    """

    boards: tuple[Board, ...]
    value: float
    slope: float
    along: Along
    middle: float

    @property
    def area(self) -> float:
        """Face of all boards. [m2]"""
        return sum(b.width * b.length for b in self.boards)
