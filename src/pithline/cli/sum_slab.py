"""``pithline sum thickness``, ``grain`` and ``tally``: one slab."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.sum_show import show_sum

if TYPE_CHECKING:
    from pithline.slab.outline import SlabOutline

__all__ = ["grain", "tally", "thickness"]

_SIDE = "Edge from the pith, across the slab: to the {}, or negative."


@click.command(
    "thickness",
    epilog="""
\b
Examples:
  pithline sum thickness 12/4 --species "red oak" --moisture "8 %"
  pithline sum thickness "60 mm finished" --species "red oak" \\
    --left "25 cm" --right "30 cm" --height "10 cm" --json
""",
)
@click.argument("wanted", metavar="SIZE")
@click.option("--species", required=True, metavar="NAME")
@click.option("--moisture", default="8 %", show_default=True, metavar="SHARE", help="Dried to.")
@click.option("--step", default="1 mm", show_default=True, metavar="LENGTH", help="Of the mill's setting.")
@click.option("--variation", default="1 mm", show_default=True, metavar="LENGTH", help="Sawing variation.")
@click.option("--left", metavar="LENGTH", help="For a finished size: the face's left edge, from the pith.")
@click.option("--right", metavar="LENGTH", help="Its right edge.")
@click.option("--height", metavar="LENGTH", help="Mid-slab above the pith.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-thickness/1).")
def thickness(
    wanted: str, species: str, moisture: str, step: str, variation: str, as_json: bool, **face: str | None
) -> None:
    """Green thickness to saw for SIZE: 12/4, "80 mm green", "60 mm finished"."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.saw import thickness as reckoned
    from pithline.saw.aims import Aims, SizeKind
    from pithline.saw.timber import Timber
    from pithline.wood.species import species as wood

    aim = reckoned.thickness_aim(wanted, "SIZE")
    timber = Timber.of(wood(species, "--species"), units.share(moisture, "--moisture"))
    grid, extra = units.length(step, "--step"), units.length(variation, "--variation")
    if aim.kind is SizeKind.FINISHED:
        if not all(face.values()):
            remedy = 'Say --left "25 cm" --right "30 cm" --height "10 cm", or ask for a rough dry size.'
            raise BadValue("--left, --right and --height", "missing", "given for a finished size", remedy)
        left, right, height = _face(**face)
        shrinkage = float(reckoned.ring_shrinkage(-left, right, height, timber.radial, timber.tangential))
        flattening = Aims((aim,)).flattening
        exact = float(
            reckoned.green_for_finished(
                aim.size,
                left + right,
                -left,
                right,
                height,
                timber.radial,
                timber.tangential,
                flattening,
                extra,
            )
        )
    else:
        shrinkage = float(reckoned.mean_shrinkage(timber.radial, timber.tangential))
        rough = aim.kind is SizeKind.ROUGH_DRY
        exact = float(reckoned.green_for_rough_dry(aim.size, shrinkage, extra)) if rough else aim.size
    green = float(reckoned.round_up(exact, grid))
    dry = float(reckoned.dry_thickness(green, shrinkage, extra))
    quarters = reckoned.sold_as(green, timber.radial, timber.tangential)
    record = {
        "wanted_as": aim.kind.value,
        "wanted_m": aim.size,
        "shrinkage_fraction": shrinkage,
        "green_exact_m": exact,
        "green_m": green,
        "rough_dry_m": dry,
        "sold_as_quarters": quarters,
    }
    lines = [
        (
            "green, to saw",
            f"{units.show_length(green, fine=True)} ({units.show_length(green, 'inch', fine=True)})",
        ),
        ("rough dry, at its thinnest", units.show_length(dry, fine=True)),
        ("shrinkage", units.show_share(shrinkage)),
        ("sold as", f"{quarters}/4" if quarters else "under 2/4"),
    ]
    show_sum("thickness", record, lines, as_json)


def _face(left: str | None, right: str | None, height: str | None) -> tuple[float, float, float]:
    from pithline import units

    return (
        units.length(left, "--left", signed=True),
        units.length(right, "--right", signed=True),
        units.length(height, "--height", signed=True),
    )


@click.command(
    "grain",
    epilog="""
\b
Examples:
  pithline sum grain --left "25 cm" --right "30 cm" --height "10 cm"
  pithline sum grain --left "25 cm" --right "30 cm" --height "10 cm" --flat-below "45 deg" --json
""",
)
@click.option("--left", required=True, metavar="LENGTH", help=_SIDE.format("left"))
@click.option("--right", required=True, metavar="LENGTH", help=_SIDE.format("right"))
@click.option("--height", required=True, metavar="LENGTH", help="Of the face above the pith.")
@click.option("--flat-below", default="30 deg", show_default=True, metavar="ANGLE")
@click.option("--quarter-above", default="60 deg", show_default=True, metavar="ANGLE")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-grain/1).")
def grain(left: str, right: str, height: str, flat_below: str, quarter_above: str, as_json: bool) -> None:
    """Shares of a face's width with flat, rift and quarter grain."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.saw.grain import grain_shares, mean_sin2

    to_left, to_right, up = _face(left, right, height)
    if not to_left + to_right > 0:
        raise BadValue("--left and --right", f"{left} and {right}", "a width between them")
    limits = units.angle(flat_below, "--flat-below"), units.angle(quarter_above, "--quarter-above")
    shares = [float(share) for share in grain_shares(-to_left, to_right, up, *limits)]
    names = ("flat", "rift", "quarter")
    record: dict[str, Any] = {f"{name}_fraction": share for name, share in zip(names, shares, strict=True)}
    record["mean_sin2_of_ring_angle"] = float(mean_sin2(-to_left, to_right, up))
    record["limits_deg"] = [math.degrees(limit) for limit in limits]
    lines = [(name, units.show_share(share)) for name, share in zip(names, shares, strict=True)]
    show_sum("grain", record, lines, as_json)


@click.command(
    "tally",
    epilog="""
\b
Examples:
  pithline sum tally --thickness "80 mm" --at "0 m: 52 x 46 cm" --at "3 m: 44 x 38 cm"
  pithline sum tally --thickness 12/4 --unit "bf nominal" --at "0 m: 20 x 18 in" \\
    --at "8 ft: 16 x 14 in" --json
""",
)
@click.option("--thickness", required=True, metavar="LENGTH", help='Green; for "bf nominal" a name: 12/4.')
@click.option(
    "--at",
    "places",
    multiple=True,
    required=True,
    metavar="PLACE: WIDTHS",
    help='Both faces under bark, two places or more: "0 m: 52 x 46 cm".',
)
@click.option(
    "--rule", default="mean of faces", show_default=True, metavar="RULE", help="narrow, mean or wide."
)
@click.option(
    "--unit", default="bf as sawn", show_default=True, metavar="UNIT", help="m3, bf as sawn, bf nominal."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-tally/1).")
def tally(thickness: str, places: tuple[str, ...], rule: str, unit: str, as_json: bool) -> None:
    """Count one slab from the widths of its faces, by the rule you name."""
    from pithline import units
    from pithline.saw.written.inputs import read_aims
    from pithline.slab import tallying

    # Read as the record's [aims], so that rule and unit are said and refused alike.
    aims = read_aims({"thickness": ["12/4"], "tally": rule, "unit": unit}).value
    outline = _outline(places, units.length(thickness, "--thickness"))
    start, end = float(outline.z[0]), float(outline.z[-1])
    quarters = units.quarters(thickness)
    counted = tallying.tally(outline, aims.tally, aims.unit, start, end, quarters=quarters)
    area = tallying.tally_area(outline, aims.tally, start, end)
    key = "tally_m3" if aims.unit.value == "m3" else "tally_bf"
    record = {
        "rule": tallying.rule_text(aims.tally, aims.unit),
        "length_m": end - start,
        "thickness_m": outline.thickness,
        "mean_width_m": area / (end - start),
        "face_area_m2": area,
        key: counted,
    }
    shown = units.show_volume(counted) if key == "tally_m3" else f"{counted:.2f} bf"
    show_sum("tally", record, [("tally", shown), ("rule", str(record["rule"]))], as_json)


def _outline(places: tuple[str, ...], green: float) -> SlabOutline:
    """The faces as typed, each about its middle: a tally asks for widths alone."""
    import numpy as np

    from pithline import units
    from pithline.errors import BadValue
    from pithline.slab.outline import SlabOutline

    rows = []
    for text in places:
        found = re.fullmatch(r"(.+?):\s*(\S.*?)\s*x\s*([\d./ ]*\d\s*)(\D+)", text.strip())
        if not found:
            raise BadValue("--at", text, "a place and both widths", 'Write "0 m: 52 x 46 cm".')
        place, one, other, unit = found.groups()
        # "52 x 46 cm" names its unit once.
        upper = f"{one}{unit}" if re.fullmatch(r"[\d./ ]+", one) else one
        rows.append([units.length(t, "--at") for t in (place, upper, f"{other}{unit}")])
    rows.sort()
    z, uppers, lowers = np.array(rows).T
    if z.size < 2 or not np.all(np.diff(z) > 0):
        raise BadValue("--at", ", ".join(places), "at two places or more, each named once")
    half = [np.stack([-w / 2, w / 2], axis=1) for w in (uppers, lowers)]
    return SlabOutline(z, half[0], half[1], green)
