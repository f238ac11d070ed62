"""``pithline kiln codes`` and ``kiln schedule``: printed schedules, and what a kiln makes of one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pithline.cli.kiln_input import kiln_of, kiln_option, pressure_of

if TYPE_CHECKING:
    from pithline.dry.kiln.steps import Setting

__all__ = ["codes", "schedule"]


@click.command(
    "codes",
    epilog="""
\b
Examples:
  pithline kiln codes "red oak"
  pithline kiln codes "black cherry" --json
""",
)
@click.argument("name")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/kiln-codes/1).")
def codes(name: str, as_json: bool) -> None:
    """Published kiln schedule codes of the wood NAME, by thickness, with their sources."""
    from pithline.dry.kiln.codes import codes_of
    from pithline.sheets.kiln_json import code_record
    from pithline.wood.species import species

    wood = species(name, "NAME")
    found = codes_of(wood)
    if as_json:
        import json

        record = {"schema": "pithline/kiln-codes/1", "species": wood.name}
        click.echo(
            json.dumps({**record, "codes": [code_record(c) for c in found]}, indent=2, ensure_ascii=False)
        )
        return
    if not found:
        click.echo(f"No published code is known for {wood.name}.")
        click.echo(
            'Ask for the most careful one to lend: pithline kiln schedule, with "--thickness".', err=True
        )
    for code in found:
        quarters = ", ".join(f"{q}/4" for q in code.quarters)
        click.echo(f"{code.code:<7} {quarters:<14} {code.kind:<16} {code.cited()}")
        if code.note:
            click.echo(f"        {code.note}")


@click.command(
    "schedule",
    epilog="""
\b
Examples:
  pithline kiln schedule "red oak" --thickness 12/4
  pithline kiln schedule "red oak" --thickness 12/4 --kiln "small dehumidifier" --start "24 %" --target "8 %"
  pithline kiln schedule --code T4-D2 --json
""",
)
@click.argument("name", required=False)
@click.option("--thickness", metavar="LENGTH", help='Of the thickest slab: 12/4 or "80 mm".')
@click.option("--code", metavar="CODE", help='Instead of wood and thickness: "T4-D2".')
@click.option("--kind", default="usual", show_default=True, help='Or "milder finish", "for white colour".')
@click.option("--start", metavar="SHARE", help='Moisture of the wettest half now: "24 %".')
@click.option("--target", metavar="SHARE", default="8 %", show_default=True, help="Moisture wanted.")
@kiln_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/kiln-schedule/1).")
def schedule(
    name: str | None,
    thickness: str | None,
    code: str | None,
    kind: str,
    start: str | None,
    target: str,
    kiln_name: str | None,
    height: str,
    as_json: bool,
) -> None:
    """Steps of the published schedule for the wood NAME; with a kiln or a start, what to set.

    Agriculture Handbook 188 (1991), Ch. 7, from memory: compare with the printed tables before
    drying wood that is worth much. Wood Handbook FPL-GTR-190 (2010), Eq. 4-5, for equilibrium moisture.
    """
    from pithline import units
    from pithline.dry.kiln.codes import choose
    from pithline.dry.kiln.schedules import schedule as spelled
    from pithline.dry.kiln.steps import settings
    from pithline.errors import BadValue
    from pithline.sheets import kiln_json as records
    from pithline.wood.species import species

    if (code is None) == (name is None or thickness is None):
        raise BadValue("NAME and --thickness, or --code", name or code, "given, one or the other")
    choice = None
    if name is not None and thickness is not None:
        choice = choose(species(name, "NAME"), units.length(thickness, "--thickness"), kind)
    plan = spelled(code or (choice.code if choice else ""), pressure_of(height))
    held: tuple[Setting, ...] = ()
    written = None
    if start or kiln_name:
        written = kiln_of(kiln_name)
        begin = units.share(start, "--start") if start else 0.80
        held = settings(plan, written.value, begin, units.share(target, "--target"), pressure_of(height))
    if as_json:
        import json

        shown = {
            "schema": "pithline/kiln-schedule/1",
            "choice": records.choice_record(choice) if choice else None,
            "published": records.schedule_record(plan),
            "kiln": records.kiln_record(written.value) if written else None,
            "settings": records.settings_record(held) if written else None,
            "assumed": [f"{a.field}: {a.text} ({a.why})" for a in written.assumed] if written else [],
        }
        click.echo(json.dumps(shown, indent=2, ensure_ascii=False))
        return
    whose = f" for {choice.quarters}/4 {name}, {choice.row.cited()}" if choice else ""
    click.echo(f"{plan.code}{whose}")
    if written is None:
        _print_steps([(s.upper, s.lower, s.dry_bulb, s.wet_bulb, s.humidity, s.emc, "") for s in plan.steps])
    else:
        click.echo(f"in the {written.value.name}, up to {written.value.top:.0f} °C:")
        _print_steps(
            [
                (s.upper, s.lower, s.temperature, s.wet_bulb, s.humidity, s.emc, "" if s.within else "*")
                for s in held
            ]
        )
        for told in dict.fromkeys(remark for s in held for remark in s.remarks):
            click.echo(f"* {told}", err=True)
        for a in written.assumed:
            click.echo(f"assumed {a.field} = {a.text} ({a.why})", err=True)
    for told in choice.remarks if choice else ():
        click.echo(f"Note: {told}.", err=True)
    click.echo(f"Steps: {plan.mark}, {plan.sure} confidence.", err=True)


def _print_steps(rows: list[tuple[float, float, float, float, float, float, str]]) -> None:
    click.echo("moisture        dry bulb          wet bulb          humidity  comes to rest at")
    for upper, lower, dry, wet, air, rests, mark in rows:
        above = "wet" if upper > 4 else f"{upper * 100:.0f} %"
        below = f"{lower * 100:.0f} %" if lower else "the end"
        moisture = f"{above} to {below}"
        bulbs = (
            f"{f'{dry:.1f} °C ({dry * 1.8 + 32:.0f} °F)':<17} {f'{wet:.1f} °C ({wet * 1.8 + 32:.0f} °F)':<17}"
        )
        click.echo(f"{moisture:<15} {bulbs} {air * 100:>5.0f} %   {rests * 100:>5.1f} % {mark}".rstrip())
