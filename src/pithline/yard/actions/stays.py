"""In which stack a slab lay from when to when: kept by every action that moves one."""

from __future__ import annotations

import datetime

from pithline.yard.desk import Desk
from pithline.yard.models import Slab, Stack, Stay

__all__ = ["NOWHERE", "handed_down", "stay"]

NOWHERE = dict.fromkeys(("stack", "layer", "spot", "along_m", "across_m", "end_for_end", "face_down"))
"""Columns of a slab that lies in no stack."""


def stay(desk: Desk, slab: Slab, stack: Stack | None, day: datetime.date) -> None:
    """Let a slab lie in a stack, or in none, from a day on.

    Put where it lies already, nothing changes. A day before the last move is taken as
    that day: nobody carries a slab off before they brought it.
    """
    last = Stay.objects.filter(slab=slab, ends_on=None).first()
    if last is not None:
        if stack is not None and last.stack_id == stack.pk:
            return
        desk.change(last, ends_on=max(day, last.begins_on))
    if stack is not None:
        desk.create(Stay, slab=slab, stack=stack, begins_on=max(day, last.begins_on) if last else day)


def handed_down(desk: Desk, slab: Slab, child: Slab) -> None:
    """Give a piece the past of the slab that it was cut from."""
    for past in Stay.objects.filter(slab=slab).select_related("stack"):
        desk.create(Stay, slab=child, stack=past.stack, begins_on=past.begins_on, ends_on=past.ends_on)
