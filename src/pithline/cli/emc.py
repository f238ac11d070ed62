"""``pithline emc``: the moisture that wood comes to rest at in given air."""

from __future__ import annotations

import click

__all__ = ["command"]


@click.command(
    epilog="""
\b
Examples:
  pithline emc --temperature "70 F" --humidity "65 %"
  pithline emc --temperature "21 C" --moisture "8 %" --json
"""
)
@click.option("--temperature", required=True, metavar="TEMPERATURE", help='Of the air: "21 C" or "70 F".')
@click.option("--humidity", metavar="SHARE", help='Relative humidity of the air: "65 %".')
@click.option("--moisture", metavar="SHARE", help="Instead: the wood's moisture, to learn the humidity.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/emc/1).")
def command(temperature: str, humidity: str | None, moisture: str | None, as_json: bool) -> None:
    """Equilibrium moisture content: where wood stops drying in given air.

    An average wood, Wood Handbook FPL-GTR-190 (2010), Eq. 4-5; single species
    differ by about one percent of moisture.
    """
    from pithline import units
    from pithline.errors import BadValue
    from pithline.wood.moisture import emc, humidity_for

    celsius = units.temperature(temperature, "--temperature")
    if humidity is not None and moisture is None:
        air = units.share(humidity, "--humidity")
        wood = float(emc(celsius, air))
    elif moisture is not None and humidity is None:
        wood = units.share(moisture, "--moisture")
        air = humidity_for(celsius, wood)
    else:
        given = "both" if humidity else "neither"
        raise BadValue("--humidity or --moisture", given, "given, one of the two", 'Say --humidity "65 %".')
    if as_json:
        import json

        record = {
            "schema": "pithline/emc/1",
            "temperature_c": round(celsius, 4),
            "humidity_percent": round(air * 100, 4),
            "moisture_percent": round(wood * 100, 4),
            "source": "USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, Eq. 4-5",
        }
        click.echo(json.dumps(record, indent=2))
        return
    click.echo(
        f"In air of {units.show_temperature(celsius)} ({units.show_temperature(celsius, 'inch')}) and "
        f"{units.show_share(air)} humidity wood comes to rest at {units.show_share(wood)} moisture."
    )
