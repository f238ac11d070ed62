"""What the book knows of a slab's drying, as the drying model takes it."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.db.models import Q

from pithline.errors import BadValue
from pithline.yard.drying_line import Stretch, begin_of, line_of, with_line
from pithline.yard.models import Log, Sample, Size, Slab, Stack, Weighing
from pithline.yard.models import Reading as Shown
from pithline.yard.preferences import setting

if TYPE_CHECKING:
    from pithline.dry.learning.readings import Reading
    from pithline.dry.learning.weighing import Weights
    from pithline.dry.milestones import Milestone

__all__ = ["DryingFacts", "drying_facts", "facts_of_stack", "own_milestones"]

# A sample stands for a slab of its stack whose thickness is within a tenth of its own.
ALIKE = 0.10
_NEAR = 14  # days by which a sample may have been cut apart from the sawing


@dataclass(frozen=True, slots=True)
class DryingFacts:
    """A slab as the drying model takes it.

    Attributes
    ----------
    label : str
    species : str
    thickness : float
        Green, as sawn. [m]
    begins : date
    line : tuple of Stretch
        What air it had and is meant to have.
    weights : tuple of Weights
        Itself and the samples that stand for it; days since `begins`.
    readings : tuple of Reading
        Of meters, corrected, and of those weights; days since `begins`.
    sealed_on : date or None
        Its ends.
    remarks : tuple of str
        What was assumed, and which entries could not be used and why.
    """

    label: str
    species: str
    thickness: float
    begins: datetime.date
    line: tuple[Stretch, ...]
    weights: tuple[Weights, ...]
    readings: tuple[Reading, ...]
    sealed_on: datetime.date | None
    remarks: tuple[str, ...]


def drying_facts(slab: Slab) -> DryingFacts:
    """All that the book knows of a slab's drying.

    Raises
    ------
    BadValue
        Its green thickness is not known.
    """
    return _facts(_loaded(Slab.objects.filter(pk=slab.pk))[0], list(_samples([slab])))


def facts_of_stack(stack: Stack) -> tuple[list[DryingFacts], list[str]]:
    """The same for every slab that lies in a stack, bottom first; and what is wrong with the others."""
    slabs = _loaded(Slab.objects.filter(stack=stack).order_by("layer", "spot", "number"))
    samples = list(_samples(slabs))
    found, wrong = [], []
    for slab in slabs:
        try:
            found.append(_facts(slab, samples))
        except BadValue as problem:
            wrong.append(f"{slab.label}: {problem}")
    return found, wrong


def own_milestones() -> tuple[Milestone, ...]:
    """Milestones with the moistures that were set in the book."""
    from dataclasses import replace

    from pithline.dry.milestones import MILESTONES, milestones

    names = {
        "kiln-ready": "kiln_ready",
        "fit to sell air-dry": "sell_air_dry",
        "flatten": "flatten_at",
        "indoor": "moisture",
    }
    own = [replace(each, moisture=setting(names[each.name])) for each in MILESTONES]
    return milestones(changed=own)


def _loaded(slabs: Any) -> list[Slab]:
    return list(with_line(slabs).prefetch_related("weighings", "readings"))


def _samples(slabs: Iterable[Slab]) -> Any:
    """Samples that may stand for these slabs: cut from them, or lying in their stacks."""
    slabs = list(slabs)
    near = Q(slab__in=slabs) | Q(stack__in={slab.stack_id for slab in slabs if slab.stack_id})
    return Sample.objects.filter(near).prefetch_related("weighings", "readings").distinct()


def _facts(slab: Slab, samples: Sequence[Sample]) -> DryingFacts:
    begins, why = begin_of(slab)
    thick, told = _green_thickness(slab)
    remarks = [remark for remark in (why, told) if remark]
    weights: list[Weights] = []
    readings: list[Reading] = []
    itself = _of_slab(slab, begins, remarks)
    for piece in (itself, *(_of_sample(one, begins, remarks) for one in _stand_in(slab, thick, samples))):
        if piece is not None:
            weights.append(piece)
            readings += _weighed(piece, remarks)
    for shown in slab.readings.all():
        readings += _metered(shown, slab.species, begins, f"meter in {slab.label}", remarks)
    for one in samples:
        if one.slab_id == slab.pk:
            for shown in one.readings.all():
                readings += _metered(shown, one.species, begins, f"meter in {one}", remarks)
    return DryingFacts(
        label=slab.label,
        species=slab.species,
        thickness=thick,
        begins=begins,
        line=line_of(slab),
        weights=tuple(weights),
        readings=tuple(sorted(readings, key=lambda each: each.day)),
        sealed_on=slab.ends_sealed_on or _sealed(slab.log),
        remarks=tuple(dict.fromkeys(remarks)),
    )


def _sealed(log: Log | None) -> datetime.date | None:
    return log.ends_sealed_on if log else None


def _green_thickness(slab: Slab) -> tuple[float, str]:
    sizes = list(slab.sizes.all())
    green = [size.thickness_m for size in sizes if size.state == Size.State.GREEN and size.thickness_m]
    if green:
        return float(green[-1]), ""
    other = [size.thickness_m for size in sizes if size.thickness_m]
    if other:
        return float(max(other)), "its thickness as sawn is not known: the thickest it was measured is taken"
    raise BadValue("thickness", "missing", f"measured for {slab.label}", "Measure it anew.")


def _stand_in(slab: Slab, thick: float, samples: Sequence[Sample]) -> list[Sample]:
    """Its own samples; else those of its stack that are of its wood and about its thickness."""
    own = [one for one in samples if one.slab_id == slab.pk]
    if own or slab.stack_id is None:
        return own
    return [
        one
        for one in samples
        if one.stack_id == slab.stack_id
        and one.species == slab.species
        and abs(one.thickness_m - thick) <= ALIKE * thick
    ]


def _of_slab(slab: Slab, begins: datetime.date, remarks: list[str]) -> Weights | None:
    known = [(one.weighed_on, one.weight_kg) for one in slab.weighings.all()]
    green = next((s.weight_kg for s in slab.sizes.all() if s.state == Size.State.GREEN and s.weight_kg), None)
    if green is None and known and abs((known[0][0] - begins).days) <= _NEAR:
        green = known.pop(0)[1]
    if not known:
        return None
    if green is None:
        remarks.append(f"{slab.label} was not weighed green: its later weights tell nothing alone")
        return None
    return _weights(f"slab {slab.label}", green, known, begins, whole=True)


def _of_sample(one: Sample, begins: datetime.date, remarks: list[str]) -> Weights | None:
    known = [(w.weighed_on, w.weight_kg) for w in _in_turn(one.weighings.all())]
    green, cut = one.green_kg, one.cut_on
    if green is None and known:
        cut, green = known.pop(0)
    if green is None or (not known and one.oven_dry_kg is None and one.start_percent is None):
        return None
    if cut is not None and abs((cut - begins).days) > _NEAR:
        remarks.append(f"{one} was cut {abs((cut - begins).days)} days apart from the sawing")
    dry, doubt = one.oven_dry_kg, 0.0
    if dry is None and one.start_percent is not None:
        dry, doubt = green / (1 + one.start_percent / 100), 0.02
    return _weights(f"{one.get_kind_display()} {one}", green, known, begins, dry, doubt)


def _in_turn(weighings: Iterable[Weighing]) -> list[Weighing]:
    return sorted(weighings, key=lambda each: (each.weighed_on, each.created_at))


def _weights(
    name: str,
    green: float,
    known: Sequence[tuple[datetime.date, float]],
    begins: datetime.date,
    dry: float | None = None,
    doubt: float = 0.0,
    whole: bool = False,
) -> Weights:
    from pithline.dry.learning.weighing import Weights

    days = tuple(float(max((day - begins).days, 0)) for day, _ in known)
    return Weights(name, green, days, tuple(weight for _, weight in known), dry, doubt, whole)


def _weighed(piece: Weights, remarks: list[str]) -> list[Reading]:
    from pithline.dry.learning.readings import from_weights

    try:
        return list(from_weights(piece))
    except BadValue as problem:
        remarks.append(f"not used: {problem}")
        return []


def _metered(
    shown: Shown, wood: str, begins: datetime.date, source: str, remarks: list[str]
) -> list[Reading]:
    """One meter reading corrected; none, and a remark, where it cannot be."""
    from pithline.dry.learning.meters import LEAST, WET, Meter, Pins, Scale, corrected
    from pithline.dry.learning.readings import from_meter
    from pithline.wood.species import species

    pins = {"pin": Pins.BARE, "insulated pin": Pins.INSULATED, "pinless": Pins.PINLESS}[shown.meter]
    scale = Scale.OWN if shown.set_to == wood else Scale.DOUGLAS_FIR
    when = f"{source}, {shown.read_on}"
    if not shown.set_to and pins is not Pins.PINLESS:
        remarks.append(f"{when}: not said for which wood it was set; taken for Douglas-fir")
    elif shown.set_to not in ("", wood) and "Douglas" not in shown.set_to:
        remarks.append(f"not used: {when}: set to {shown.set_to}, from which no correction is known")
        return []
    warm = shown.wood_c
    if warm is None:
        warm = 20.0
        if not shown.compensated:
            remarks.append(f"{when}: temperature of the wood taken as 20 °C, a guess")
    meter = Meter(pins, scale, bool(shown.compensated), shown.calibrated_c, shown.gravity_set)
    value = shown.shown_percent
    if value is None:  # beyond its scale: a value that `corrected` takes for just that
        value = 100 * (WET + 0.01 if shown.beyond == "wet" else LEAST[meter.kind] / 2)
    day = float((shown.read_on - begins).days)
    try:
        if day < 0:
            raise BadValue("day", shown.read_on, f"on or after {begins}, when it was sawn")
        found = corrected(value / 100, meter, warm, species(wood))
        return [from_meter(day, found, meter, shown.depth_m or 0.0, source)]
    except BadValue as problem:
        remarks.append(f"not used: {when}: {problem}")
        return []
