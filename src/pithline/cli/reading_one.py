"""``pithline reading meter`` and ``weigh``: one reading put right, one weight understood."""

from __future__ import annotations

from typing import Any

import click

from pithline.cli.sum_show import show_sum

__all__ = ["meter", "weigh"]


@click.command(
    "meter",
    epilog="""
\b
Examples:
  pithline reading meter "22 %" --species "red oak" --temperature "5 C" --depth "16 mm"
  pithline reading meter "14 %" --species "white ash" --temperature "41 F" --calibrated-at "70 F"
  pithline reading meter "12 %" --species "black walnut" --temperature "18 C" \\
    --pins pinless --gravity 0.50 --json
""",
)
@click.argument("shown", metavar="READING")
@click.option("--species", required=True, metavar="NAME")
@click.option("--temperature", required=True, metavar="TEMPERATURE", help="Of the wood.")
@click.option(
    "--pins",
    type=click.Choice(["insulated", "bare", "pinless"]),
    default="insulated",
    show_default=True,
    help="Insulated read at their tips, bare ones the wettest layer they touch.",
)
@click.option(
    "--scale",
    type=click.Choice(["douglas-fir", "own"]),
    default="douglas-fir",
    show_default=True,
    help="The meter's setting; own: set to this wood.",
)
@click.option("--depth", metavar="LENGTH", help="Of the tips below the face.")
@click.option(
    "--calibrated-at", metavar="TEMPERATURE", help="As the maker says; else the published equation."
)
@click.option("--warm-itself", is_flag=True, help="The meter puts temperature right itself.")
@click.option("--gravity", type=float, metavar="NUMBER", help="That a meter without pins was set to.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-meter/1).")
def meter(
    shown: str,
    species: str,
    temperature: str,
    pins: str,
    scale: str,
    depth: str | None,
    calibrated_at: str | None,
    warm_itself: bool,
    gravity: float | None,
    as_json: bool,
) -> None:
    """Moisture behind READING: temperature first, species second, and what it cannot tell."""
    from pithline import units
    from pithline.dry.learning import meters
    from pithline.dry.learning.readings import from_meter
    from pithline.wood.species import species as wood

    told = meters.Meter(
        meters.Pins(pins),
        meters.Scale(scale),
        warm_itself,
        units.temperature(calibrated_at, "--calibrated-at") if calibrated_at else None,
        gravity,
    )
    neutral = 20.0 if told.calibrated_at is None else told.calibrated_at
    raw, warmth = units.share(shown, "READING"), units.temperature(temperature, "--temperature")
    found = meters.corrected(raw, told, warmth, wood(species, "--species"))
    deep = _deep(depth, told.kind)
    doubt = (found.noise**2 + found.bias**2) ** 0.5
    sees = from_meter(0.0, found, told, deep).sees.value if deep else None
    record: dict[str, Any] = {
        "shown_percent": raw * 100,
        "wood_temperature_c": warmth,
        "moisture_percent": found.moisture * 100,
        "says_only": "wet" if found.wet else "dry" if found.dry else None,
        "noise_percent": found.noise * 100,
        "shared_doubt_percent": found.bias * 100,
        "rule_of_thumb_percent": meters.by_rule(raw, warmth, neutral) * 100 if told.kind == "pin" else None,
        "depth_m": meters.DIELECTRIC_DEPTH if told.kind == "pinless" else deep,
        "sees": "outer" if told.kind == "pinless" else sees,
        "remarks": list(found.remarks),
    }
    value = units.show_share(found.moisture)
    if found.wet or found.dry:
        says = f"{'wetter' if found.wet else 'drier'} than {value}, and no more"
    else:
        says = f"{value}, give or take {units.show_share(doubt)}"
    lines = [("moisture where it was read", says)]
    if record["depth_m"]:
        where = f"{units.show_length(record['depth_m'], fine=True)} below the face"
        lines.append(("which is", f"the outer {where}" if told.kind == "pinless" else where))
    if told.kind == "pin" and not (told.warm_itself or found.wet or found.dry):
        lines.append(
            ("by the rule of thumb", f"{record['rule_of_thumb_percent']:.1f} %, species left as it is")
        )
    show_sum("meter", record, lines, as_json)
    if not as_json:
        for remark in found.remarks:
            click.echo(remark, err=True)


def _deep(depth: str | None, kind: str) -> float | None:
    """Depth of the tips [m]; a meter without pins has none."""
    from pithline import units
    from pithline.errors import BadValue

    if depth is None:
        return None
    if kind == "pinless":
        raise BadValue("--depth", depth, "left out for a meter without pins", "It sees the outer 20 mm.")
    deep = units.length(depth, "--depth")
    if not 0 < deep <= 0.15:  # no pins are longer; 16 m for 16 mm is a slip
        raise BadValue("--depth", depth, "more than 0 and at most 150 mm", 'Write "16 mm".')
    return deep


@click.command(
    "weigh",
    epilog="""
\b
Examples:
  pithline reading weigh --green "8.42 kg" --now "6.10 kg" --start "80 %"
  pithline reading weigh --now "4.14 lb" --dry "2.68 lb" --json
  pithline reading weigh --green "5.240 kg" --section "82 %" --section "78.6 %" --now "3.560 kg"
""",
)
@click.option("--now", required=True, metavar="WEIGHT", help="Weight now.")
@click.option("--green", metavar="WEIGHT", help="Weight when the sections were cut, or the block sealed.")
@click.option("--dry", metavar="WEIGHT", help="Oven-dry weight, where it is known.")
@click.option(
    "--section",
    "sections",
    multiple=True,
    metavar="SHARE",
    help="Moisture of a section cut off beside it and dried in the oven. Repeat for more.",
)
@click.option("--start", metavar="SHARE", help="Or the moisture it began with, by other means.")
@click.option(
    "--dry-doubt", default="0 %", show_default=True, metavar="SHARE", help="Of the oven-dry weight."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-weigh/1).")
def weigh(
    now: str,
    green: str | None,
    dry: str | None,
    sections: tuple[str, ...],
    start: str | None,
    dry_doubt: str,
    as_json: bool,
) -> None:
    """Moisture of a witness block, a sample board or a whole slab, by its weight.

    Handling heavy slabs hurts people: two persons or a lift, and a scale rated for it.
    """
    from statistics import fmean

    from pithline import units
    from pithline.dry.kiln.sample_boards import estimated_dry_weight
    from pithline.dry.learning.weighing import HEAVIER, by_weight
    from pithline.errors import BadValue

    given = [bool(dry), bool(sections), bool(start)]
    if sum(given) != 1 or (not dry and not green):
        remedy = 'Say --dry "2.68 lb", or --green "5.24 kg" and --section "82 %".'
        rule = "one of the three, the last two with --green"
        raise BadValue("--dry, --section and --start", f"{sum(given)} of them", rule, remedy)
    weight = units.mass(now, "--now")
    began: float | None = None
    if dry:
        bone = units.mass(dry, "--dry")
    else:
        shares = [units.share(each, "--section") for each in sections] or [units.share(start, "--start")]
        began = fmean(shares)
        fresh = units.mass(green, "--green")
        bone = estimated_dry_weight(fresh, began)
        if weight > HEAVIER * fresh:
            remedy = "Weighed with snow, stickers or another piece?"
            raise BadValue("--now", now, f"about the green weight, {green}, at most", remedy)
    moisture, doubt = by_weight(weight, bone, units.share(dry_doubt, "--dry-doubt"))
    record = {
        "now_kg": weight,
        "oven_dry_kg": bone,
        "oven_dry_estimated": not dry,
        "start_moisture_percent": None if began is None else began * 100,
        "moisture_percent": moisture * 100,
        "doubt_percent": doubt * 100,
    }
    told = units.show_share(moisture) + (f", give or take {units.show_share(doubt)}" if doubt else "")
    lines = [("moisture, mean of the piece", told), ("oven-dry weight", f"{bone:.3f} kg")]
    show_sum("weigh", record, lines, as_json)
