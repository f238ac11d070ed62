"""``pithline kiln air``: humidity and equilibrium moisture from two thermometers, or back."""

from __future__ import annotations

import click

from pithline.cli.kiln_input import bulb, pressure_of

__all__ = ["air"]


@click.command(
    "air",
    epilog="""
\b
Examples:
  pithline kiln air --dry-bulb "120 F" --wet-bulb "110 F"
  pithline kiln air --dry-bulb "49 C" --humidity "43 %" --json
""",
)
@click.option("--dry-bulb", required=True, metavar="TEMPERATURE", help='"49 C" or "120 F".')
@click.option("--wet-bulb", metavar="TEMPERATURE", help="Of the thermometer with the wet wick.")
@click.option("--humidity", metavar="SHARE", help='Instead, to learn the wet bulb: "43 %".')
@click.option("--height", metavar="LENGTH", default="0 m", show_default=True, help="Above the sea.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/kiln-air/1).")
def air(dry_bulb: str, wet_bulb: str | None, humidity: str | None, height: str, as_json: bool) -> None:
    """Humidity of kiln air, and the moisture at which wood rests in it.

    ASHRAE Handbook, Fundamentals, Ch. 1; Hyland and Wexler 1983; Wood Handbook Eq. 4-5.
    """
    from pithline import units
    from pithline.dry import psychrometrics
    from pithline.errors import BadValue
    from pithline.wood.moisture import emc

    dry = units.temperature(dry_bulb, "--dry-bulb")
    pressure = pressure_of(height)
    if (wet_bulb is None) == (humidity is None):
        raise BadValue("--wet-bulb or --humidity", "both" if wet_bulb else "neither", "given, one of the two")
    if wet_bulb is not None:
        wet = units.temperature(wet_bulb, "--wet-bulb")
        share = float(psychrometrics.humidity(dry, wet, pressure))
    else:
        share = units.share(humidity, "--humidity")
        wet = psychrometrics.wet_bulb(dry, share, pressure)
    rests = float(emc(dry, share))
    if as_json:
        import json

        record = {
            "schema": "pithline/kiln-air/1",
            "dry_bulb_c": round(dry, 4),
            "wet_bulb_c": round(wet, 4),
            "depression_k": round(dry - wet, 4),
            "humidity_percent": round(share * 100, 4),
            "emc_percent": round(rests * 100, 4),
            "pressure_pa": round(pressure, 1),
        }
        click.echo(json.dumps(record, indent=2))
        return
    click.echo(
        f"Dry bulb {bulb(dry)}, wet bulb {bulb(wet)}: {share * 100:.1f} % humidity; "
        f"wood comes to rest at {rests * 100:.1f} %."
    )
