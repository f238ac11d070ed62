"""``pithline drysize log``: every slab of a log's best plan, dry and flat."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.slab.outline import SlabOutline
    from pithline.units import System

__all__ = ["FREE", "log", "outline_of"]

FREE = (
    "Cup of a slab that lies free, with straight grain along it: weight on the stack holds it flatter, "
    "sloping grain twists it too."
)


@click.command(
    "log",
    epilog="""
\b
Examples:
  pithline drysize log demo/hollow-oak.toml --to "10 %" --json
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--to", "end", default="8 %", show_default=True, metavar="SHARE", help="Dried to.")
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), help="Else as the log was given.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/drysize-log/1).")
def log(file: Path, end: str, system: System | None, as_json: bool) -> None:
    """Dry every slab of the best plan for the log in FILE: sizes, final tally, what was lost."""
    from pithline import units
    from pithline.cli.plan import reckon
    from pithline.cli.plan_input import job_of
    from pithline.dry.dry_slab import dry_slab, drying_of, lost
    from pithline.saw.thickness import flattening_for
    from pithline.slab.tallying import tally

    job = job_of(file, (), {}, False)
    shown = system or job.record.system
    plan = reckon(job, 0, 1, False, lambda _: None, shown)
    moisture = units.share(end, "--to")
    drying = drying_of(job.record.species, moisture)[1]
    aims = job.aims
    kind = "m3" if aims.unit.value == "m3" else "bf"

    def counted(outline: SlabOutline, begin: float, stop: float, quarters: int | None) -> float:
        return tally(outline, aims.tally, aims.unit, begin, stop, quarters=quarters)

    rows = []
    for each in plan.slabs:
        run = (each.start, each.end)
        dry = dry_slab(each.outline, (each.upper + each.lower) / 2, drying, run)
        went = lost(each.outline, dry, *run)
        rows.append(
            {
                "slab": each.number,
                "green_thickness_m": each.outline.thickness,
                "dry_thickness_m": dry.rough.thickness,
                "dry_width_m": _mean_width(dry.rough, *run),
                "cup_m": dry.cup,
                "flat_thickness_m": dry.flat.thickness,
                "flat_if_ripped_m": dry.ripped,
                "planing_allowed_m": float(flattening_for(_mean_width(each.outline, *run), aims.flattening)),
                "check_at_pith_m": dry.check,
                f"tally_green_{kind}": counted(each.outline, *run, each.aim.quarters),
                f"tally_dry_{kind}": counted(dry.rough, *run, each.aim.quarters),
                f"tally_flat_{kind}": counted(dry.flat, *run, each.aim.quarters),
                "shrunk_away_m3": went.shrunk,
                "planed_away_m3": went.planed,
                "dry_outline": outline_of(dry.rough),
            }
        )
    if as_json:
        import json

        document = {
            "schema": "pithline/drysize-log/1",
            "log": job.record.name,
            "moisture_percent": round(moisture * 100, 6),
            "slabs": rows,
            "remark": FREE,
        }
        click.echo(json.dumps(document, indent=2, ensure_ascii=False))
        return
    _show_rows(rows, kind, shown)
    click.echo(FREE, err=True)


def _show_rows(rows: list[dict[str, Any]], kind: str, system: System) -> None:
    from pithline import units

    def size(value: float) -> str:
        return units.show_length(value, system, fine=True)

    head = (
        "slab",
        "green",
        "dry",
        "width",
        "cup",
        "flat",
        "ripped",
        f"{kind} green",
        f"{kind} dry",
        f"{kind} flat",
    )
    digits = 3 if kind == "m3" else 1
    table: list[tuple[str, ...]] = [head]
    for row in rows:
        sizes = (
            "green_thickness_m",
            "dry_thickness_m",
            "dry_width_m",
            "cup_m",
            "flat_thickness_m",
            "flat_if_ripped_m",
        )
        counts = (f"tally_{what}_{kind}" for what in ("green", "dry", "flat"))
        pith = "*" if row["check_at_pith_m"] > 0 else ""
        table.append(
            (
                f"{row['slab']}{pith}",
                *(size(row[key]) for key in sizes),
                *(f"{row[key]:.{digits}f}" for key in counts),
            )
        )
    sums = (sum(row[f"tally_{what}_{kind}"] for row in rows) for what in ("green", "dry", "flat"))
    table.append(("all", "", "", "", "", "", "", *(f"{each:.{digits}f}" for each in sums)))
    wide = [max(len(line[i]) for line in table) for i in range(len(head))]
    for line in table:
        click.echo("  ".join(f"{cell:>{w}}" for cell, w in zip(line, wide, strict=True)).rstrip())
    shrunk, planed = (sum(row[key] for row in rows) for key in ("shrunk_away_m3", "planed_away_m3"))
    click.echo("ripped: flat thickness if first ripped in two along the pith or the middle.")
    click.echo(f"Shrunk away {units.show_volume(shrunk)}, planed away {units.show_volume(planed)}.")
    if any(row["check_at_pith_m"] > 0 for row in rows):
        click.echo("* holds the pith and will check there.")


def _mean_width(outline: SlabOutline, start: float, end: float) -> float:
    from pithline.slab.tallying import face_area

    return face_area(outline.z, (outline.upper_width + outline.lower_width) / 2, start, end) / (end - start)


def outline_of(dry: SlabOutline) -> dict[str, Any]:
    """Both faces of a dried slab along its length, left and right of the pith. [m]"""
    return {
        "at_m": dry.z.round(6).tolist(),
        "upper_edges_m": dry.upper.round(6).tolist(),
        "lower_edges_m": dry.lower.round(6).tolist(),
    }
