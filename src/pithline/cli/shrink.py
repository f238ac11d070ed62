"""``pithline shrink``: the size of a piece after its moisture changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pithline.units import System

__all__ = ["command"]


@click.command(
    epilog="""
\b
Examples:
  pithline shrink "red oak" --size "600 mm" --to "8 %"
  pithline shrink "red oak" --size '3 1/4"' --to "8 %" --direction radial --units inch
  pithline shrink "black walnut" --size "80 mm" --ring-angle "45 deg" --from "12 %" --to "8 %" --json
"""
)
@click.argument("name")
@click.option("--size", required=True, metavar="LENGTH", help='Size now: "600 mm".')
@click.option(
    "--from",
    "start",
    default="green",
    metavar="SHARE",
    show_default=True,
    help='Moisture now: "green" or "12 %".',
)
@click.option("--to", "end", required=True, metavar="SHARE", help='Moisture then: "8 %".')
@click.option("--direction", type=click.Choice(["tangential", "radial"]), help="[default: tangential]")
@click.option(
    "--ring-angle", metavar="ANGLE", help='Instead: rings against this size, "0 deg" is along them.'
)
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), default="metric", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/shrink/1).")
def command(
    name: str,
    size: str,
    start: str,
    end: str,
    direction: str | None,
    ring_angle: str | None,
    system: System,
    as_json: bool,
) -> None:
    """Size of a piece of wood NAME after drying (or wetting), with a range.

    The width of a flat-sawn slab is tangential, its thickness radial.
    Wood Handbook FPL-GTR-190 (2010), Eq. 13-3.
    """
    import math

    from pithline import units
    from pithline.errors import BadValue
    from pithline.wood.shrinkage import fibre_saturation, in_direction, resize, totals
    from pithline.wood.species import species

    if direction and ring_angle:
        raise BadValue("--ring-angle", ring_angle, "given without --direction", "Leave one of them out.")
    wood = species(name, "NAME")
    now = units.length(size, "--size")
    fsp = fibre_saturation(wood)
    before = fsp if start.strip().lower() == "green" else units.share(start, "--from")
    after = units.share(end, "--to")
    turned = {"tangential": 0.0, "radial": math.pi / 2}.get(direction or "tangential", 0.0)
    if ring_angle:
        turned = units.angle(ring_angle, "--ring-angle")
    total = totals(wood)
    shrinkage = [
        float(in_direction(getattr(total.radial, bound), getattr(total.tangential, bound), turned)[0])
        for bound in ("low", "mid", "high")
    ]
    sizes = sorted(float(resize(now, each, before, after, fsp)) for each in shrinkage)
    basis = dict.fromkeys((*total.tangential.basis, *total.radial.basis))
    if as_json:
        import json

        record = {
            "schema": "pithline/shrink/1",
            "species": wood.name,
            "size_before_m": now,
            "moisture_before_percent": round(before * 100, 6),
            "moisture_after_percent": round(after * 100, 6),
            "ring_angle_deg": round(math.degrees(turned), 6),
            "shrinkage_total_percent": round(shrinkage[1] * 100, 6),
            "size_after_m": {k: round(v, 7) for k, v in zip(("low", "mid", "high"), sizes, strict=True)},
            "guess": total.guess,
            "basis": list(basis),
        }
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    low, mid, high = (units.show_length(each, system, fine=True) for each in sizes)
    came = "green" if before >= fsp else f"at {units.show_share(before)}"
    click.echo(
        f"{wood.name}: {units.show_length(now, system, fine=True)} {came} becomes {mid} "
        f"at {units.show_share(after)} ({low} to {high})."
    )
    if total.guess:
        click.echo(f"A guess: {'; '.join(basis)}.", err=True)
