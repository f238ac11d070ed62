"""``pithline dry``: how long a slab takes, and the day it is ready."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pithline.dry.milestones import Milestone
    from pithline.dry.months import Months
    from pithline.dry.phases import Phase

__all__ = ["command"]


@click.command(
    epilog="""
\b
Examples:
  pithline dry "red oak" --thickness 12/4 --place Pittsburgh --begin 2026-04-01
  pithline dry "red oak" --thickness 8/4 --begin 2026-04-01 --warmest "22 C" --coldest "-2 C" --json
  pithline dry "black walnut" --thickness 8/4 --begin 2026-10-01 --place Chicago --target "12 %" --json
  pithline dry "sugar maple" --thickness 4/4 --moisture "25 %" --phase "kiln: 45 C, rest 6 %, 30 days"

\b
A forecast dries nothing: weigh a sample. Slabs and stacks are heavy and roll or tip; mould and
its dust harm lungs; follow local codes and licensed practice.
"""
)
@click.argument("name")
@click.option("--thickness", required=True, metavar="LENGTH", help='Green: "80 mm", 12/4.')
@click.option("--begin", metavar="DATE", help="Day on which it is stacked; needed outdoors without a logger.")
@click.option("--moisture", metavar="SHARE", help="On that day.  [default: that of the living tree]")
@click.option("--place", "place_name", metavar="NAME", help="One of the shipped places.")
@click.option("--warmest", metavar="TEMPERATURE", help="Mean of the warmest month, elsewhere: a guess.")
@click.option("--coldest", metavar="TEMPERATURE", help="Mean of the coldest month.")
@click.option(
    "--months",
    "months_file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="TOML with your own twelve months.",
)
@click.option(
    "--logger",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="CSV of a climate logger at the stack: the first phase.",
)
@click.option(
    "--dates", type=click.Choice(["month first", "day first"]), help="How the logger writes 3/4/2026."
)
@click.option("--accept", multiple=True, metavar="WORD", help="Use the logger's file in spite of this: gap.")
@click.option(
    "--phase",
    "phases",
    multiple=True,
    metavar="PHASE",
    help='One after the other.  [default: "outdoors: 24 months", "room: 20 C, 40 %, 12 months"]',
)
@click.option("--target", "targets", multiple=True, metavar="SHARE", help="A mean moisture to look for too.")
@click.option("--draws", type=click.IntRange(10, 100_000), default=400, show_default=True)
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="Of the draws.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/dry/1).")
def command(
    name: str, thickness: str, begin: str | None, moisture: str | None, place_name: str | None,
    warmest: str | None, coldest: str | None, months_file: Path | None, logger: Path | None,
    dates: str | None, accept: tuple[str, ...], phases: tuple[str, ...], targets: tuple[str, ...],
    draws: int, seed: int, as_json: bool,
) -> None:  # fmt: skip
    """How fast a slab of the wood NAME dries, and on which day it is ready, with ranges.

    Diffusion through the thickness, in the months of a place, a logger's days, a room or a kiln
    step. Rates are calibrated on printed air-drying times of 1-inch stock (from memory).
    """
    import numpy as np

    from pithline import units
    from pithline.cli.dry_show import as_record, show
    from pithline.dry.forecast import forecast
    from pithline.dry.milestones import MILESTONES, Milestone
    from pithline.wood.estimate import Estimate
    from pithline.wood.species import species

    wood, thick = species(name, "NAME"), units.length(thickness, "--thickness")
    months = _months(place_name, warmest, coldest, months_file)
    stays, first = _phases(phases, months, logger, dates or "", accept)
    day = _day(begin, any(stay.months is not None for stay in stays), first)
    start = None
    if moisture:
        at = units.share(moisture, "--moisture")
        start = Estimate(
            at * 0.95, at, at * 1.05, False, (f"start moisture {units.show_share(at)}, as said",)
        )
    asked = tuple(
        Milestone(f"{text} asked", at, at, at, "", "as asked")
        for text, at in ((text, units.share(text, "--target")) for text in targets)
    )
    marks: tuple[Milestone, ...] = (*MILESTONES, *asked)
    made = forecast(
        thick, wood, stays, day or datetime.date(2001, 1, 1), np.random.default_rng(seed),
        start=start, milestones=marks, draws=draws,
    )  # fmt: skip
    if as_json:
        import json

        click.echo(json.dumps(as_record(made, wood.name, thick, day), indent=2, ensure_ascii=False))
        return
    show(made, wood.name, thick, day)


def _months(
    place_name: str | None, warmest: str | None, coldest: str | None, file: Path | None
) -> Months | None:
    from pithline import units
    from pithline.cli.log_input import read_document
    from pithline.dry.months import place
    from pithline.dry.written_drying import read_months
    from pithline.errors import BadValue

    if file is not None:
        if place_name or warmest or coldest:
            raise BadValue("--months", file.name, "given without --place, --warmest and --coldest")
        return read_months(read_document(file).get("months", {}))
    two = [
        units.temperature(text, option) if text else None
        for text, option in ((warmest, "--warmest"), (coldest, "--coldest"))
    ]
    if place_name:
        return place(place_name, *two)
    if warmest or coldest:
        return read_months({k: v for k, v in (("warmest", warmest), ("coldest", coldest)) if v})
    return None


def _phases(
    texts: tuple[str, ...], months: Months | None, logger: Path | None, dates: str, accept: tuple[str, ...]
) -> tuple[list[Phase], datetime.date | None]:
    """The phases, and the day of a logger's first reading."""
    from pithline.dry.logger import air_of, read_log
    from pithline.dry.phases import Phase
    from pithline.dry.written_drying import phase_words, read_phase
    from pithline.errors import BadValue

    made: list[Phase] = []
    first = None
    if logger is None and accept:
        raise BadValue("--accept", accept[0], "given with --logger", "Leave it out.")
    if logger is not None:
        log = read_log(logger.read_bytes(), logger.name, dates)
        _meant(accept, [finding.kind for finding in log.findings])
        for finding in log.findings:
            click.echo(f"{logger.name}: {finding.said}.", err=True)
        air = air_of(log, logger.name, accept)
        made.append(Phase(logger.name, air.days, logged=air))
        first = log.times[0].date()
    if not texts and logger is None:
        texts = ("outdoors: 24 months", "room: 20 C, 40 %, 12 months")
    return made + [read_phase(phase_words(text, "--phase"), months) for text in texts], first


def _meant(accept: tuple[str, ...], kinds: Sequence[str]) -> None:
    """Refuse to agree to what the file does not have: a slip of the pen would pass for consent."""
    from pithline.errors import BadValue

    for word in accept:
        if word not in kinds:
            odd = ", ".join(dict.fromkeys(kinds)) or "nothing"
            raise BadValue("--accept", word, "odd about this file", f"Odd is: {odd}.")


def _day(begin: str | None, outdoors: bool, first: datetime.date | None) -> datetime.date | None:
    from pithline.errors import BadValue

    if begin is None:
        if outdoors and first is None:
            raise BadValue("--begin", "missing", "given outdoors", "Write the day of stacking: 2026-04-01.")
        return first
    try:
        day = datetime.date.fromisoformat(begin)
    except ValueError:
        raise BadValue("--begin", begin, "a date", "Write year-month-day, like 2026-04-01.") from None
    if first is not None and day != first:
        # The logger's days would pass for those of another season.
        remedy = "Leave --begin out, or cut the file to begin on that day."
        raise BadValue("--begin", begin, f"the day of the logger's first reading, {first}", remedy)
    return day
