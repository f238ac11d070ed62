"""``pithline kiln load``: what is expected of a load in a kiln."""

from __future__ import annotations

from pathlib import Path

import click

from pithline.cli.kiln_input import bulb, kiln_of, kiln_option, pressure_of

__all__ = ["load"]


@click.command(
    "load",
    epilog="""
\b
Examples:
  pithline kiln load demo/kiln.toml
  pithline kiln load demo/kiln.toml --kiln container --target "8 %" --price "0.30 EUR per kWh" --json
  pithline kiln load demo/kiln.toml --sheet kiln-log.pdf
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--target", metavar="SHARE", default="8 %", show_default=True, help="Moisture wanted.")
@click.option("--code", metavar="CODE", help='A schedule in place of the printed one: "T3-B1".')
@click.option("--price", metavar="PRICE", help='Of energy: "0.30 EUR per kWh".')
@click.option(
    "--days-by",
    type=click.Choice(["diffusion", "relation"]),
    default="diffusion",
    show_default=True,
    help="Diffusion through the thickest slab, or the published red-oak relation.",
)
@kiln_option
@click.option(
    "--sheet", type=click.Path(path_type=Path), metavar="FILE", help="Write the kiln log to fill in (PDF)."
)
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/kiln-load/1).")
def load(
    file: Path,
    target: str,
    code: str | None,
    price: str | None,
    days_by: str,
    kiln_name: str | None,
    height: str,
    sheet: Path | None,
    paper: str,
    as_json: bool,
) -> None:
    """Plan the run of a load: FILE holds the tables [kiln] and [[load]].

    The wettest and the thickest slab rule it. Each step takes the longest of three: the wood by itself,
    the water the kiln takes, the safe daily loss.
    """
    from pithline import units
    from pithline.cli.log_input import read_document
    from pithline.dry.kiln.load import read_load
    from pithline.dry.kiln.run import CAUTIONS, kiln_run
    from pithline.dry.kiln.written import energy_price
    from pithline.errors import BadValue
    from pithline.sheets.kiln_json import estimate_record, run_record

    document = read_document(file)
    for key in document:
        if key not in ("kiln", "load"):
            raise BadValue(key, "a table", "[kiln] or [[load]]", "Leave it out.")
    written = kiln_of(kiln_name, document.get("kiln"))
    pieces = read_load(document.get("load"))
    run = kiln_run(
        pieces, written.value, units.share(target, "--target"), pressure_of(height), code,
        "relation" if days_by == "relation" else "diffusion",
    )  # fmt: skip
    cost = None
    if price:
        each, currency = energy_price(price, "--price")
        cost = (run.energy.times(each), currency)
    if sheet:
        from datetime import date

        from pithline.cli.plan_files import write_all
        from pithline.sheets.kiln_log import kiln_log

        dated = date.today().isoformat()  # noqa: DTZ011  (a sheet bears the date of its place)
        write_all([("--sheet", sheet, kiln_log(run, written.value, pieces, paper, dated))])
        click.echo(f"Wrote {sheet}.", err=True)
    if as_json:
        import json

        record = {"schema": "pithline/kiln-load/1", "slabs": len(pieces), **run_record(run, written.value)}
        if cost:
            record["energy_cost_money"] = {**estimate_record(cost[0], 2), "currency": cost[1]}
        record["assumed"] = [f"{a.field}: {a.text} ({a.why})" for a in written.assumed]
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    led = run.lead
    click.echo(
        f"{len(pieces)} slabs in the {written.value.name}, by {led.choice.code} ({led.choice.row.cited()})."
    )
    click.echo(
        f"It goes by {led.slowest.name or led.slowest.species.name}; the thickest slab has "
        f"{units.show_length(led.thickest.thickness)}, the wettest {units.show_share(led.wettest.moisture)}; "
        f"it begins at {units.show_share(led.start)}."
    )
    if run.rest_hours:
        low, high = run.rest_hours
        click.echo(
            f"First {low:.0f} to {high:.0f} h of air as damp as the kiln can make it: the stock is air-dried."
        )
    click.echo("moisture        dry bulb          wet bulb          humidity  days   limited by")
    for step in run.steps:
        s, d = step.setting, step.days
        moisture = f"{s.upper * 100:.0f} % to {s.lower * 100:.0f} %"
        click.echo(
            f"{moisture:<15} {bulb(s.temperature):<17} {bulb(s.wet_bulb):<17} {s.humidity * 100:>5.0f} %  "
            f"{d.mid:>5.1f}   {step.limit}{'' if s.within else ' *'}"
        )
    click.echo(
        f"Days: {run.days.mid:.0f} ({run.days.low:.0f} to {run.days.high:.0f}), equalising not counted."
    )
    click.echo(f"Water: {run.water.mid:.0f} kg ({run.water.low:.0f} to {run.water.high:.0f}).")
    click.echo(f"Energy: {run.energy.mid:.0f} kWh ({run.energy.low:.0f} to {run.energy.high:.0f}).")
    if cost:
        money, currency = cost
        click.echo(f"Energy costs {money.mid:.2f} {currency} ({money.low:.2f} to {money.high:.2f}).")
    for told in run.on_the_slab:
        click.echo(f"On the slabs: {told}.")
    notes = [*run.remarks, *dict.fromkeys(told for step in run.steps for told in step.setting.remarks)]
    for told in notes:
        click.echo(f"Note: {told}.", err=True)
    for a in written.assumed:
        click.echo(f"assumed {a.field} = {a.text} ({a.why})", err=True)
    for told in CAUTIONS:
        click.echo(told, err=True)
