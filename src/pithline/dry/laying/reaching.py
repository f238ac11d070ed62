"""Which slabs must be moved before one can be taken out."""

from __future__ import annotations

from collections.abc import Sequence

from pithline.dry.laying.layers import Laid, Layer
from pithline.errors import BadValue

__all__ = ["MINUTES_EACH", "moved_first", "overlap"]

MINUTES_EACH = (4.0, 12.0)  # to lift a slab off and lay it back with its sticks; a guess. [min]
_TOUCH = 1e-4  # two outlines that only touch. [m2]


def moved_first(layers: Sequence[Layer], name: str) -> tuple[str, ...]:
    """What lies on a slab, and on that in turn.

    Parameters
    ----------
    layers : sequence of Layer
        From the bottom.
    name : str
        Of the slab wanted.

    Returns
    -------
    names : tuple of str
        In the order in which they are moved, top layer first.

    Raises
    ------
    BadValue
        No slab of that name lies in the stack.

    Notes
    -----
    A slab lies on another where their outlines, seen from above, cover each other somewhere. What stays lies
    on slabs that stay; the sticks between stay with it.
    """
    where = {laid.slab.name: (k, laid) for k, layer in enumerate(layers) for laid in layer.slabs}
    if name not in where:
        raise BadValue("reach", name, f"one of {', '.join(where)}", "It does not lie in this stack.")
    level, wanted = where[name]
    off = [wanted]
    found: list[str] = []
    for layer in layers[level + 1 :]:
        for laid in layer.slabs:
            if any(overlap(laid, below) > _TOUCH for below in off):
                off.append(laid)
                found.append(laid.slab.name)
    return tuple(reversed(found))


def overlap(one: Laid, other: Laid) -> float:
    """Floor that two slabs both cover. [m2]"""
    if (one.ring.max(axis=0) <= other.ring.min(axis=0)).any():
        return 0.0
    if (other.ring.max(axis=0) <= one.ring.min(axis=0)).any():
        return 0.0
    from shapely.geometry import Polygon

    # buffer(0): an end that runs out to no width makes a ring that touches itself.
    return float(Polygon(one.ring).buffer(0).intersection(Polygon(other.ring).buffer(0)).area)
