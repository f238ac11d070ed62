"""``pithline log``: what a measured log holds, and what was only assumed about it."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from pithline.cli.log_input import log_options, read_document, record_of

if TYPE_CHECKING:
    from pithline.log.account import LogAccount
    from pithline.units import System

__all__ = ["as_json", "command"]

SCHEMA = "pithline/log/1"


@click.command(
    "log",
    epilog="""
\b
Examples:
  pithline log demo/hollow-oak.toml
  pithline log --species "red oak" --length "4.2 m" --butt "82 cm" --top "64 cm"
  pithline log demo/hollow-oak.toml --station "0.9 m: 73 cm" --json
  pithline log --schema

\b
Weights are estimates: for lifting, rolling and loads take the high figure, and
keep to the gear's rated load, the maker's manual and local rules.
""",
)
@log_options
@click.option(
    "--units", type=click.Choice(["metric", "inch"]), help="Of the tables; else as the length was given."
)
@click.option("--json", "as_data", is_flag=True, help="Print one JSON object instead of tables.")
@click.option("--schema", is_flag=True, help="Print the JSON Schema of a record file, and stop.")
def command(file: Path | None, units: System | None, as_data: bool, schema: bool, **options: Any) -> None:
    """Read a measured log; show its volume, log scales, weight, and what was assumed.

    FILE is a record in TOML ("-" reads standard input); options overrule what it says.
    Without a file the options alone are the record.
    """
    if schema:
        click.echo(json.dumps(record_schema(), indent=2))
        return
    from pithline.log.account import account_for

    account = account_for(record_of(read_document(file), options))
    if as_data:
        click.echo(json.dumps(as_json(account), indent=2, ensure_ascii=False))
    else:
        _show(account, units or account.record.system)
    for question in account.questions:
        click.echo(f"Question: {question}", err=True)


def record_schema() -> dict[str, Any]:
    """JSON Schema of the ``log`` and ``lie`` tables of a record file."""
    from pithline.field_schema import schema
    from pithline.log.declared import RECORD
    from pithline.log.written import OTHER_TABLES

    described = schema(RECORD, "pithline/log-record/1")
    described["properties"] |= {
        name: {"type": "object", "description": "Read by the planner."} for name in OTHER_TABLES
    }
    return described


def as_json(account: LogAccount) -> dict[str, Any]:
    """The account as it leaves the program; units stand in the keys."""
    from pithline.log.outline import mean_diameter

    record, shape, lie = account.record, account.shape, account.lie
    scribner, weight = account.scribner, account.weight
    return {
        "schema": SCHEMA,
        "name": record.name,
        "species": {"name": record.species.name, "scientific": record.species.scientific},
        "length_m": record.length,
        "felled": record.felled.isoformat() if record.felled else None,
        "notes": record.notes,
        "taper_m_per_m": record.taper(),
        "diameters_under_bark_m": {
            "butt": account.butt_diameter,
            "middle": account.middle_diameter,
            "top": account.top_diameter,
        },
        "stations": [
            {
                "at_m": float(z),
                "mean_diameter_under_bark_m": mean_diameter(outline),
                "bark_m": float(bark),
                "left_m": float(-outline[:, 0].min()),
                "right_m": float(outline[:, 0].max()),
                "up_m": float(outline[:, 1].max()),
                "down_m": float(-outline[:, 1].min()),
            }
            for z, outline, bark in zip(shape.z, shape.outlines, shape.bark, strict=True)
        ],
        "zones": [
            {
                "kind": str(zone.kind),
                "from_m": zone.start,
                "to_m": zone.end,
                "right_of_pith_m": zone.x,
                "above_pith_m": zone.y,
                "radius_m": zone.radius,
                "note": zone.note,
            }
            for zone in shape.zones
        ],
        "lie": {
            "pith_above_ground_butt_m": lie.pith_butt,
            "pith_above_ground_top_m": lie.pith_top,
            "underside_above_ground_butt_m": lie.bearer_butt,
            "underside_above_ground_top_m": lie.bearer_top,
            "side_slope_m_per_m": lie.side_slope,
            "powerhead_room_m": lie.powerhead_room,
        },
        "volume": {
            "under_bark_m3": account.integrated,
            "over_bark_m3": account.over_bark,
            "bark_m3": account.bark,
            "smalian_m3": account.smalian,
            "huber_m3": account.huber,
            "newton_m3": account.newton,
            "cone_m3": account.cone,
            "neiloid_m3": account.neiloid,
            "hoppus_feet": account.hoppus_feet,
        },
        "scales": {
            "diameter_in": account.scale_diameter,
            "length_ft": account.scale_length,
            "doyle_bf": account.doyle,
            "international_quarter_inch_bf": account.international,
            "scribner_decimal_c_bf": scribner.board_feet if scribner else None,
            "scribner_decimal_c_mark": scribner.mark if scribner else None,
        },
        "weight_green_kg": None
        if weight is None
        else {"low": weight.low, "mid": weight.mid, "high": weight.high, "basis": list(weight.basis)},
        "assumptions": [
            {"field": a.field, "value": a.value, "low": a.low, "high": a.high, "why": a.why}
            for a in record.assumptions
        ],
        "questions": list(account.questions),
    }


def _show(account: LogAccount, system: System) -> None:
    from rich.console import Console
    from rich.table import Table

    from pithline.units import show_length, show_mass, show_share, show_volume

    def long(metres: float) -> str:
        return show_length(metres, system, "long")

    def fine(metres: float) -> str:
        return show_length(metres, system)

    cubic: Literal["m3", "ft3"] = "m3" if system == "metric" else "ft3"
    record, weight = account.record, account.weight
    # No markup: a person's own words may hold brackets.
    console = Console(file=sys.stdout, highlight=False, markup=False)
    console.print(f"{record.name}: {record.species.name} ({record.species.scientific})", style="bold")
    if record.notes:
        console.print(record.notes)

    read = Table(title="As measured, under bark", title_justify="left")
    for heading in ("at", "mean diameter", "left", "right", "up", "down", "bark"):
        read.add_column(heading, justify="right")
    shape = account.shape
    # A swept log has stations in between that nobody taped.
    taped = {0.0, record.length, *(s.at for s in record.stations)}
    for row in as_json(account)["stations"]:
        if any(abs(row["at_m"] - z) < 1e-6 for z in taped):
            sides = (fine(row[f"{side}_m"]) for side in ("left", "right", "up", "down"))
            read.add_row(
                long(row["at_m"]), fine(row["mean_diameter_under_bark_m"]), *sides, fine(row["bark_m"])
            )
    console.print(read)
    for zone in shape.zones:
        note = f": {zone.note}" if zone.note else ""
        console.print(
            f"{zone.kind} from {long(zone.start)} to {long(zone.end)}, radius {fine(zone.radius)}{note}"
        )
    lie = account.lie
    console.print(f"Pith mark above the ground: butt {fine(lie.pith_butt)}, top {fine(lie.pith_top)}")

    held = Table(title="Volume under bark", title_justify="left")
    held.add_column("by")
    held.add_column("volume", justify="right")
    held.add_column("against the shape", justify="right")
    for name, value in (
        ("integration of the shape", account.integrated),
        ("Newton (ends and middle)", account.newton),
        ("Huber (middle)", account.huber),
        ("Smalian (ends)", account.smalian),
        ("cone (ends)", account.cone),
        ("neiloid (ends)", account.neiloid),
    ):
        off = value / account.integrated - 1
        held.add_row(name, show_volume(value, cubic), f"{off * 100:+.1f} %" if abs(off) > 5e-4 else "")
    console.print(held)
    console.print(
        f"Over bark {show_volume(account.over_bark, cubic)}, of which bark "
        f"{show_share(account.bark / account.over_bark)}. "
        f"All of the wood would be {show_volume(account.integrated, 'bf')}."
    )

    scaled = Table(
        title=f'Log scales for {account.scale_diameter}" x {account.scale_length} ft', title_justify="left"
    )
    scaled.add_column("scale")
    scaled.add_column("holds", justify="right")
    scaled.add_column("mark")
    scaled.add_row("Doyle", f"{account.doyle:.0f} bf", "formula")
    scaled.add_row("International 1/4-inch", f"{account.international:.0f} bf", "formula, not rounded to 5")
    scribner = account.scribner
    scaled.add_row(
        "Scribner Decimal C",
        *((f"{scribner.board_feet} bf", scribner.mark) if scribner else ("-", "no such log in the table")),
    )
    scaled.add_row("hoppus", f"{account.hoppus_feet:.1f} hoppus ft", "mid girth under bark")
    console.print(scaled)
    if weight is None:
        console.print("Green weight: nothing is known about the density of this wood.")
    else:
        console.print(
            f"Green weight with bark: about {show_mass(weight.mid, system)} "
            f"({show_mass(weight.low, system)} to {show_mass(weight.high, system, up=True)}). "
            "For lifting and rolling take the high figure, and keep to the gear's rated load and local rules."
        )

    if record.assumptions:
        console.print("Assumed, not measured", style="italic")
        for a in record.assumptions:
            others = " or ".join(text for text in (a.low, a.high) if text != a.value)
            console.print(f"  {a.field}: {a.value} (might be {others})")
            console.print(f"    {a.why}", style="dim")
