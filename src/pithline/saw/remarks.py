"""What the person should know beside the plan."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import SizeKind
from pithline.saw.mill import Mill
from pithline.saw.model import Model
from pithline.saw.plan import Cut
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber
from pithline.units import System, show_length

__all__ = ["remarks"]


def remarks(
    model: Model,
    mill: Mill,
    rates: Rates,
    timber: Timber,
    zones: Iterable[Zone],
    cuts: tuple[Cut, ...],
    roll: float,
    system: System = "metric",
) -> Iterator[str]:
    """Sentences for the answer and the sheet.

    Parameters
    ----------
    zones : iterable of Zone
        As they were recorded, and not where the plan's stations meet them.
    cuts : tuple of Cut
        In the order of sawing.
    system : {"metric", "inch"}
        For the sizes in the sentences.
    """
    step = model.reach.step
    if abs(model.reach.kerf * step - mill.kerf) > 1e-9:
        kerf, grid = (show_length(k, system, fine=True) for k in (mill.kerf, model.reach.kerf * step))
        yield f"Kerf {kerf} is reckoned as {grid}, the next step of the mill."
    if not rates.currency:
        yield "No rates given: the plan makes the most of the tally, so it saws as thick as it may."
    elif rates.per_cut_area == 0 and rates.per_slab == 0:
        yield "Your own cost per cut and per slab is 0: more and thinner cuts look cheaper than they are."
    if abs(roll) > 1e-9:
        degrees = math.degrees(roll) % 360
        way = f"{degrees:.0f}° anticlockwise" if degrees <= 180 else f"{360 - degrees:.0f}° clockwise"
        yield f"Roll the log {way}, seen from the butt, and chock both sides before the first cut."
    yield from _turning(cuts, mill)
    if any(c.aim.kind is SizeKind.FINISHED for c in model.choices):
        yield "A finished size takes its green thickness from each slab's width and grain: see the list."
    menu = {c.aim.label for c in model.choices}
    for use in rates.uses:
        if use.thicknesses and menu.isdisjoint(use.thicknesses):
            wanted = " or ".join(use.thicknesses)
            yield f"No {use.name} is cut: it asks for {wanted}, which is not on the thickness menu."
    for zone in zones:
        if zone.kind is ZoneKind.METAL:
            yield (
                f"{zone.kind.value.capitalize()} at {show_length(zone.start, system, 'long')} to "
                f"{show_length(zone.end, system, 'long')} from the butt: no cut passes where it was marked; "
                "search the rest with a detector before sawing."
            )
    yield from timber.remarks


def _turning(cuts: tuple[Cut, ...], mill: Mill) -> Iterator[str]:
    turned = [a.number for a, b in pairwise(cuts) if a.side != b.side]
    minutes = len(turned) * mill.minutes_per_turn
    if len(turned) == 1:
        yield (
            f"After cut {turned[0]} turn the log over onto its sawn face, chock it, "
            f"and set the rail anew from the pith marks: about {minutes:.0f} min."
        )
    elif turned:
        yield (
            "Sides in turn, against growth stress: turn the log over after every cut but the last "
            f"and chock it, {len(turned)} turns, about {minutes:.0f} min; turned once it would take "
            f"{mill.minutes_per_turn:.0f} min. Set the rail for the first cut of each side."
        )
