"""A stack for air drying: in which layer each slab lies, and where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pithline import units
from pithline.dry.laying.boule import Sawn, in_log_order
from pithline.dry.laying.charge import plan_charge
from pithline.dry.laying.footprint import STRAIGHT, Footprint, Turn
from pithline.dry.laying.ground import Ground
from pithline.dry.laying.layers import Laid, Layer, Room
from pithline.dry.laying.nesting import Effort, Progress
from pithline.dry.laying.reaching import overlap
from pithline.dry.laying.steadiness import across_extent
from pithline.dry.laying.stickers import Stickers, overhang, suited
from pithline.errors import BadValue

__all__ = ["ByHand", "Stack", "bare_rows", "by_floor", "by_hand", "by_order"]

_LAPPED = 5e-4  # two outlines that lie on each other by more are no layer. [m2]
_TALL = 30.0  # a stack may be; what is too high is said, not refused. [m]


@dataclass(frozen=True, slots=True)
class ByHand:
    """Where a person laid a slab.

    Attributes
    ----------
    layer : int
        From the bottom, 1 first; numbers may be left out.
    from_end, from_left : float or None
        Its nearer end and its left edge. [m] None: flush with the near end; beside what was named before it.
    turn : Turn
    """

    layer: int
    from_end: float | None = None
    from_left: float | None = None
    turn: Turn = STRAIGHT


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """Slabs on sticks.

    Attributes
    ----------
    ground : Ground
    stickers : Stickers
        Rows alike in all layers, each above the one below.
    layers : tuple of Layer
        From the bottom.
    how : {"by hand", "log order kept", "best use of floor"}
    numbers : tuple of int
        Of the layers: as the person who laid them numbered them, else from 1.
    fewest : bool
        No plan takes fewer layers (only said of the best use of floor).
    """

    ground: Ground
    stickers: Stickers
    layers: tuple[Layer, ...]
    how: str
    numbers: tuple[int, ...]
    fewest: bool = False

    @property
    def slabs(self) -> tuple[Laid, ...]:
        """All, from the bottom."""
        return tuple(laid for layer in self.layers for laid in layer.slabs)

    @property
    def mass(self) -> float | None:
        """Of the slabs; None where one is not known. [kg]"""
        masses = [laid.slab.mass for laid in self.slabs]
        return sum(masses) if all(masses) else None

    @property
    def height(self) -> float:
        """From the ground. [m]"""
        return self.ground.base + sum(layer.height for layer in self.layers)

    @property
    def width(self) -> float:
        """Of the widest reach across: sticks and timbers are as long. [m]"""
        reach = [across_extent(layer) for layer in self.layers]
        return max(high for _, high in reach) - min(low for low, _ in reach)

    @property
    def length(self) -> float:
        """From the first end to the last. [m]"""
        rings = [laid.ring[:, 0] for laid in self.slabs]
        return float(max(x.max() for x in rings) - min(x.min() for x in rings))

    @property
    def sticks(self) -> int:
        """A row below every layer, and one more on top where a weight lies."""
        more = 1 if self.ground.top_weight else 0
        return len(self.stickers.rows) * (len(self.layers) + more)

    def where(self, name: str) -> tuple[int, Laid]:
        """Number of its layer, and place, of a slab; raises `BadValue`."""
        for n, layer in zip(self.numbers, self.layers, strict=True):
            for laid in layer.slabs:
                if laid.slab.name == name:
                    return n, laid
        raise BadValue("slab", name, "one that lies in this stack")


def by_order(
    slabs: Sequence[Footprint], sawn: Sequence[Sawn], ground: Ground, stickers: Stickers
) -> Stack:  # fmt: skip
    """One slab a layer, the slabs of each log as they were sawn, heaviest log at the bottom.

    Raises
    ------
    BadValue
        As `boule.in_log_order`.
    """
    layers = []
    for i in in_log_order(slabs, sawn):
        across = (ground.floor.width - slabs[i].width) / 2
        layers.append(_layer([_laid(slabs[i], STRAIGHT, 0.0, across)], ground, stickers))
    return _stack(layers, ground, stickers, "log order kept")


def by_floor(
    slabs: Sequence[Footprint],
    ground: Ground,
    stickers: Stickers,
    tolerance: float = 0.003,
    effort: Effort | None = None,
    progress: Progress | None = None,
) -> Stack:
    """As few layers as can be found, heaviest at the bottom.

    Parameters
    ----------
    slabs : sequence of Footprint
    ground : Ground
    stickers : Stickers
    tolerance : float
        Of thickness within a layer. [m]
    effort : Effort, optional
    progress : callable (text, share), optional

    Raises
    ------
    BadValue
        A slab that does not fit the ground.

    Notes
    -----
    Which slabs share a layer is chosen as for a kiln (`charge.plan_charge`): groups that fit, slid
    together, and the fewest of them that hold all, by HiGHS. Then each layer is moved to the middle.
    """
    charge = plan_charge(
        slabs, Room(ground.floor, _TALL), stickers, tolerance=tolerance, effort=effort, progress=progress
    )
    if charge.left_out:
        out = charge.left_out[0]
        raise BadValue("ground", out.name, "wide and long enough for every slab", f"It is {out.why}.")
    layers = [_centred(layer, ground) for layer in charge.layers]
    fewest = all(shelf.proved for shelf in charge.shelves)
    return _stack(layers, ground, stickers, "best use of floor", fewest)


def by_hand(
    slabs: Sequence[Footprint],
    places: Sequence[ByHand],
    ground: Ground,
    stickers: Stickers,
    keep_rows: bool = False,
) -> Stack:
    """Slabs as a person laid them.

    Parameters
    ----------
    slabs : sequence of Footprint
    places : sequence of ByHand
        One for each slab; in a layer from the left.
    ground : Ground
    stickers : Stickers
    keep_rows : bool
        The rows lie already; else they are moved to suit the slabs' ends.

    Raises
    ------
    BadValue
        Slabs that lie on each other within a layer, or off the ground.
    """
    layers, numbers = [], sorted({place.layer for place in places})
    for number in numbers:
        own = [(s, p) for s, p in zip(slabs, places, strict=True) if p.layer == number]
        laid, left = [], 0.0
        for slab, place in own:
            across = left if place.from_left is None else place.from_left
            laid.append(_laid(slab, place.turn, place.from_end or 0.0, across))
            left = float(laid[-1].ring[:, 1].max()) + ground.floor.gap
        layer = _layer(laid, ground, stickers)
        if all(place.from_left is None for _, place in own):
            layer = _centred(layer, ground)
        _checked(layer, number, ground)
        layers.append(layer)
    return _stack(layers, ground, stickers, "by hand", keep_rows=keep_rows, numbers=numbers)


def bare_rows(stack: Stack) -> tuple[tuple[str, float], ...]:
    """Rows of sticks under a slab below which the layer beneath has no wood.

    Returns
    -------
    found : tuple of (name, place)
        The slab above and the row's middle from the near end. [m]

    Notes
    -----
    There a stick hangs in the air or bends a slab: a block of the missing height goes in, or the longer
    slab goes lower.
    """
    half = stack.stickers.width / 2
    found: list[tuple[str, float]] = []
    for below, layer in zip(stack.layers, stack.layers[1:], strict=False):
        wood = [_reach(laid) for laid in below.slabs]
        bare = [row for row in stack.stickers.rows if not _over(row, half, wood)]
        for laid in layer.slabs:
            found += [(laid.slab.name, row) for row in bare if _over(row, half, [_reach(laid)])]
    return tuple(found)


def _over(row: float, half: float, reaches: Sequence[tuple[float, float]]) -> bool:
    return any(near - half <= row <= far + half for near, far in reaches)


def _reach(laid: Laid) -> tuple[float, float]:
    return float(laid.ring[:, 0].min()), float(laid.ring[:, 0].max())


def _laid(slab: Footprint, turn: Turn, along: float, across: float) -> Laid:
    ring = slab.ring(turn) + np.array([along, across])
    return Laid(slab, turn, along, across, ring, (0.0, 0.0))


def _layer(laid: Sequence[Laid], ground: Ground, stickers: Stickers) -> Layer:
    thick = max(one.slab.thickness for one in laid)
    filled = sum(one.slab.area for one in laid) / ground.floor.area
    order = sorted(laid, key=lambda one: (one.across, one.along))
    return Layer(tuple(order), thick, thick + stickers.thickness, filled)


def _centred(layer: Layer, ground: Ground) -> Layer:
    """The same layer in the middle of the ground, so that the stack stands plumb."""
    low, high = across_extent(layer)
    shift = (ground.floor.width - low - high) / 2
    moved = [
        replace(laid, across=laid.across + shift, ring=laid.ring + np.array([0.0, shift]))
        for laid in layer.slabs
    ]
    return replace(layer, slabs=tuple(moved))


def _checked(layer: Layer, number: int, ground: Ground) -> None:
    for n, one in enumerate(layer.slabs):
        low, high = one.ring.min(axis=0), one.ring.max(axis=0)
        room = np.array([ground.floor.length, ground.floor.width])
        if (low < -1e-6).any() or (high > room + 1e-6).any():
            size = " x ".join(units.show_length(float(x), kind="long") for x in room)
            raise BadValue(
                f"{one.slab.name}.layer", number, f"within the ground of {size}",
                "Move it, lay it in another layer, or widen [ground].",
            )  # fmt: skip
        for other in layer.slabs[n + 1 :]:
            if overlap(one, other) > _LAPPED:
                raise BadValue(
                    f"{other.slab.name}.layer", number, f"clear of {one.slab.name} in this layer",
                    "Move one of them, or lay it in another layer.",
                )  # fmt: skip


def _stack(
    layers: Sequence[Layer],
    ground: Ground,
    stickers: Stickers,
    how: str,
    fewest: bool = False,
    keep_rows: bool = False,
    numbers: Sequence[int] = (),
) -> Stack:
    if not keep_rows:
        stickers = suited(stickers, [_reach(laid) for layer in layers for laid in layer.slabs])
    stuck = []
    for layer in layers:
        slabs = tuple(
            replace(laid, overhang=overhang(*_reach(laid), stickers.rows, stickers.width))
            for laid in layer.slabs
        )
        stuck.append(replace(layer, slabs=slabs))
    counted = tuple(numbers) or tuple(range(1, len(stuck) + 1))
    return Stack(ground, stickers, tuple(stuck), how, counted, fewest)
