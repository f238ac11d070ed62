"""``pithline buck``: where to cut a long stem across, and the plan of every piece."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.log_input import log_options
from pithline.cli.plan_input import plan_options

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.stem.bucked import Bucked
    from pithline.units import System

__all__ = ["command"]

# Option of the command line -> field of [stem].
_FIELDS = {
    "cut_step": "step",
    "shortest": "least",
    "longest": "most",
    "piece_lengths": "length",
    "cross_cost": "cut_cost",
    "piece_cost": "piece_cost",
    "keep": "keep",
}


@click.command(
    "buck",
    epilog="""
\b
Examples:
  pithline buck demo/hollow-oak-stem.toml
  pithline buck demo/hollow-oak-stem.toml --piece-length "2.4 m" --piece-length "3 m" --json

\b
A stem under tension can split, kick or roll as it is cut across: read the bind first,
stand on the upper side, and follow local codes, the maker's manual and licensed practice.
""",
)
@log_options
@click.option(
    "--with",
    "more",
    multiple=True,
    type=click.Path(path_type=Path, allow_dash=True),
    metavar="FILE",
    help="More tables ([mill], [aims], [rates], [stem]), instead of those in the record. Repeat for more.",
)
@plan_options
@click.option("--cut-step", metavar="LENGTH", help="Cuts lie on whole steps from the butt.")
@click.option("--shortest", metavar="LENGTH", help="Shortest piece.")
@click.option("--longest", metavar="LENGTH", help="Longest piece; the rail may allow less.")
@click.option(
    "--piece-length",
    "piece_lengths",
    multiple=True,
    metavar="LENGTH",
    help="Only this length. Repeat for more.",
)
@click.option("--cross-cost", metavar="COST", help='Your own cost of a cut across: "3 per piece".')
@click.option("--piece-cost", metavar="COST", help='Your own cost of setting up on a piece: "25 per piece".')
@click.option(
    "--keep",
    multiple=True,
    type=click.Choice(["figure", "crotch"]),
    help="What no cut may go through. Repeat for both.",
)
@click.option("--svg", type=click.Path(path_type=Path), metavar="FILE", help="Write the drawing.")
@click.option("--units", type=click.Choice(["metric", "inch"]), help="Else as the stem was given.")
@click.option("--json", "as_data", is_flag=True, help="Print one JSON object (schema pithline/buck/1).")
def command(
    file: Path | None,
    more: tuple[Path, ...],
    svg: Path | None,
    units: System | None,
    as_data: bool,
    **options: Any,
) -> None:
    """Find where to cut a stem across, so that the plans of its pieces are worth most together.

    FILE is a record of the whole stem, as for pithline plan; its table [stem] says where
    it may be cut. Each piece is planned about its own pith line, so a swept stem yields
    straighter pieces.
    """
    from pithline.cli.log_input import read_document
    from pithline.cli.plan_files import write_all
    from pithline.cli.plan_input import job_of
    from pithline.saw.stem.bucked import buck
    from pithline.saw.written.stem import read_stem, stem_of

    document = read_document(file) if file is not None and str(file) != "-" else {}
    for other in more:
        document = {**document, **read_document(other)}
    job = job_of(file, more, options, False)
    said = {name: options[o] for o, name in _FIELDS.items() if options.get(o) not in (None, ())}
    rules = read_stem({**document.get("stem", {}), **said}, job.record, job.rates.currency)
    system = units or job.record.system
    bucked = buck(
        stem_of(job.record),
        job.record.lie(),
        rules.value,
        job.mill,
        job.aims,
        job.rates,
        job.timber,
        system=system,
    )
    if svg is not None:
        from pithline.sheets.stem_view import stem_view

        write_all([("--svg", svg, stem_view(bucked, system).encode())])
    if as_data:
        from pithline.sheets.stem_json import bucked_document

        document = bucked_document(bucked, job.rates.currency)
        document["assumed"] = [
            {"field": a.field, "value": a.text, "why": a.why} for a in (*rules.assumed, *job.assumed)
        ]
        click.echo(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        _show(bucked, job, system)
        for a in rules.assumed:
            click.echo(f"Assumed: {a.field} = {a.text} ({a.why}).", err=True)
    if svg is not None:
        click.echo(f"Written: {svg}", err=True)


def _show(bucked: Bucked, job: Job, system: System) -> None:
    import math
    import sys

    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table

    from pithline.sheets.wording import amount, in_column, length_unit
    from pithline.units import show_length, show_mass, show_share

    plan = bucked.pieces[0].plan
    console = Console(file=sys.stdout, highlight=False, markup=False)

    def long(metres: float) -> str:
        return show_length(metres, system, "long")

    console.print(f"{job.record.name}: {job.record.species.name}, {long(job.record.length)}", style="bold")
    count = len(bucked.pieces)
    console.print(
        f"{count} {'piece' if count == 1 else 'pieces'}, worth {amount(plan, bucked.net)} net together."
    )
    if bucked.cuts:
        cuts = Table(
            title="Cuts across, from the butt", title_justify="left", box=SIMPLE_HEAD, pad_edge=False
        )
        for head in ("cut at", "may lie from", "to"):
            cuts.add_column(head, justify="right")
        for cut in bucked.cuts:
            cuts.add_row(long(cut.at), long(cut.low), long(cut.high))
        cuts.caption = (
            "Moved so far, the whole loses less than 1 % by a quick look; the other cuts move along."
        )
        cuts.caption_justify = "left"
        console.print(cuts)
    pieces = Table(title="Pieces", title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
    unit = length_unit(system)
    for head in (
        "piece",
        "from",
        "to",
        "length",
        f"small end [{unit}]",
        f"sweep [{unit}]",
        "turned",
        "slabs",
        "net",
        "weight up to",
    ):
        pieces.add_column(head, justify="right")
    for piece in bucked.pieces:
        pieces.add_row(
            str(piece.number),
            long(piece.start),
            long(piece.end),
            long(piece.length),
            in_column(piece.small_end, system),
            in_column(piece.sweep, system),
            f"{math.degrees(math.remainder(piece.plan.roll, math.tau)):+.0f}°",
            str(len(piece.plan.slabs)),
            amount(plan, piece.net),
            show_mass(_weight(piece.plan, job), system, up=True),
        )
    pieces.caption = (
        "Sweep: from the piece's own pith line. Turned: + anticlockwise, seen from the butt. "
        "Weight: of the piece, green with bark, high figure."
    )
    pieces.caption_justify = "left"
    console.print(pieces)
    for start, end in bucked.waste:
        console.print(f"From {long(start)} to {long(end)} nothing is sawn.")
    ways = Table(title="Other ways", title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
    ways.add_column("way")
    for head in ("pieces", "net"):
        ways.add_column(head, justify="right")
    for way in bucked.ways:
        told = " + ".join(long(b - a) for a, b in way.pieces)
        ways.add_row(way.name, told, amount(plan, way.net))
    console.print(ways)
    console.print(
        f"{bucked.considered} pieces considered, {bucked.full} searched in full; the quick look "
        f"erred by up to {show_share(bucked.rough_error)} on those."
    )
    for remark in job.remarks:
        console.print(f"• {remark}")
    console.print(
        "A stem under tension can split, kick or roll as it is cut across: read the bind, stand on the upper "
        "side, and follow the maker's manual, local codes and licensed practice.",
        style="italic",
    )


def _weight(plan: Any, job: Job) -> float:
    """Of the whole piece, bark taken as heavy as the heaviest wood. [kg]"""
    from pithline.log.volume import volume_by_integration

    return float(volume_by_integration(plan.shape, over_bark=True) * job.timber.density_high)
