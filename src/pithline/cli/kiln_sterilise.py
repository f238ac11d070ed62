"""``pithline kiln sterilise``: how long until the core is hot enough, or whether it was."""

from __future__ import annotations

import click

from pithline.cli.kiln_input import kiln_of, kiln_option, pressure_of

__all__ = ["sterilise"]


@click.command(
    "sterilise",
    epilog="""
\b
Examples:
  pithline kiln sterilise 12/4 --kiln container --start "10 C" --moisture "8 %"
  pithline kiln sterilise "3.5 in" --width "3.5 in" --air "160 F" --wet-bulb "158 F" --moisture "60 %"
  pithline kiln sterilise 12/4 --reading "0 min: 56.2 C" --reading "9 min: 57 C" --json
""",
)
@click.argument("thickness")
@click.option("--width", metavar="LENGTH", help="Of a beam; a slab is taken as wide.")
@click.option("--start", default="10 C", show_default=True, metavar="TEMPERATURE", help="Of the wood.")
@click.option("--moisture", default="8 %", show_default=True, metavar="SHARE", help="Of the wood.")
@click.option("--air", metavar="TEMPERATURE", help="Dry bulb, in place of a kiln's top.")
@click.option("--wet-bulb", metavar="TEMPERATURE", help="In place of what the kiln is taken to hold.")
@click.option(
    "--reading", "readings", multiple=True, metavar="TIME: TEMPERATURE", help="Of a core probe. Repeat."
)
@kiln_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/kiln-sterilise/1).")
def sterilise(
    thickness: str,
    width: str | None,
    start: str,
    moisture: str,
    air: str | None,
    wet_bulb: str | None,
    readings: tuple[str, ...],
    kiln_name: str | None,
    height: str,
    as_json: bool,
) -> None:
    """Time until the core of a slab of THICKNESS is at 56 °C, and the 30 minutes after.

    ISPM-15 (as restated). Conduction by series, surface film fitted to Wood Handbook
    FPL-GTR-190 (2010), Table 20-8. A probe in the core of the thickest slab is the proof.
    """
    import math

    from pithline import units
    from pithline.dry.kiln.sterilise import HOLD, heating, held, in_kiln
    from pithline.errors import BadValue
    from pithline.sheets.kiln_json import heating_record

    thick = units.length(thickness, "THICKNESS")
    if readings:
        times, cores = zip(*(_reading(each) for each in readings), strict=True)
        longest, enough, remarks = held(times, cores)
        if as_json:
            import json

            record = {
                "schema": "pithline/kiln-sterilise/1",
                "longest_at_56_c_min": longest,
                "enough": enough,
                "remarks": list(remarks),
            }
            click.echo(json.dumps(record, indent=2, ensure_ascii=False))
            return
        verdict = "long enough" if enough else "not sterilised"
        click.echo(f"{longest:g} min without a break at 56 °C or more; {HOLD:.0f} are needed: {verdict}.")
        for told in remarks:
            click.echo(f"Note: {told}.", err=True)
        return
    begin, wet_wood = units.temperature(start, "--start"), units.share(moisture, "--moisture")
    if wet_wood > 3:
        raise BadValue("--moisture", moisture, "at most 300 %", 'Write "8 %" or "80 %".')
    side = units.length(width, "--width") if width is not None else math.inf
    wet = units.temperature(wet_bulb, "--wet-bulb") if wet_bulb else None
    if air is not None:
        if wet is None:
            raise BadValue("--wet-bulb", "missing", "given beside --air", 'Add --wet-bulb "66 C".')
        heat = heating(thick, begin, units.temperature(air, "--air"), wet, wet_wood, side)
    else:
        heat = in_kiln(kiln_of(kiln_name).value, thick, begin, wet_wood, wet, pressure_of(height), side)
    if as_json:
        import json

        record = {"schema": "pithline/kiln-sterilise/1", "thickness_m": thick, **heating_record(heat)}
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    if heat.minutes is None:
        click.echo(f"{heat.on_the_slab[0][0].upper()}{heat.on_the_slab[0][1:]}.")
    else:
        spread = f"{heat.minutes.low:.0f} to {heat.minutes.high:.0f}"
        click.echo(
            f"The core is at 56 °C after about {heat.minutes.mid:.0f} min ({spread}), the kiln already hot."
        )
        click.echo(f"To be on the safe side: {math.ceil(heat.total)} min with the {HOLD:.0f} min of holding.")
    if air is None and kiln_name is None:
        click.echo("Note: no kiln is named; a small dehumidifier kiln is taken.", err=True)
    for told in heat.remarks:
        click.echo(f"Note: {told}.", err=True)


def _reading(text: str) -> tuple[float, float]:
    from pithline import units
    from pithline.errors import BadValue

    time, colon, core = text.partition(":")
    if not colon:
        raise BadValue("--reading", text, "a time and a temperature", 'Write "5 min: 56.2 C".')
    return units.duration(time, "--reading"), units.temperature(core, "--reading")
