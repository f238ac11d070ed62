"""``pithline charge``: which slabs go into the next kiln load, and how they lie."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.dry.laying.charge import Charge
    from pithline.dry.laying.layers import Room
    from pithline.dry.laying.nesting import Progress
    from pithline.dry.laying.share import SpaceShare
    from pithline.dry.laying.written import WrittenSlab
    from pithline.units import System

__all__ = ["command"]

_SOON = 2.0  # [s] what is done by then needs no word into a file


@click.command(
    "charge",
    epilog="""
\b
Examples:
  pithline charge demo/charge.toml
  pithline charge demo/charge.toml --cost "310 EUR" --days "30 d" --json
  pithline charge demo/charge.toml --kiln "small dehumidifier" --rounds 10 --svg layers.svg

\b
Stacks tip and slabs slide: chock, lift with help, keep feet clear; local codes,
the maker's manual and licensed practice come first.
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--kiln",
    "kiln_name",
    metavar="NAME|FILE",
    help='Whose room: "small dehumidifier", "solar", "container", or a TOML file with a table [kiln].',
)
@click.option("--tolerance", default="3 mm", show_default=True, metavar="LENGTH", help="Within a layer.")
@click.option("--cost", metavar="MONEY", help='Of the whole load, to be shared: "310 EUR".')
@click.option("--days", metavar="DAYS", help='The load runs: "30 d".')
@click.option(
    "--rounds", type=click.IntRange(0, 400), help="Searches for each thickness: more may find more."
)
@click.option("--svg", type=click.Path(path_type=Path), metavar="FILE", help="Draw the layers from above.")
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), default="metric", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/charge/1).")
def command(
    file: Path,
    kiln_name: str | None,
    tolerance: str,
    cost: str | None,
    days: str | None,
    rounds: int | None,
    svg: Path | None,
    system: System,
    as_json: bool,
) -> None:
    """Plan a kiln load: FILE holds the tables [room] (or [kiln]), [sticks] and [[slab]].

    Slabs of one thickness share a layer; they are turned end for end and over and slid together
    till they touch. The layers are compared with the fewest of bounding rectangles, and with
    what no plan can beat.
    """
    from pithline import units
    from pithline.cli.log_input import read_document
    from pithline.dry.laying.charge import plan_charge
    from pithline.dry.laying.nesting import Effort
    from pithline.dry.laying.share import shared
    from pithline.dry.laying.written import read_slabs, read_sticks
    from pithline.errors import BadValue

    document = read_document(file)
    for key in document:
        if key not in ("room", "kiln", "sticks", "slab"):
            raise BadValue(key, "a table", "[room], [kiln], [sticks] or [[slab]]", "Leave it out.")
    if (cost is None) != (days is None):
        raise BadValue("--cost and --days", "one of them", "given together", 'Add --days "30 d".')
    money = _money(cost) if cost else None
    ran = _days(days) if days else None
    written = read_slabs(document.get("slab"))
    slabs = [one.footprint for one in written]
    room, assumed = _room(document, kiln_name)
    sticks = read_sticks(document.get("sticks"), room.floor.length, slabs)
    charge = plan_charge(
        slabs,
        room,
        sticks,
        tolerance=units.length(tolerance, "--tolerance"),
        wanted=_wanted(written),
        must=[one.footprint.name for one in written if one.said["must"]],
        effort=Effort() if rounds is None else Effort(rounds=rounds),
        progress=_progress(),
    )
    shares: tuple[SpaceShare, ...] = ()
    if money and ran:
        inside = {laid.slab.name for layer in charge.layers for laid in layer.slabs}
        own = {one.footprint.name: one.said["days"] for one in written if one.said["days"]}
        shares = shared(charge, money[0], ran, {name: its for name, its in own.items() if name in inside})
    if svg:
        from pithline.cli.plan_files import write_all
        from pithline.sheets.layer_view import layer_view

        drawn = layer_view(charge.layers, room.floor, charge.stickers, "Kiln load, layers from above", system)
        write_all([("--svg", svg, drawn.encode())])
        click.echo(f"Wrote {svg}.", err=True)
    if as_json:
        _print_json(charge, shares, money, assumed)
    else:
        _print(charge, shares, money, system)
    for told in assumed:
        click.echo(f"assumed {told}", err=True)


def _room(document: dict[str, Any], kiln_name: str | None) -> tuple[Room, list[str]]:
    """From the table [room], else from a kiln."""
    from pithline.cli.kiln_input import kiln_of
    from pithline.dry.laying.contact import Floor
    from pithline.dry.laying.layers import Room
    from pithline.dry.laying.written import read_floor
    from pithline.errors import BadValue
    from pithline.fields import missing

    if "room" in document and kiln_name is None:
        floor, height = read_floor(document["room"])
        if height is None:
            raise missing("room.height", 'height = "1.2 m"')
        return Room(floor, height), []
    if kiln_name is None and "kiln" not in document:
        raise BadValue("room", "missing", "given, or a kiln", 'Add a table [room], or say --kiln "solar".')
    written = kiln_of(kiln_name, document.get("kiln"))
    kiln = written.value
    sizes = ("kiln.length", "kiln.width", "kiln.height")
    told = [f"{a.field} = {a.text} ({a.why})" for a in written.assumed if a.field in sizes]
    return Room(Floor(kiln.length, kiln.width), kiln.height), told


def _wanted(written: Sequence[WrittenSlab]) -> dict[str, float] | None:
    """How much each is wanted; its volume in litres where nobody said."""
    if all(one.said["wanted"] is None for one in written):
        return None
    return {
        one.footprint.name: one.footprint.area * one.footprint.thickness * 1000
        if one.said["wanted"] is None
        else one.said["wanted"]
        for one in written
    }


def _money(text: str) -> tuple[float, str]:
    import re

    from pithline.errors import BadValue

    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*([A-Za-z]{3})\s*", text)
    if not found:
        raise BadValue("--cost", text, "an amount and its currency", 'Write "310 EUR".')
    return float(found[1]), found[2].upper()


def _days(text: str) -> float:
    from pithline.dry.laying.written import days

    return days(text, "--days")


def _progress() -> Progress:
    """Where somebody watches, a line that is written over; else a line for each thickness that takes long."""
    import sys
    import time

    if sys.stderr.isatty():
        return lambda text, share: click.echo(f"\r{share * 100:3.0f} %  {text:<70}", nl=share >= 1, err=True)
    began, told = time.monotonic(), set[str]()

    def say(text: str, share: float) -> None:
        thickness = text.partition(":")[0]
        if thickness not in told and time.monotonic() - began > _SOON:
            told.add(thickness)
            click.echo(f"{share * 100:.0f} %  {text}", err=True)

    return say


def _print_json(
    charge: Charge, shares: Sequence[SpaceShare], money: tuple[float, str] | None, assumed: list[str]
) -> None:
    import json

    from pithline.dry.laying.share import air_share
    from pithline.sheets.charge_json import charge_record, share_record

    record: dict[str, Any] = {"schema": "pithline/charge/1", **charge_record(charge)}
    if money:
        record["cost_money"], record["currency"] = money
        record["air_cost_fraction"] = air_share(shares)
        record["shares"] = share_record(shares, money[1])
    record["assumed"] = assumed
    click.echo(json.dumps(record, indent=2, ensure_ascii=False))


def _print(
    charge: Charge, shares: Sequence[SpaceShare], money: tuple[float, str] | None, system: System
) -> None:
    from pithline import units
    from pithline.dry.laying.share import air_share
    from pithline.sheets.charge_words import charge_head, choice_line, laid_words, shelf_line

    click.echo(charge_head(charge, system))
    for shelf in charge.shelves:
        click.echo(shelf_line(shelf, system))
    if choice := choice_line(charge):
        click.echo(choice)
    for n, layer in enumerate(charge.layers, 1):
        click.echo(f"\nLayer {n}, {units.show_length(layer.thickness, system)}, {layer.filled * 100:.0f} %:")
        for laid in layer.slabs:
            told = laid_words(laid, system)
            click.echo(
                f"  {told.slab:<10} {told.along:>7} in; "
                f"left edge {told.near} there, {told.far} at its far end; {told.how}"
            )
    for out in charge.left_out:
        click.echo(f"Stays out: {out.name}, {out.why}.")
    if money:
        click.echo(f"\n{money[0]:.2f} {money[1]} shared; {air_share(shares) * 100:.0f} % of it dried air.")
        for one in shares:
            click.echo(f"  {one.name:<10} {one.cost:>9.2f}  of that for air {one.air_cost:>9.2f}")
