"""A kiln load of the book as the kiln's model takes it, and what its sample boards tell."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from pithline.errors import BadValue
from pithline.web.drying.watch import outlook
from pithline.yard.drying_facts import drying_facts
from pithline.yard.models import KilnLoad, Slab
from pithline.yard.moments import day_of
from pithline.yard.preferences import setting

if TYPE_CHECKING:
    from pithline.dry.kiln.kiln import Kiln
    from pithline.dry.kiln.load import Piece
    from pithline.dry.kiln.run import Run
    from pithline.dry.kiln.sample_boards import Boards
    from pithline.dry.kiln.steps import Setting
    from pithline.saw.written.assumed import Assumed

__all__ = ["Planned", "Said", "pieces_of", "planned", "said_by_boards"]


@dataclass(frozen=True, slots=True, eq=False)
class Planned:
    """What is expected of a load.

    Attributes
    ----------
    kiln : Kiln
    pieces : tuple of Piece
    run : Run
    assumed : tuple of Assumed
        Of the kiln.
    remarks : tuple of str
        Where each moisture comes from; slabs that could not be reckoned, and why.
    """

    kiln: Kiln
    pieces: tuple[Piece, ...]
    run: Run
    assumed: tuple[Assumed, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """What the sample boards tell.

    Attributes
    ----------
    boards : Boards
    stage : str
    setting : Setting or None
        For which the schedule's step stands; None when the schedule is over.
    too_fast : str
        "" where the pace is safe or not known.
    told : tuple of (name, moisture)
        Each board. [fraction]
    """

    boards: Boards
    stage: str
    setting: Setting | None
    too_fast: str
    told: tuple[tuple[str, float], ...]


def planned(load: KilnLoad, today: datetime.date) -> Planned:
    """Plan the run of a load from what the book knows.

    Raises
    ------
    BadValue
        No slab of which thickness, volume and moisture are known; a load that is dry already.
    """
    from pithline.dry.kiln.run import kiln_run
    from pithline.dry.kiln.written import read_kiln

    written = read_kiln(load.kiln.table)
    day = day_of(load.started_at) if load.started_at else today
    pieces, remarks = pieces_of(load, day)
    target = (load.target_percent or 100 * setting("moisture")) / 100
    run = kiln_run(pieces, written.value, target, code=load.code or None)
    if load.steps:
        remarks.append("its own steps are kept, but days and water are reckoned by the published schedule")
    # The book's own name for it, not that of the starter it was described from.
    kiln = replace(written.value, name=load.kiln.name)
    return Planned(kiln, tuple(pieces), run, written.assumed, tuple(remarks))


def pieces_of(load: KilnLoad, day: datetime.date) -> tuple[list[Piece], list[str]]:
    """The slabs of a load with their moisture on a day; and what was assumed or is missing."""
    from pithline.dry.kiln.load import Piece
    from pithline.wood.species import species

    pieces, remarks = [], []
    slabs = Slab.objects.filter(loads__load=load).select_related("log").prefetch_related("sizes")
    for slab in slabs:
        size = next((one for one in slab.sizes.all() if one.current), None)
        if size is None or not size.volume_m3 or not size.thickness_m:
            remarks.append(f"{slab.label} is left out of the reckoning: it was not measured")
            continue
        moisture = _moisture(slab, load, size.moisture_percent, day, remarks)
        if moisture is not None:
            pieces.append(
                Piece.weighed(slab.label, species(slab.species), size.thickness_m, size.volume_m3, moisture)
            )
    return pieces, remarks


def _moisture(
    slab: Slab, load: KilnLoad, measured: float | None, day: datetime.date, remarks: list[str]
) -> float | None:
    """By readings and forecast up to the load; else as its size says."""
    try:
        facts = drying_facts(slab)
        before = [one for one in facts.line if one.load != load.number and one.begins <= day]
        known = tuple(one for one in facts.readings if one.day <= (day - facts.begins).days)
        if before:
            line = (*before[:-1], replace(before[-1], ends=None))
            facts = replace(facts, line=line, readings=known)
        return outlook(facts, day).now.mid
    except BadValue as wrong:
        if measured is not None:
            remarks.append(
                f"{slab.label}: no forecast ({wrong}); {measured:g} % taken, as written on its size"
            )
            return measured / 100
        remarks.append(f"{slab.label} is left out of the reckoning, its moisture is not known: {wrong}")
        return None


def said_by_boards(load: KilnLoad, made: Planned) -> Said | None:
    """What to do next by the sample boards that lie in the load; None where none was weighed."""
    from pithline.dry.kiln.equalise import stage
    from pithline.dry.kiln.sample_boards import pace, read_boards

    told: list[tuple[str, float]] = []
    fast = ""
    for sample in load.samples.filter(done=False).prefetch_related("weighings"):
        dry = sample.oven_dry_kg
        if dry is None and sample.green_kg and sample.start_percent is not None:
            dry = sample.green_kg / (1 + sample.start_percent / 100)
        weights = sorted((one.weighed_on, one.weight_kg) for one in sample.weighings.all())
        if not dry or not weights:
            continue
        told.append((sample.name, weights[-1][1] / dry - 1))
        if len(weights) > 1 and weights[-1][0] > weights[-2][0]:
            days = (weights[-1][0] - weights[-2][0]).days
            seen = pace([weights[-2][1] / dry - 1], [told[-1][1]], days, made.run.lead.safe)
            fast = f"{sample.name}: {seen.told}" if seen.too_fast else fast
    told = [(name, moisture) for name, moisture in told if moisture > 0]
    if not told:
        return None
    boards = read_boards([moisture for _, moisture in told])
    now = stage(boards, made.run.finish, bool(load.conditioned))
    steps = [step.setting for step in made.run.steps]
    setting_now = next((one for one in steps if boards.controlling > one.lower), None)
    return Said(boards, now, setting_now if now == "dry" else None, fast, tuple(told))
