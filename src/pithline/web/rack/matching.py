"""What was asked for, matched to slabs in stock, to pairs and to slabs that are only planned."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Prefetch, Q, QuerySet
from django.urls import reverse

from pithline.sheets.slab_outline import slab_outline
from pithline.slab.clear import Allowance
from pithline.slab.fits import Fit, pair_of, rectangle_of
from pithline.slab.ovals import oval_of, polygons
from pithline.units import System, show_length
from pithline.web.rack.fitting import TURNS
from pithline.web.rack.left import Left, left_of, left_of_planned
from pithline.web.rack.paper import TEXT, WIDTH
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import Log, Pair, Plan, Size, Slab, Want
from pithline.yard.preferences import setting
from pithline.yard.sizing import outline_of

__all__ = ["TRIED", "Match", "matches"]

TRIM = 0.05  # ends that may be checked; common practice, no source [m]
TRIED = 400  # slabs looked into for one wish; a page must not take for ever


@dataclass(frozen=True, slots=True)
class Match:
    """One way to make what was asked for."""

    name: str
    address: str
    told: str
    spare: float  # wood left over, the least first [m2]
    drawing: str = ""
    planned: bool = False


def matches(want: Want, system: System, most: int = 24) -> tuple[list[Match], bool]:
    """Slabs that hold what is wanted, with the least waste first, and whether some were not looked at.

    Stock comes before plans: a slab that lies there is worth two in the log.
    """
    found: list[Match] = []
    stock, pairs = _stock(want), _pairs_for(want)
    moisture = setting("moisture")
    if want.form == Want.Form.PAIR:
        cut_short = pairs.count() > TRIED
        found += _pairs(pairs, want, moisture, system)
        found.sort(key=lambda m: m.spare)
    else:
        cut_short = stock.count() > TRIED
        for slab in stock[:TRIED]:
            left = _left(slab, moisture)
            match = left and _match(want, left, f"slab {slab.label}", system)
            if match:
                address = reverse("rack:slab", args=[slab.label])
                found.append(Match(match[0], address, match[1], match[2], match[3]))
        found.sort(key=lambda m: m.spare)
        found += sorted(_planned(want, system), key=lambda m: m.spare)
    # A drawing weighs some 3 kB: only the first of them are shown drawn.
    shown = [
        m if n < 8 else Match(m.name, m.address, m.told, m.spare, "", m.planned) for n, m in enumerate(found)
    ]
    return shown[:most], cut_short


def _stock(want: Want) -> QuerySet[Slab]:
    """Slabs that could hold it by their plain sizes; shrinking and flattening only take away."""
    now = Prefetch("sizes", Size.objects.filter(current=True), to_attr="now")
    # A piece may lie askew, or narrow where the mean is wide: only the longest side is sure.
    rough = Q(sizes__current=True, sizes__length_m__gte=want.width_m, sizes__outline__isnull=False)
    if want.thickness_m:
        rough &= Q(sizes__thickness_m__gte=want.thickness_m)
    if want.species:
        rough &= Q(species=want.species)
    if want.form in (Want.Form.RECTANGLE, Want.Form.OVAL, Want.Form.WHOLE):
        rough &= Q(sizes__length_m__gte=max(want.length_m, want.width_m) - 1e-4)
    found = Slab.objects.exclude(state__in=GONE).filter(rough).select_related("log").prefetch_related(now)
    return found.order_by("sizes__volume_m3")


def _left(slab: Slab, moisture: float) -> Left | None:
    size = slab.now[0]
    outline = outline_of(size)
    if outline is None:
        return None
    return left_of(outline, size.state, slab.species, moisture, Allowance(TRIM, TRIM))


def _match(want: Want, left: Left, name: str, system: System) -> tuple[str, str, float, str] | None:
    """Name, words, spare wood and drawing of a slab that holds it; None where it does not."""
    if want.thickness_m and left.thickness < want.thickness_m - 1e-4:
        return None
    long, wide = max(want.length_m, want.width_m), min(want.length_m, want.width_m)
    wood = sum(band.area for band in left.bands)
    if wood < 0.78 * long * wide:  # an oval covers a little more than this part of its box
        return None
    fit: Fit | None
    if want.form == Want.Form.WHOLE:
        whole = rectangle_of(left.bands, long, wide, (0.0,))
        fit = whole
    elif want.form == Want.Form.RECTANGLE:
        fit = rectangle_of(left.bands, long, wide, TURNS)
        fit = Fit(fit.form, long, wide, fit.z, fit.across, fit.turned) if fit else None
    else:
        room = max((float((band.high - band.low).max()) for band in left.bands), default=0.0)
        fit = oval_of(polygons(left.bands), long, wide) if room >= wide - 1e-3 else None
    if fit is None:
        return None
    drawing = slab_outline(
        left.outline, system, clear=left.bands, fits=[fit], title=name, width=WIDTH, text=TEXT
    )
    thick = show_length(left.thickness, system)
    spare = wood - fit.area
    return name, f"{thick} thick once dry and flat; {spare:.2f} m² left over", spare, drawing


def _pairs_for(want: Want) -> QuerySet[Pair]:
    """Pairs that are still there, of the wood that is wanted."""
    now = Size.objects.filter(current=True)
    sizes = [Prefetch(f"{side}__sizes", now, to_attr="now") for side in ("first", "second")]
    pairs = Pair.objects.exclude(first__state__in=GONE).exclude(second__state__in=GONE)
    if want.species:
        pairs = pairs.filter(first__species=want.species, second__species=want.species)
    return pairs.select_related("first__log", "second__log").prefetch_related(*sizes)


def _pairs(pairs: QuerySet[Pair], want: Want, moisture: float, system: System) -> Iterator[Match]:
    """Pairs whose top, glued edge to edge, is as long and as wide."""
    long, wide = max(want.length_m, want.width_m), min(want.length_m, want.width_m)
    for pair in pairs[:TRIED]:
        one, other = pair.first, pair.second
        lefts = [_left(slab, moisture) if slab.now else None for slab in (one, other)]
        first, second = lefts
        if first is None or second is None:
            continue
        thickness = min(first.thickness, second.thickness)
        if want.thickness_m and thickness < want.thickness_m - 1e-4:
            continue
        halves = pair_of(first.bands, second.bands, long, wide)
        if halves:
            top = halves[0].width + halves[1].width
            told = f"{show_length(top, system)} wide at that length"
            address = reverse("rack:slab", args=[one.label]) + "fits/?form=pair's+rectangle"
            yield Match(f"slabs {one.label} and {other.label}", address, told, (top - wide) * long)


def _planned(want: Want, system: System) -> Iterator[Match]:
    """Slabs of the plans that are to be sawn, of logs that are not sawn yet."""
    plans = Plan.objects.filter(chosen=True, log__state=Log.State.PLANNED).select_related("log")
    if want.species:
        plans = plans.filter(log__species=want.species)
    for plan in plans[:50]:
        for slab in plan.answer["slabs"]:
            left = left_of_planned(slab)
            match = left and _match(
                want, left, f"slab {slab['number']} of the plan for log {plan.log}", system
            )
            if match:
                address = f"{reverse('plan:index')}{plan.log.number}/"
                yield Match(match[0], address, match[1], match[2], match[3], planned=True)
