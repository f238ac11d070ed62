"""``pithline species``: what is known about a wood."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.units import System
    from pithline.wood.estimate import Estimate
    from pithline.wood.facts import Species

__all__ = ["command"]

# Field of Species -> key that leaves, words for people, factor from the stored number, digits, unit shown.
_SHOWN = {
    "sg_basic": ("specific_gravity_basic", "Basic specific gravity", 1, 3, ""),
    "sg_basic_alt": ("specific_gravity_basic_second_source", "  a second source", 1, 3, ""),
    "sg_basic_low": ("specific_gravity_basic_lowest", "  lowest entry", 1, 3, ""),
    "sg_basic_high": ("specific_gravity_basic_highest", "  highest entry", 1, 3, ""),
    "sg_12": ("specific_gravity_at_12_percent", "Specific gravity at 12 %", 1, 3, ""),
    "mc_heartwood": ("moisture_green_heartwood_percent", "Green moisture, heartwood", 100, 0, " %"),
    "mc_sapwood": ("moisture_green_sapwood_percent", "Green moisture, sapwood", 100, 0, " %"),
    "mc_whole": ("moisture_green_whole_percent", "Green moisture, whole wood", 100, 0, " %"),
    "green_density": ("green_density_class_kg_m3", "Green weight class", 1, 0, " kg/m³"),
    "shrink_radial": ("shrinkage_radial_percent", "Shrinkage to oven-dry, radial", 100, 1, " %"),
    "shrink_tangential": ("shrinkage_tangential_percent", "  tangential", 100, 1, " %"),
    "shrink_volumetric": ("shrinkage_volumetric_percent", "  volumetric", 100, 1, " %"),
    "cr": ("change_radial_per_percent_moisture", "Change per 1 % moisture, radial", 1, 5, ""),
    "ct": ("change_tangential_per_percent_moisture", "  tangential", 1, 5, ""),
    "fsp": ("fibre_saturation_percent", "Fibre saturation point", 100, 0, " %"),
}
_BARK_AT = 0.508  # 20 in; diameter over bark for which the card tells the bark [m]


@click.command(
    epilog="""
\b
Examples:
  pithline species "red oak"
  pithline species "oak, white" --moisture "8 %" --units inch
  pithline species --find oak
  pithline species "black walnut" --json

Weights are estimates with a range: lift and load by the high figure at least, by a
scale where you can, and within the rated load of your gear and local rules.
"""
)
@click.argument("name", required=False)
@click.option("--find", "words", metavar="WORDS", help="List the woods whose names hold these words.")
@click.option("--moisture", metavar="SHARE", help='Density and shrinkage at this moisture: "8 %".')
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), default="metric", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/species/1).")
def command(name: str | None, words: str | None, moisture: str | None, system: System, as_json: bool) -> None:
    """What is known about a wood, each number with its source.

    NAME may be a common, trade or botanical name in any order of words. Without it,
    every wood is listed. "[from memory]" marks numbers not checked in a copy.
    """
    from pithline import units
    from pithline.errors import BadValue
    from pithline.wood.species import find, species

    if name is not None and words is not None:
        raise BadValue("--find", words, "used without NAME", "Leave one of them out.")
    at = units.share(moisture, "--moisture") if moisture is not None else None
    if name is None:
        found = find(words or "")
        if not found:
            raise BadValue("--find", words, "part of the name of a wood", 'Try --find "oak".')
        _list(found, at, system, as_json)
    elif as_json:
        _print({"schema": "pithline/species/1", **_record(species(name), at)})
    else:
        _card(species(name), at, system)


def _list(found: tuple[Species, ...], moisture: float | None, system: System, as_json: bool) -> None:
    if as_json:
        records = [_record(wood, moisture) for wood in found]
        _print({"schema": "pithline/species-list/1", "species": records})
        return
    from rich.console import Console
    from rich.table import Table

    from pithline.units import show_density, show_share

    table = Table("wood", "botanical name", "basic sg", "green", "radial", "tangential", box=None)
    for wood in found:
        both = (wood.shrink_radial, wood.shrink_tangential)
        radial, tangential = (show_share(fact.value) if fact else "?" for fact in both)
        green = _reckoned(wood, None).get("green_density_kg_m3")
        table.add_row(
            wood.name,
            wood.scientific,
            f"{wood.sg_basic.value:.2f}" if wood.sg_basic else "?",
            show_density(green.mid, system) + (" guess" if green.guess else "") if green else "?",
            radial,
            tangential,
        )
    Console(highlight=False).print(table)
    click.echo(f"{len(found)} woods. Sources and doubts: pithline species NAME", err=True)


def _card(wood: Species, moisture: float | None, system: System) -> None:
    from rich.console import Console
    from rich.table import Table

    from pithline import units
    from pithline.log.bark import bark_rule
    from pithline.wood.shrinkage import fibre_saturation

    reckoned = _reckoned(wood, moisture)  # first, so that a refusal leaves no half card behind
    console = Console(highlight=False)
    console.print(f"[bold]{wood.name}[/bold] ({wood.scientific}), {wood.group}, {wood.region}\n")
    cited: dict[str, int] = {}
    table = Table("published", "", "mark", "source", box=None)
    for field, fact in wood.facts():
        _, label, factor, digits, unit = _SHOWN[field]
        number = cited.setdefault(fact.source, len(cited) + 1)
        table.add_row(label, f"{fact.value * factor:.{digits}f}{unit}", fact.mark, str(number))
    console.print(table)

    table = Table("reckoned", "low", "middle", "high", "", box=None)
    basis: list[str] = []
    for key, estimate in reckoned.items():
        label, show = _words_for(key, moisture, system)
        shown = [show(value) for value in (estimate.low, estimate.mid, estimate.high)]
        table.add_row(label, *shown, "a guess" if estimate.guess else "")
        basis += estimate.basis if estimate.guess else ()
    bark = bark_rule(wood.scientific, wood.group)
    thick = bark.thickness(0.0, _BARK_AT, True)
    around = units.show_length(_BARK_AT, system)
    ends = [units.show_length(thick * (1 + side * bark.spread), system) for side in (-1, 0, 1)]
    table.add_row(f"Bark at {around} over it", *ends, "an estimate")
    console.print()
    console.print(table)
    if wood.fsp is None:
        console.print(f"Shrinks below {units.show_share(fibre_saturation(wood), 0)}, as most woods do.")
    console.print()
    for source, number in cited.items():
        console.print(f"{number}  {source}", markup=False)
    for remark in dict.fromkeys(basis):
        console.print(f"the guess rests on: {remark}", markup=False)
    console.print(f"bark: {bark.source} [{bark.mark}]", markup=False)
    if wood.notes:
        console.print(f"note: {wood.notes}", markup=False)


def _words_for(key: str, moisture: float | None, system: System) -> tuple[str, Any]:
    """Label and printer of a reckoned number."""
    from pithline.units import show_density, show_share

    if key.startswith("shrinkage"):
        return f"Shrinkage to {show_share(moisture or 0)}, {key.split('_')[1]}", show_share
    label = "Green density" if key.startswith("green") else f"Density at {show_share(moisture or 0)}"
    return label, lambda value: show_density(value, system)


def _reckoned(wood: Species, moisture: float | None) -> dict[str, Estimate]:
    """What the models say, by key that leaves; shrinkage and moisture as fractions."""
    from pithline.wood.density import dry_density, green_density
    from pithline.wood.shrinkage import fibre_saturation, shrinkage_to, totals

    # Three imported woods have no specific gravity: their card shows the rest.
    known = wood.sg_basic is not None
    found = {"green_density_kg_m3": green_density(wood)} if known or wood.green_density else {}
    if moisture is None:
        return found
    if known:
        found["density_kg_m3"] = dry_density(wood, moisture)
    reached = float(shrinkage_to(1.0, moisture, fibre_saturation(wood)))
    total = totals(wood)
    found["shrinkage_radial"] = total.radial.times(reached)
    found["shrinkage_tangential"] = total.tangential.times(reached)
    found["shrinkage_volumetric"] = total.volumetric.times(reached)
    return found


def _record(wood: Species, moisture: float | None) -> dict[str, Any]:
    """One wood as it leaves in JSON: units in the keys."""
    facts = {}
    for field, fact in wood.facts():
        key, _, factor, _, _ = _SHOWN[field]
        facts[key] = {"value": round(fact.value * factor, 6), "source": fact.source, "mark": fact.mark}
    reckoned = {}
    for key, estimate in _reckoned(wood, moisture).items():
        leaves, factor = (f"{key}_percent", 100) if key.startswith("shrinkage") else (key, 1)
        reckoned[leaves] = {
            **{name: round(getattr(estimate, name) * factor, 3) for name in ("low", "mid", "high")},
            "guess": estimate.guess,
            "basis": list(estimate.basis),
        }
    return {
        "name": wood.name,
        "scientific_name": wood.scientific,
        "group": wood.group,
        "region": wood.region,
        "notes": wood.notes,
        "published": facts,
        "moisture_percent": None if moisture is None else round(moisture * 100, 6),
        "reckoned": reckoned,
    }


def _print(record: dict[str, Any]) -> None:
    import json

    click.echo(json.dumps(record, indent=2, ensure_ascii=False))
