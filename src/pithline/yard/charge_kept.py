"""A kiln load as it was laid: reckoned beside the server, entered by one press, read back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pithline.errors import BadValue
from pithline.yard.charge_facts import laying
from pithline.yard.finding import load_of
from pithline.yard.jobs import Progress
from pithline.yard.models import Job, KilnLoad

if TYPE_CHECKING:
    from pithline.dry.laying.charge import Charge

__all__ = ["charge_kept", "entered", "last_job", "reckon_charge", "still_holds"]

WORK = "lay_load"


def reckon_charge(said: dict[str, Any], progress: Progress) -> dict[str, Any]:
    """Lay a load.

    Parameters
    ----------
    said : dict
        ``load`` (its number), ``words`` (of `charge_facts.laying_table`), ``slabs`` and ``must`` (numbers).
    progress : callable (fraction, words)

    Raises
    ------
    BadValue
        What cannot be; more that must go in than there is room for.
    """
    from pithline.dry.laying.charge import plan_charge
    from pithline.sheets.charge_json import charge_record

    progress(0.0, "reading the slabs")
    asked = laying(load_of(str(said["load"])), said["words"], said["slabs"], said["must"])
    charge = plan_charge(
        asked.slabs,
        asked.room,
        asked.stickers,
        tolerance=asked.tolerance,
        wanted=asked.wanted,
        must=asked.must,
        progress=lambda text, share: progress(share, text),
    )
    return {"layout": charge_record(charge), "mark": asked.mark, "remarks": list(asked.remarks)}


def last_job(load: KilnLoad) -> Job | None:
    """The last laying that was asked for, whatever became of it."""
    found: Job | None = Job.objects.filter(kind=WORK, said__load=load.number).order_by("-created_at").first()
    return found


def still_holds(job: Job) -> bool:
    """Whether slabs, sizes and room are as they were when it was reckoned."""
    said = job.said
    try:
        now = laying(load_of(str(said["load"])), said["words"], said["slabs"], said["must"])
    except BadValue:
        return False
    return bool(job.result) and now.mark == job.result["mark"]


def entered(load: KilnLoad, layout: dict[str, Any]) -> dict[str, Any]:
    """What is said to the entry kind `change_load` to lay a load by its record.

    Each slab's share is of the room, for all of them are in it for the same days until one is taken out.
    Of a load that was started nothing is taken out: what nobody measured lies in it all the same.
    """
    from pithline.dry.laying.share import shared
    from pithline.sheets.charge_back import charge_of

    charge = charge_of(layout)
    share = {one.name: one.share for one in shared(charge, 1.0, 1.0)}
    rows = [
        {
            "slab": one.slab.name, "layer": n, "from_left": _mm(one.across), "from_end": _mm(one.along),
            "end_for_end": one.turn.end_for_end, "face_down": one.turn.face_down,
            "share": f"{100 * share[one.slab.name]:.6f} %",
        }
        for n, layer in enumerate(charge.layers, 1)
        for one in layer.slabs
    ]  # fmt: skip
    before = [one.slab.label for one in load.loaded.select_related("slab__log")]
    return {
        "load": str(load.number),
        "slabs": rows,
        "out": [label for label in before if label not in share and load.started_at is None],
        "layout": layout,
    }


def charge_kept(load: KilnLoad) -> Charge | None:
    """The load as it was laid; None where it was not, or where other slabs are in it now.

    Notes
    -----
    A layout that a program handed in may be anything: what is none of ours counts as not laid.
    """
    from pithline.sheets.charge_back import charge_of

    if not load.layout:
        return None
    try:
        charge = charge_of(load.layout)
    except BadValue:
        return None
    laid = sorted(one.slab.name for layer in charge.layers for one in layer.slabs)
    return (
        charge if laid == sorted(one.slab.label for one in load.loaded.select_related("slab__log")) else None
    )


def _mm(metres: float) -> str:
    return f"{max(metres, 0.0) * 1000:.1f} mm"
