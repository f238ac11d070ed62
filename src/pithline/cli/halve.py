"""``pithline halve``: a log too wide for the bar, halved or quartered first."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click

from pithline.cli.log_input import log_options
from pithline.cli.plan_input import job_of, plan_options

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.aims import PithRule
    from pithline.saw.parts.halving import Halved, Part
    from pithline.saw.plan import Plan
    from pithline.units import System

__all__ = ["command"]


@click.command(
    "halve",
    epilog="""
\b
Examples:
  pithline halve demo/hollow-oak.toml --bar "60 cm"
  pithline halve demo/hollow-oak.toml --bar "60 cm" --quarters --json
  pithline halve demo/hollow-oak.toml --bar "75 cm" --trim

\b
A half log can roll or split open under stress as the first cut ends: wedge and chock both halves, stand
uphill, and follow the maker's manual, local codes and licensed practice.
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
@click.option("--quarters", is_flag=True, help="Part each half once more, square to the first cut.")
@click.option(
    "--lay",
    type=click.Choice(["best", "flat down", "flat up", "on edge"]),
    default="best",
    show_default=True,
    help="How the parts lie when they are sawn, seen from the first cut's face.",
)
@click.option("--trim", is_flag=True, help="Take the bulge off the sides instead of parting the log.")
@click.option("--both-sides", is_flag=True, help="Logs and parts may be turned over part way.")
@click.option("--json", "as_data", is_flag=True, help="Print one JSON object (schema pithline/halve/1).")
def command(
    file: Path | None,
    more: tuple[Path, ...],
    quarters: bool,
    lay: str,
    trim: bool,
    both_sides: bool,
    as_data: bool,
    **options: Any,
) -> None:
    """Part a log through its pith first, plan every part, and compare with the whole log.

    With --trim its sides are trimmed instead, so that the bar spans what is left.

    FILE is a record in TOML ("-" reads standard input), as for `pithline plan`.
    """
    from pithline.saw.parts.halving import Lay, halve

    job = job_of(file, more, options, both_sides)
    if trim:
        _trim(job, quarters or lay != "best", as_data)
        return
    chosen: Lay = next(k for k in get_args(Lay) if k == lay)
    shape = job.record.to_shape()
    found = halve(
        shape, job.record.lie(), job.mill, job.aims, job.rates, job.timber, quarters=quarters, lay=chosen
    )
    if as_data:
        click.echo(json.dumps(_document(found), indent=2, ensure_ascii=False))
    else:
        _show(found, job.aims.pith, job.record.system)


def _trim(job: Job, parted: bool, as_data: bool) -> None:
    from pithline.cli.halve_trim import show_trims, trim_document, trims_of

    if parted:
        raise click.UsageError("--trim leaves the log in one piece: leave out --quarters and --lay.")
    document = trim_document(*trims_of(job), job)
    if as_data:
        click.echo(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        show_trims(document, job.record.system)


def _part(part: Part) -> dict[str, Any]:
    from pithline.sheets.plan_json import plan_document

    plan = part.plan
    return {
        "name": part.name,
        "lay": part.lay,
        "roll_deg": None if plan is None else round(math.degrees(plan.roll), 3),
        **_sums(plan),
        "plan": None if plan is None else plan_document(plan),
    }


def _sums(plan: Plan | None) -> dict[str, Any]:
    if plan is None:
        return {"slabs": 0, "cuts": 0, "net": 0.0, "tally": 0.0, "area_m2": 0.0, "minutes": 0.0}
    return {
        "slabs": len(plan.slabs),
        "cuts": len(plan.cuts),
        "net": plan.net,
        "tally": plan.tally,
        "area_m2": plan.area,
        "minutes": plan.minutes,
    }


def _document(found: Halved) -> dict[str, Any]:
    some = found.plans[0]
    return {
        "schema": "pithline/halve/1",
        "currency": some.rates.currency,
        "tally_unit": str(some.aims.unit),
        "first_cuts": [
            {
                "roll_deg": round(math.degrees(c.roll), 3),
                "width_mm": 1000 * c.width,
                "passes": c.passes,
                "area_m2": c.area,
                "minutes": c.minutes,
                "cost": c.cost,
            }
            for c in found.partings
        ],
        "parts": [_part(p) for p in found.parts],
        "orders": [{"name": o.name, "wanted": o.wanted, "cut": o.cut} for o in found.orders],
        "parted": {
            "slabs": sum(len(p.slabs) for p in found.plans),
            "cuts": found.cuts,
            "net": found.net,
            "tally": found.tally,
            "area_m2": found.area,
            "minutes": found.minutes,
        },
        "whole": _sums(found.whole),
    }


def _show(found: Halved, asked: PithRule, system: System) -> None:
    from pithline.cli.plan_tables import show_part
    from pithline.units import show_area, show_length

    data = _document(found)
    for cut in data["first_cuts"]:
        width = show_length(cut["width_mm"] / 1000, system)
        click.echo(
            f"First cut at {cut['roll_deg']:.0f}° from level, {width} wide, "
            f"{'one pass' if cut['passes'] == 1 else 'two passes from opposite sides'}, "
            f"{show_area(cut['area_m2'], system)}, {cut['minutes']:.0f} min"
        )
    click.echo()
    heads = ("part", "lies", "slabs", "cuts", "tally", "net", "m2", "min")
    rows = [(p["name"], p["lay"], p) for p in data["parts"]]
    rows += [("all parts, first cuts paid", "", data["parted"]), ("the whole log", "", data["whole"])]
    click.echo(f"{heads[0]:<27}{heads[1]:<10}" + "".join(f"{h:>9}" for h in heads[2:]))
    for name, lay, r in rows:
        figures = f"{r['slabs']:>9}{r['cuts']:>9}{r['tally']:>9.4g}{r['net']:>9.2f}"
        click.echo(f"{name:<27}{lay:<10}{figures}{r['area_m2']:>9.2f}{r['minutes']:>9.0f}")
    for order in data["orders"]:
        whole = next((o.cut for o in found.whole.orders if o.name == order["name"]), 0) if found.whole else 0
        click.echo(
            f"Order {order['name']}: {order['cut']} of {order['wanted']} cut from the parts, "
            f"{whole} from the whole log."
        )
    unit, money = data["tally_unit"], data["currency"]
    click.echo(f"\nTally in {unit}; net in {money or unit}. Turning and laying the parts is not counted.")
    rule = found.plans[0].aims.pith
    if rule != asked:
        names = rule.name.lower(), asked.name.lower()
        click.echo(f"Pith rule of the parts: {names[0]}, not {names[1]}: the first cut runs along the pith.")
    click.echo()
    for part in found.parts:
        if part.plan is not None:
            show_part(part.plan, f"{part.name.capitalize()}, {part.lay}", system)
    click.echo(
        "The first cut passes the pith: mark it on both ends before, faces are measured from there.\n"
        "A half log can roll or split open under stress as the first cut ends: wedge and chock both halves, "
        "stand uphill, and follow the maker's manual, local codes and licensed practice."
    )
