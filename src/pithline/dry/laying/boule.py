"""The order of a log kept: each slab upon the next, as they were sawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pithline.dry.laying.footprint import Footprint
from pithline.errors import BadValue

__all__ = ["Sawn", "in_log_order"]


@dataclass(frozen=True, slots=True)
class Sawn:
    """Where a slab came from.

    Attributes
    ----------
    log : str
        "" where nobody knows.
    turn : int or None
        Its place in the log, from the top, 1 first.
    """

    log: str = ""
    turn: int | None = None


def in_log_order(slabs: Sequence[Footprint], sawn: Sequence[Sawn]) -> list[int]:
    """One slab a layer: the slabs of each log in their order, heaviest log at the bottom.

    Parameters
    ----------
    slabs : sequence of Footprint
    sawn : sequence of Sawn
        One for each slab.

    Returns
    -------
    order : list of int
        Indices from the bottom of the stack.

    Raises
    ------
    BadValue
        A slab of a log without its place there, a place taken twice, or no log at all.

    Notes
    -----
    The lowest slab of a log lies lowest, as in the tree (common practice, no source). A slab of
    no known log counts as a log of its own.
    """
    logs: dict[str, list[int]] = {}
    for i, (slab, one) in enumerate(zip(slabs, sawn, strict=True)):
        if one.log and one.turn is None:
            raise BadValue(f"{slab.name}.turn", "missing", "its place in the log", "Add turn = 3.")
        logs.setdefault(one.log or f"\0{slab.name}", []).append(i)
    if all(log.startswith("\0") for log in logs):
        raise BadValue(
            "slab.log", "missing", "given, to keep a log's order", 'Add log = "3" and turn = 1 to its slabs.'
        )
    for log, members in logs.items():
        turns = [sawn[i].turn for i in members]
        twice = next((t for t in turns if t is not None and turns.count(t) > 1), None)
        if twice is not None:
            raise BadValue("slab.turn", twice, f"once in log {log}", "Number its slabs from the top.")
    ranked = sorted(logs.values(), key=lambda members: -_heft(slabs, members))
    return [i for members in ranked for i in sorted(members, key=lambda i: -(sawn[i].turn or 0))]


def _heft(slabs: Sequence[Footprint], members: Sequence[int]) -> float:
    """Mass; wood where the mass of any slab is unknown, so that all compare alike."""
    if all(slab.mass for slab in slabs):
        return sum(slabs[i].mass for i in members)
    return sum(slabs[i].area * slabs[i].thickness for i in members)
