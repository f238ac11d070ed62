"""``pithline kiln sample``: the step that the sample boards have reached."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pithline.cli.kiln_input import bulb, kiln_of, kiln_option, pressure_of

if TYPE_CHECKING:
    from pithline.dry.kiln.equalise import Hold
    from pithline.dry.kiln.steps import Setting

__all__ = ["sample"]


@click.command(
    "sample",
    epilog="""
\b
Examples:
  pithline kiln sample --code T3-C1 --at "34 %" --at "31 %" --at "29 %" --at "26 %"
  pithline kiln sample --code T3-C1 --board "4.14 lb of 2.68 lb" --kiln container --json
  pithline kiln sample --code T3-D1 --at "52 %" --before "56 %" --days 2 --species "red oak" --thickness 8/4
  pithline kiln sample --code T3-C1 --at "7.6 %" --at "7.1 %" --at "6.4 %" --at "5.9 %" --target "8 %"
""",
)
@click.option("--code", required=True, metavar="CODE", help='Schedule of the load: "T3-C1".')
@click.option("--at", "moistures", multiple=True, metavar="SHARE", help="Moisture of a board. Repeat.")
@click.option(
    "--board",
    "boards",
    multiple=True,
    metavar="W of D",
    help='Instead, its weight and oven-dry weight: "4.14 lb of 2.68 lb".',
)
@click.option(
    "--before",
    "befores",
    multiple=True,
    metavar="SHARE",
    help="Of the same boards earlier, in the same order.",
)
@click.option("--days", metavar="NUMBER", type=float, default=1.0, show_default=True, help="Since --before.")
@click.option("--species", metavar="NAME", help="Of the load, for its safe loss.")
@click.option("--thickness", metavar="LENGTH", help="Of the load, for its safe loss.")
@click.option("--target", metavar="SHARE", default="8 %", show_default=True, help="Moisture wanted.")
@click.option("--thin", is_flag=True, help="The load is thinner than 8/4.")
@click.option("--softwood", is_flag=True, help="Equalise and condition as for softwood.")
@click.option("--conditioned", is_flag=True, help="Conditioning is over: the prongs stay straight.")
@kiln_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/kiln-sample/1).")
def sample(
    code: str,
    moistures: tuple[str, ...],
    boards: tuple[str, ...],
    befores: tuple[str, ...],
    days: float,
    species: str | None,
    thickness: str | None,
    target: str,
    thin: bool,
    softwood: bool,
    conditioned: bool,
    kiln_name: str | None,
    height: str,
    as_json: bool,
) -> None:
    """What the sample boards say: the next setting, equalise, condition, or done.

    The schedule steps on the mean of the wettest half (E. M. Wengert). Equalising and
    conditioning by the same and Agriculture Handbook 188, Ch. 7 (from memory).
    """
    from pithline import units
    from pithline.dry.kiln.equalise import finish, stage
    from pithline.dry.kiln.sample_boards import pace, read_boards
    from pithline.dry.kiln.schedules import schedule
    from pithline.dry.kiln.steps import settings
    from pithline.dry.safe_loss import safe_loss
    from pithline.errors import BadValue
    from pithline.sheets import kiln_json as records
    from pithline.wood.species import species as find

    pressure = pressure_of(height)
    wanted = units.share(target, "--target")
    here = [*(units.share(each, "--at") for each in moistures), *(_weighed(each) for each in boards)]
    read = read_boards(here)
    speed = None
    if befores:
        if species is None or thickness is None:
            raise BadValue("--before", befores[0], "given with --species and --thickness")
        safe = safe_loss(find(species, "--species"), units.length(thickness, "--thickness"))
        speed = pace([units.share(each, "--before") for each in befores], here, days, safe)
    plan = schedule(code, pressure)
    written = kiln_of(kiln_name)
    kiln = written.value
    # From above the first step down, so that the end of the run is the same wherever the boards are.
    last = settings(plan, kiln, 0.80, wanted, pressure)[-1]
    end = finish(wanted, kiln, last.temperature, not thin, not softwood, pressure)
    now = stage(read, end, conditioned)
    held = settings(plan, kiln, read.controlling, wanted, pressure)[0] if read.controlling > wanted else last
    if as_json:
        import json

        record = {
            "schema": "pithline/kiln-sample/1",
            "code": plan.code,
            "controlling_percent": round(read.controlling * 100, 4),
            "wettest_percent": round(read.wettest * 100, 4),
            "driest_percent": round(read.driest * 100, 4),
            "mean_percent": round(read.mean * 100, 4),
            "fastest_loss_percent_per_day": round(speed.fastest * 100, 4) if speed else None,
            "safe_loss_percent_per_day": records.estimate_record(speed.safe.times(100), 3) if speed else None,
            "too_fast": speed.too_fast if speed else None,
            "stage": now,
            "setting": records.settings_record([held])[0] if now == "dry" else None,
            "finish": records.finish_record(end),
            "on_the_slab": list(end.on_the_slab),
            "kiln": kiln.name,
            "assumed": [f"{a.field}: {a.text} ({a.why})" for a in written.assumed],
            "remarks": list(read.remarks),
            "steps_mark": plan.mark,
        }
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    click.echo(
        f"The wettest half stands at {read.controlling * 100:.1f} %; boards from {read.driest * 100:.1f} % "
        f"to {read.wettest * 100:.1f} %."
    )
    if speed:
        click.echo(f"{speed.told[0].upper()}{speed.told[1:]}.")
    if now == "dry":
        click.echo(f"Set {_air(held)}, down to {held.lower * 100:.0f} %.")
        for told in held.remarks:
            click.echo(f"Note: {told}.", err=True)
    elif now == "equalise":
        click.echo(f"Equalise: {_air(end.equalise)},")
        click.echo(f"until the wettest board is at {end.stop * 100:.1f} %.")
    elif now == "condition" and end.condition:
        click.echo(f"Condition: {_air(end.condition)},")
        click.echo(
            f"{end.hours[0]:.0f} to {end.hours[1]:.0f} h, until prongs cut from a section stay straight."
        )
    else:
        click.echo("The run is over.")
    if kiln_name is None:
        click.echo(f"Note: no kiln is named; a {kiln.name} is taken.", err=True)
    for told in (*read.remarks, *end.remarks, *end.on_the_slab):
        click.echo(f"Note: {told}.", err=True)
    click.echo(f"Steps: {plan.mark}, {plan.sure} confidence.", err=True)


def _air(air: Setting | Hold) -> str:
    damp = f"{air.humidity * 100:.0f} % humidity, equilibrium {air.emc * 100:.1f} %"
    return f"dry bulb {bulb(air.temperature)}, wet bulb {bulb(air.wet_bulb)}, {damp}"


def _weighed(text: str) -> float:
    from pithline import units
    from pithline.errors import BadValue
    from pithline.wood.moisture import moisture_from_weights

    wet, of, dry = text.partition(" of ")
    if not of:
        raise BadValue("--board", text, "a weight and an oven-dry weight", 'Write "4.14 lb of 2.68 lb".')
    return moisture_from_weights(units.mass(wet, "--board"), units.mass(dry, "--board"))
