"""``pithline reading due``: when a stack is looked after next, and what it is warned of."""

from __future__ import annotations

import json

import click

__all__ = ["due"]


@click.command(
    "due",
    epilog="""
\b
Examples:
  pithline reading due --moisture "45 %"
  pithline reading due --moisture "55 %" --species "red oak" --thickness "80 mm" --loss "0.9 %"
  pithline reading due --moisture "38 %" --shell "24 %" --temperature "18 C" --rate 0.5 --json
""",
)
@click.option("--moisture", required=True, metavar="SHARE", help="Mean now, by weight or as expected.")
@click.option("--species", metavar="NAME", help="With --thickness and --loss: is it too fast?")
@click.option("--thickness", metavar="LENGTH", help="Green.")
@click.option("--loss", metavar="SHARE", help="Of the mean in a day.")
@click.option("--shell", metavar="SHARE", help="Near the face; with --temperature: can fungi grow?")
@click.option("--temperature", metavar="TEMPERATURE", help="Mean of the air.")
@click.option(
    "--rate", type=float, metavar="NUMBER", help="Drying rate by its readings, at most; 1 as expected."
)
@click.option("--covered", is_flag=True, help="Something lies on it against rain.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/reading-due/1).")
def due(
    moisture: str,
    species: str | None,
    thickness: str | None,
    loss: str | None,
    shell: str | None,
    temperature: str | None,
    rate: float | None,
    covered: bool,
    as_json: bool,
) -> None:
    """Days to the next weighing and the next turning, and warnings, as the drying pages have them."""
    from pithline import units
    from pithline.dry.safe_loss import safe_loss
    from pithline.dry.watching import (
        TURN_EVERY,
        Warned,
        fungus_window,
        pace_warning,
        slow_warning,
        weigh_every,
    )
    from pithline.errors import BadValue
    from pithline.wood.species import species as wood

    _together({"--species": species, "--thickness": thickness, "--loss": loss})
    _together({"--shell": shell, "--temperature": temperature})
    if rate is not None and not 0 < rate < 20:  # NaN fails here too
        raise BadValue("--rate", rate, "more than 0 and under 20", "1 is as expected of the wood.")
    now = units.share(moisture, "--moisture")
    days = weigh_every(now)
    safe = None
    found: list[Warned | None] = []
    if species and thickness and loss:
        safe = safe_loss(wood(species, "--species"), units.length(thickness, "--thickness"))
        found.append(pace_warning(units.share(loss, "--loss"), safe.low, safe.mid, now))
    if rate is not None:
        found.append(slow_warning(rate, now, covered))
    if shell and temperature:
        warm = units.temperature(temperature, "--temperature")
        found.append(fungus_window(units.share(shell, "--shell"), warm))
    warnings = [one for one in found if one is not None]
    if as_json:
        record = {
            "schema": "pithline/reading-due/1",
            "weigh_every_days": days,
            "turn_every_days": TURN_EVERY,
            "safe_loss_percent_per_day": [100 * safe.low, 100 * safe.mid, 100 * safe.high] if safe else None,
            "warnings": [{"kind": one.kind, "told": one.told, "source": one.source} for one in warnings],
        }
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    click.echo(f"Weigh a witness block every {days:.0f} days at {units.show_share(now)}.")
    click.echo(f"Look through and turn the stack every {TURN_EVERY:.0f} days.")
    if safe:
        low, high = 100 * safe.low, 100 * safe.high
        click.echo(f"Safe loss while wet: {low:.2f} to {high:.2f} % a day; keep below {low:.2f}.")
    for one in warnings:
        click.echo(f"{one.told} [{one.source}]")
    if found and not warnings:
        click.echo("No warning by what was given.")
    click.echo("Both intervals: common practice, no source.", err=True)
    for told in safe.basis if safe else ():
        click.echo(f"Note: {told}.", err=True)


def _together(options: dict[str, str | None]) -> None:
    """Refuse some of what only makes sense as a whole."""
    from pithline.errors import BadValue

    bare = [name for name, value in options.items() if value is None]
    if bare and len(bare) < len(options):
        given = " and ".join(name for name, value in options.items() if value is not None)
        raise BadValue(" and ".join(bare), "missing", f"given with {given}", f"Add {bare[0]}.")
