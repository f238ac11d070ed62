"""``pithline rip``: slabs, square-edged boards, or both mixed, from the same log."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.log_input import log_options
from pithline.cli.plan_input import plan_options

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.rip.mixed import Mixed
    from pithline.units import System

__all__ = ["command"]

# Option of the command line -> field of [boards].
_FIELDS = {
    "board_widths": "width",
    "board_lengths": "length",
    "board_rates": "rate",
    "along": "along",
    "rip_kerf": "kerf",
    "board_cost": "board_cost",
}


@click.command(
    "rip",
    epilog="""
\b
Examples:
  pithline rip demo/hollow-oak.toml --with demo/boards.toml
  pithline rip demo/hollow-oak.toml --board-width "15 cm" --board-width "20 cm" --board-rate "6 per bf" --json

\b
A rip saw can throw a board back at whoever feeds it, the more so from a slab under growth stress: use
riving knife, guard and outfeed, and follow the maker's manual, local codes and licensed practice.
""",
)
@log_options
@click.option(
    "--with",
    "more",
    multiple=True,
    type=click.Path(path_type=Path, allow_dash=True),
    metavar="FILE",
    help="More tables ([mill], [aims], [rates], [boards]), instead of those in the record. Repeat for more.",
)
@plan_options
@click.option(
    "--board-width",
    "board_widths",
    multiple=True,
    metavar="LENGTH",
    help="Width of a board. Repeat for more.",
)
@click.option(
    "--board-length",
    "board_lengths",
    multiple=True,
    metavar="LENGTH",
    help="Length that is bought. Repeat for more.",
)
@click.option(
    "--board-rate",
    "board_rates",
    multiple=True,
    metavar="RATE",
    help='Such as "4.20 per bf" or "12/4: 5 per bf". Repeat for more.',
)
@click.option("--along", metavar="WHAT", help="Rips run parallel to: pith, left edge, right edge, best.")
@click.option("--rip-kerf", metavar="LENGTH", help="Wood that a rip takes.")
@click.option("--board-cost", metavar="COST", help='Your own cost of a board: "1.50 per piece".')
@click.option("--svg", type=click.Path(path_type=Path), metavar="FILE", help="Write the drawing.")
@click.option("--units", type=click.Choice(["metric", "inch"]), help="Else as the log was given.")
@click.option("--json", "as_data", is_flag=True, help="Print one JSON object (schema pithline/rip/1).")
def command(
    file: Path | None,
    more: tuple[Path, ...],
    svg: Path | None,
    units: System | None,
    as_data: bool,
    **options: Any,
) -> None:
    """Compare slabs, square-edged boards and both mixed from the same log, each sawn at its best.

    FILE is a record, as for pithline plan; the table [boards] says what slabs may be
    ripped into and what that brings, heart beams included.
    """
    from pithline.cli.log_input import read_document
    from pithline.cli.plan_files import write_all
    from pithline.cli.plan_input import job_of
    from pithline.errors import BadValue
    from pithline.saw.rip.ripped import rip_log
    from pithline.saw.written.boards import read_boards

    document = read_document(file) if file is not None and str(file) != "-" else {}
    for other in more:
        document = {**document, **read_document(other)}
    job = job_of(file, more, options, False)
    said = {name: options[o] for o, name in _FIELDS.items() if options.get(o) not in (None, ())}
    written = document.get("boards", {})
    if not isinstance(written, dict):
        raise BadValue("boards", written, "a table", "Write its fields below a line [boards].")
    boards = read_boards({**written, **said}, job.aims, job.rates.currency)
    system = units or job.record.system
    mixed = rip_log(
        job.record.to_shape(),
        job.record.lie(),
        job.mill,
        job.aims,
        job.rates,
        job.timber,
        boards.value,
        system=system,
    )
    if svg is not None:
        from pithline.sheets.rip_view import rip_view

        write_all([("--svg", svg, rip_view(mixed, system).encode())])
    if as_data:
        from pithline.sheets.rip_json import mixed_document

        told = mixed_document(mixed, job.rates.currency)
        told["assumed"] = [
            {"field": a.field, "value": a.text, "why": a.why} for a in (*boards.assumed, *job.assumed)
        ]
        click.echo(json.dumps(told, indent=2, ensure_ascii=False))
    else:
        _show(mixed, job, system)
        for a in boards.assumed:
            click.echo(f"Assumed: {a.field} = {a.text} ({a.why}).", err=True)
    if svg is not None:
        click.echo(f"Written: {svg}", err=True)


def _show(mixed: Mixed, job: Job, system: System) -> None:
    import sys

    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table

    from pithline.sheets.wording import amount, degrees
    from pithline.units import show_length

    console = Console(file=sys.stdout, highlight=False, markup=False)
    plan = mixed.plan
    console.print(
        f"{job.record.name}: {job.record.species.name}, {show_length(job.record.length, system, 'long')}",
        style="bold",
    )
    ways = Table(
        title="The same log, each way at its best", title_justify="left", box=SIMPLE_HEAD, pad_edge=False
    )
    ways.add_column("way")
    for head in ("net", "slabs", "boards", "cuts"):
        ways.add_column(head, justify="right")
    for way in mixed.ways:
        ways.add_row(way.name, amount(plan, way.net), str(way.slabs), str(way.boards), str(way.cuts))
    console.print(ways)
    console.print(f"Mixed, {degrees(plan.roll)}. Slabs from the top of the log:")
    slabs = Table(box=SIMPLE_HEAD, pad_edge=False)
    for head, side in (("slab", "right"), ("sawn", "left"), ("as slab", "right"), ("as boards", "right")):
        slabs.add_column(head, justify=side)  # type: ignore[arg-type]
    slabs.add_column("ripped into")
    for each in mixed.slabs:
        slabs.add_row(
            str(each.slab.number),
            each.slab.aim.label,
            amount(plan, each.as_slab),
            amount(plan, each.rip.value),
            _boards(each.rip.boards, system) if each.ripped else "stays a slab",
        )
    console.print(slabs)
    for remark in job.remarks:
        console.print(f"• {remark}")
    console.print(
        "A rip saw can throw a board back at whoever feeds it, the more so from a slab under growth "
        "stress: use riving knife, guard and outfeed, and follow the maker's manual, local codes and "
        "licensed practice.",
        style="italic",
    )


def _boards(boards: Any, system: System) -> str:
    from collections import Counter

    from pithline.units import show_length

    told = Counter(
        f"{b.cant + ' ' if b.cant else ''}{show_length(b.width, system)} × "
        f"{show_length(b.length, system, 'long')}"
        for b in boards
    )
    return ", ".join(f"{count} of {size}" if count > 1 else size for size, count in told.items())
