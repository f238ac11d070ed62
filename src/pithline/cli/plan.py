"""``pithline plan``: from a measured log to the best cuts, the rail and the cut sheet."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.log_input import log_options
from pithline.cli.plan_input import job_of, plan_options

if TYPE_CHECKING:
    from collections.abc import Callable

    from pithline.cli.plan_input import Job
    from pithline.saw.plan import Plan
    from pithline.units import System

__all__ = ["command"]


@click.command(
    "plan",
    epilog="""
\b
Examples:
  pithline plan demo/hollow-oak.toml --sheet hollow-oak.pdf
  pithline plan demo/hollow-oak.toml --thickness 12/4 --roll free
  pithline plan --species "red oak" --length "3 m" --butt "62 cm" --top "54 cm" --thickness "80 mm green"
  pithline plan demo/hollow-oak.toml --kerf "8 mm" --pith box --json
  pithline plan demo/hollow-oak.toml --doubt --tornado doubt.svg
  pithline plan demo/hollow-oak.toml --alternate --per-turn "20 min"
  pithline plan demo/hollow-oak.toml --card --face "118 mm" --html hollow-oak.html

\b
The plan is exact for the shape that was measured; the ranges say how far the log may
differ. It tells where to saw, not that it is safe: see the cautions on the sheet, and
follow the maker's manual, local codes and licensed practice.
""",
)
@log_options
@click.option(
    "--with",
    "more",
    multiple=True,
    type=click.Path(path_type=Path, allow_dash=True),
    metavar="FILE",
    help="More tables ([mill], [aims], [rates]), instead of those in the record. Repeat for more.",
)
@plan_options
@click.option("--both-sides", is_flag=True, help="The log may be turned over part way.")
@click.option(
    "--alternate", is_flag=True, help="Cut from both sides in turn, against growth stress; see --per-turn."
)
@click.option(
    "--draws",
    type=click.IntRange(0, 100_000),
    default=500,
    show_default=True,
    help="Logs drawn for the ranges; 0 for none.",
)
@click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Of those draws.")
@click.option("--compare/--no-compare", default=True, help="Show other ways to saw it.")
@click.option("--sheet", type=click.Path(path_type=Path), metavar="PDF", help="Write the cut sheet.")
@click.option("--card", is_flag=True, help="Print the field card; with --sheet also on its back.")
@click.option(
    "--face",
    metavar="BUTT[, TOP]",
    help='Of a face above (+) or below (-) the pith marks: print what to saw next, "-18 mm, -22 mm".',
)
@click.option("--sold", multiple=True, metavar="N of NAME", help="With --face: pieces already cut.")
@click.option(
    "--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True, help="Of the sheet."
)
@click.option("--svg", type=click.Path(path_type=Path), metavar="FOLDER", help="Write the drawings.")
@click.option(
    "--html",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write a page to play with: turn the log, move the first cut.",
)
@click.option(
    "--csv", type=click.Path(path_type=Path), metavar="FOLDER", help="Write cuts.csv and slabs.csv."
)
@click.option("--dxf", type=click.Path(path_type=Path), metavar="FILE", help="Write the slabs' outlines.")
@click.option(
    "--glb",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write log, slabs and opened log as bodies (3-D).",
)
@click.option(
    "--model",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the exact model as rows (CSV), for any solver to check.",
)
@click.option(
    "--units", type=click.Choice(["metric", "inch"]), help="Of the tables; else as the log was given."
)
@click.option(
    "--robust", "weigh_doubt", is_flag=True, help="Also look for cuts that bear the measuring error better."
)
@click.option(
    "--doubt", "take_again", is_flag=True, help="Also rank the measurements: which to take again first."
)
@click.option(
    "--tornado",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write how far each measurement moves the value (SVG); with it --doubt.",
)
@click.option("--json", "as_data", is_flag=True, help="Print one JSON object instead of tables.")
@click.option("--schema", is_flag=True, help="Print the JSON Schema of that object, and stop.")
def command(
    file: Path | None,
    more: tuple[Path, ...],
    both_sides: bool,
    alternate: bool,
    draws: int,
    seed: int,
    compare: bool,
    units: System | None,
    weigh_doubt: bool,
    take_again: bool,
    as_data: bool,
    schema: bool,
    card: bool,
    face: str | None,
    sold: tuple[str, ...],
    **options: Any,
) -> None:
    """Find the best cuts for a log, exactly, and how to set the rail for them.

    FILE is a record in TOML ("-" reads standard input); it may hold [mill], [aims] and
    [rates] too. Options overrule what it says; without a file they are the record.
    """
    if schema:
        from pithline.sheets.plan_json import plan_schema

        click.echo(json.dumps(plan_schema(), indent=2))
        return
    from pithline.cli.plan_card import add_card, asked, show_card
    from pithline.cli.plan_doubt import show_retakes, with_retakes
    from pithline.cli.plan_files import write_files
    from pithline.cli.plan_robust import robust_of, robust_part, show_robust

    job = job_of(file, more, options, both_sides, alternate)
    system = units or job.record.system
    with _stages() as progress:
        plan = reckon(job, draws, seed, compare, progress, system)
        told = asked(plan, job, system, card, face, sold)
        if take_again or options["tornado"]:
            progress("reading the log otherwise")
            plan = with_retakes(plan, job)
        borne = None
        if weigh_doubt:
            progress("trying cuts in drawn logs")
            borne = robust_of(plan, job, seed)
        # Files first: a pipe that closes early must not cost the sheet.
        written = write_files(plan, job, system, {**options, "card": card}, progress)
    if as_data:
        from pithline.sheets.plan_json import plan_document

        document = plan_document(plan)
        document["assumed"] = [{"field": a.field, "value": a.text, "why": a.why} for a in job.assumed]
        document["questions"] = job.record.questions()
        add_card(document, told)
        if borne is not None:
            document["robust"] = robust_part(borne)
        click.echo(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        from pithline.cli.plan_tables import show

        show(plan, job, system)
        if plan.retakes:
            show_retakes(plan, system)
        show_card(plan, told, system)
        if borne is not None:
            show_robust(plan, borne, system)
    for path in written:
        click.echo(f"Written: {path}", err=True)
    for question in job.record.questions():
        click.echo(f"Question: {question}", err=True)


def reckon(
    job: Job, draws: int, seed: int, compare: bool, progress: Callable[[str], None], system: System
) -> Plan:
    """Plan a job, with its ranges and the worth of what was assumed; its words tell sizes in `system`."""
    from dataclasses import replace

    import numpy as np

    from pithline.log.assumed import variants
    from pithline.log.measuring import measuring_error, perturbed
    from pithline.saw.doubts import doubts
    from pithline.saw.model import stations
    from pithline.saw.planning import plan

    shape = job.record.to_shape()
    at = shape.at(stations(shape, job.aims.trim_butt, job.aims.trim_top))
    drawn = perturbed(at, measuring_error(job.record), np.random.default_rng(seed), draws) if draws else ()
    found = plan(
        shape,
        job.record.lie(),
        job.mill,
        job.aims,
        job.rates,
        job.timber,
        draws=drawn,
        compare=compare,
        progress=progress,
        system=system,
    )
    progress("weighing what was assumed")
    return replace(
        found,
        doubts=doubts(found, variants(job.record), job.timber, job.assumed),
        remarks=(*found.remarks, *job.remarks),
    )


@contextmanager
def _stages() -> Iterator[Callable[[str], None]]:
    """Say on the terminal what takes its time; say nothing into a file or a pipe."""
    if _compiles():
        click.echo("First run after installing: compiling the planner, up to a minute.", err=True)
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console

    with Console(stderr=True).status("reading the log") as status:
        yield lambda stage: status.update(f"{stage} …")


def _compiles() -> bool:
    """Whether numba has not yet kept the compiled planner on this machine."""
    from pithline.saw import planner_kernel

    kept = Path(planner_kernel.search.stats.cache_path or "")
    return not any(kept.glob("planner_kernel.solve-*.nbi"))
