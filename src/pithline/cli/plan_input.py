"""What `pithline plan` is given: tables and options, read into the planner's objects."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.log_input import read_document, record_of

if TYPE_CHECKING:
    from pithline.log.record import LogRecord
    from pithline.saw.aims import Aims
    from pithline.saw.mill import Mill
    from pithline.saw.rates import Rates
    from pithline.saw.timber import Timber
    from pithline.saw.written.assumed import Assumed

__all__ = ["Job", "job_of", "plan_options"]

# Option of the command line -> dotted name in the tables, and its help.
OPTIONS: dict[str, tuple[str, str, str]] = {
    "bar": ("mill.bar", "LENGTH", "Bar length, saw body to nose."),
    "bar_lost": ("mill.bar_lost", "LENGTH", "Bar taken by clamps and nose."),
    "kerf": ("mill.kerf", "LENGTH", 'Width of the cut: "9 mm".'),
    "step": ("mill.step", "LENGTH", "Smallest step of the mill's setting; the planner's grid."),
    "depth_min": ("mill.depth_min", "LENGTH", "Smallest setting, guide to bar."),
    "depth_max": ("mill.depth_max", "LENGTH", "Largest setting, guide to bar."),
    "rail": ("mill.rail", "LENGTH", "Rail length."),
    "pace": ("mill.pace", "PACE", 'Sawing time: "5 min/m2".'),
    "per_turn": ("mill.per_turn", "TIME", 'To roll the log half over and chock it: "15 min".'),
    "thickness": (
        "aims.thickness",
        "SIZE",
        'Wanted: 12/4, "80 mm green", "60 mm finished". Repeat for more.',
    ),
    "moisture": ("aims.moisture", "SHARE", 'The slabs will be dried to: "8 %".'),
    "tally": ("aims.tally", "RULE", "narrow face, mean of faces, wide face, true volume."),
    "unit": ("aims.unit", "UNIT", "m3, bf as sawn, bf nominal."),
    "least_width": ("aims.least_width", "LENGTH", "Narrowest useful slab."),
    "least_length": ("aims.least_length", "LENGTH", "Shortest useful slab."),
    "end_trim": ("aims.end_trim", "LENGTH", "Lost to checks at each end."),
    "pith": ("aims.pith", "RULE", "through, box or free."),
    "pith_deduction": ("aims.pith_deduction", "SHARE", "Taken off a slab that holds the pith."),
    "follow": ("aims.follow", "WHAT", "Cuts run parallel to: pith, bark, or best (whichever pays most)."),
    "pitch": ("aims.pitch", "SLOPE", 'Given pitch against the pith: "5 mm/m".'),
    "roll": ("aims.roll", "ANGLE", 'Turn the log: "30 deg"; "free" searches every angle.'),
    "bark_way": ("aims.bark", "HOW", "Bark that the bar must pass: on, stripped, off."),
    "currency": ("rates.currency", "CODE", 'Such as "EUR".'),
    "rate": ("rates.rate", "RATE", 'Such as "9.50 per bf" or "12/4: 11 per bf". Repeat for more.'),
    "width_premium": ("rates.width", "STEP", 'Such as "60 cm: 15 %". Repeat for more.'),
    "length_premium": ("rates.length", "STEP", 'Such as "3 m: 10 %". Repeat for more.'),
    "figure_premium": ("rates.figure", "SHARE", "Where the faces show figure."),
    "cut_cost": ("rates.cut_cost", "COST", 'Your own cost: "14 per m2".'),
    "slab_cost": ("rates.slab_cost", "COST", 'Your own cost: "12 per slab".'),
    "carry_cost": ("rates.carry_cost", "COST", 'Of carrying green wood out: "0.05 per kg".'),
    "month_cost": ("rates.month_cost", "COST", 'Of the room a slab dries in, a month: "4 per m3".'),
    "use": (
        "rates.use",
        "THING",
        'Pays by the piece: "bench: 38 cm x 1.5 m, at 180"; "2 of bench: …" caps it. Repeat for more.',
    ),
    "order": ("aims.order", "THING", 'Comes first: "2 of top: 80 cm x 2 m, at 900, 12/4". Repeat for more.'),
}
_MANY = {"thickness", "rate", "width_premium", "length_premium", "use", "order"}


@dataclass(frozen=True, slots=True)
class Job:
    """Everything one plan is made from."""

    record: LogRecord
    mill: Mill
    aims: Aims
    rates: Rates
    timber: Timber
    assumed: tuple[Assumed, ...]
    remarks: tuple[str, ...]


def plan_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add every option that overrules a field of [mill], [aims] or [rates]."""
    for name, (_, metavar, text) in reversed(OPTIONS.items()):
        flag = f"--{name.replace('_', '-')}"
        command = click.option(flag, name, metavar=metavar, help=text, multiple=name in _MANY)(command)
    return command


def job_of(
    file: Path | None,
    more: tuple[Path, ...],
    options: Mapping[str, Any],
    both_sides: bool,
    alternate: bool = False,
) -> Job:
    """Read the log, then mill, aims and rates from the same file, from further ones and from options.

    Parameters
    ----------
    file : Path or None
        The record.
    more : tuple of Path
        Files whose tables come instead of the record's own, table by table.
    options : mapping
        By the names of `OPTIONS` and of `log_input.LOG_OPTIONS`.
    both_sides, alternate : bool
        The second takes the first with it.

    Raises
    ------
    Refused
        Whatever is wrong first.
    """
    from pithline.saw.timber import Timber
    from pithline.saw.written.inputs import read_aims, read_mill, read_rates, with_options

    document = read_document(file)
    for other in more:
        document = {**document, **read_document(other)}
    record = record_of(document, options)
    said = {dotted: options.get(name) for name, (dotted, _, _) in OPTIONS.items()}
    tables = with_options(document, said)
    if both_sides or alternate:
        tables.setdefault("aims", {})["both_sides"] = True
    if alternate:
        tables["aims"]["alternate"] = True
    mill = read_mill(tables.get("mill", {}))
    aims = read_aims(tables.get("aims", {}))
    rates = read_rates(tables.get("rates", {}), aims.value, record.species.name)
    return Job(
        record,
        mill.value,
        aims.value,
        rates.value,
        Timber.of(record.species, aims.value.moisture),
        (*mill.assumed, *aims.assumed, *rates.assumed),
        (*mill.remarks, *aims.remarks, *rates.remarks),
    )
