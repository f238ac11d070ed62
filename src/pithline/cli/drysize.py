"""``pithline drysize``: what a slab, and all slabs of a log, measure once dry and once flat."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.drysize_log import FREE, log, outline_of
from pithline.cli.sum_show import show_sum

if TYPE_CHECKING:
    from pithline.slab.outline import SlabOutline
    from pithline.units import System

__all__ = ["command"]

_WIDEST = 5.0  # no slab is wider; 280 m for 28 cm is a slip. [m]


@click.group(
    "drysize",
    epilog="""
\b
Examples:
  pithline drysize slab "red oak" --thickness "80 mm" --left "28 cm" --right "30 cm" --height "12 cm"
  pithline drysize log --help
""",
)
def command() -> None:
    """Dry size, cup and what planing flat takes, by how the rings lie in a slab.

    Wood shrinks about twice as far along the rings as across them: this is what makes
    a slab cup, and a slab with the pith in it check.
    """


@command.command(
    "slab",
    epilog="""
\b
Examples:
  pithline drysize slab "red oak" --thickness "80 mm" --left "28 cm" --right "30 cm" --height "12 cm"
  pithline drysize slab "black walnut" --thickness '3 1/4"' --height '5"' \\
    --at "0 ft: 11 + 12 in" --at "8 ft: 9 + 10 / 10 + 11 in" --to "8 %" --json
""",
)
@click.argument("name")
@click.option("--thickness", required=True, metavar="LENGTH", help="Green, as sawn.")
@click.option("--height", required=True, metavar="LENGTH", help="Of mid-slab above the pith; or negative.")
@click.option("--left", metavar="LENGTH", help="Left edge, from above the pith.")
@click.option("--right", metavar="LENGTH", help="Right edge, likewise.")
@click.option(
    "--at",
    "places",
    multiple=True,
    metavar="PLACE: EDGES",
    help='Instead, at two places or more: "0 m: 28 + 30 cm", or both faces "0 m: 26 + 28 / 28 + 30 cm".',
)
@click.option("--to", "end", default="8 %", show_default=True, metavar="SHARE", help="Dried to.")
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), default="metric", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-drysize/1).")
def slab(
    name: str,
    thickness: str,
    height: str,
    left: str | None,
    right: str | None,
    places: tuple[str, ...],
    end: str,
    system: System,
    as_json: bool,
) -> None:
    """Dry one slab of wood NAME."""
    from pithline import units
    from pithline.dry.dry_slab import dry_slab, drying_of, lost
    from pithline.errors import BadValue
    from pithline.wood.shrinkage import totals
    from pithline.wood.species import species

    wood = species(name, "NAME")
    if bool(places) == bool(left or right) or bool(left) != bool(right):
        raise BadValue("--left, --right and --at", "both or none", "one way of telling the edges",
                       'Say --left "28 cm" --right "30 cm", or --at "0 m: 28 + 30 cm" twice.')  # fmt: skip
    if places:
        outline = _outline(places, units.length(thickness, "--thickness"))
    else:
        edges = [
            units.length(left, "--left", signed=True),
            units.length(right, "--right", signed=True),
        ]
        outline = _straight(edges, units.length(thickness, "--thickness"))
    up = units.length(height, "--height", signed=True)
    moisture = units.share(end, "--to")
    found = [dry_slab(outline, up, each) for each in drying_of(wood, moisture)]
    mid = found[1]
    record: dict[str, Any] = {
        "species": wood.name,
        "moisture_percent": round(moisture * 100, 6),
        "green_thickness_m": outline.thickness,
        "green_width_m": float(outline.wide_width.max()),
        "dry_thickness_m": _range([each.rough.thickness for each in found]),
        "dry_width_m": _range([float(each.rough.wide_width.max()) for each in found]),
        "cup_m": _range([each.cup for each in found]),
        "flat_thickness_m": _range([each.flat.thickness for each in found]),
        "flat_if_ripped_m": _range([each.ripped for each in found]),
        "planing_m": _range([each.planing for each in found]),
        "check_at_pith_m": _range([each.check for each in found]),
        "hollow": "up" if bool(mid.sections.hollow_up[0]) else "down",
        "guess": totals(wood).guess,
        "remark": FREE,
    }
    if places:
        went = lost(outline, mid, float(outline.z[0]), float(outline.z[-1]))
        record |= {
            "green_m3": went.green,
            "dry_m3": went.dry,
            "flat_m3": went.flat,
            "shrunk_away_m3": went.shrunk,
            "planed_away_m3": went.planed,
            "dry_outline": outline_of(mid.rough),
        }

    def told(of: str) -> str:
        small, middle, big = (units.show_length(record[of][k], system, fine=True) for k in _KEYS)
        return f"{middle} ({small} to {big})"

    lines = [
        ("thickness, rough dry", told("dry_thickness_m")),
        ("width, dry", told("dry_width_m")),
        ("cup", f"{told('cup_m')}, hollow {record['hollow']}"),
        ("thickness, planed flat", told("flat_thickness_m")),
        ("planing takes", told("planing_m")),
        ("flat, if ripped in two first", told("flat_if_ripped_m")),
    ]
    if mid.check > 0:
        lines.append(("check at the pith", told("check_at_pith_m")))
    if places:
        lines += [
            (what, units.show_volume(record[key]))
            for what, key in (
                ("green", "green_m3"), ("shrunk away", "shrunk_away_m3"),
                ("planed away", "planed_away_m3"), ("flat", "flat_m3"),
            )
        ]  # fmt: skip
    show_sum("drysize", record, lines, as_json)
    if not as_json:
        click.echo(FREE, err=True)
    if record["guess"]:
        click.echo(f"A guess: {'; '.join(totals(wood).tangential.basis)}.", err=True)


command.add_command(log)

_KEYS = ("low", "mid", "high")


def _range(values: list[float]) -> dict[str, float]:
    low, high = min(values), max(values)
    return {"low": low, "mid": values[1], "high": high}


def _straight(edges: list[float], thickness: float) -> SlabOutline:
    """A slab whose edges stand upright, the same all along: one section is all that is asked."""
    import numpy as np

    from pithline.errors import BadValue
    from pithline.slab.outline import SlabOutline

    left, right = edges
    if not 0 < left + right <= _WIDEST:
        rule = f"a width between them of at most {_WIDEST:g} m"
        raise BadValue("--left and --right", f"{left:g} and {right:g} m", rule, "Look at the units.")
    face = np.array([[-left, right]] * 2)
    return SlabOutline(np.array([0.0, 1.0]), face, face, thickness)


def _outline(places: tuple[str, ...], thickness: float) -> SlabOutline:
    """Edges as typed: left and right of the pith, of one face or of upper and lower."""
    import numpy as np

    from pithline import units
    from pithline.errors import BadValue
    from pithline.slab.outline import SlabOutline

    rows = []
    for text in places:
        found = re.fullmatch(r"(.+?):\s*(.+?)\s*([a-zA-Z\"'′″]+)", text.strip())
        faces = [face.split("+") for face in found[2].split("/")] if found else []
        if not found or len(faces) not in (1, 2) or any(len(face) != 2 for face in faces):
            remedy = 'Write "0 m: 28 + 30 cm", or upper and lower face "0 m: 26 + 28 / 28 + 30 cm".'
            raise BadValue("--at", text, "a place and the edges left and right of the pith", remedy)
        upper, lower = faces[0], faces[-1]
        place = units.length(found[1], "--at")
        sides = [units.length(f"{edge.strip()} {found[3]}", "--at", signed=True) for edge in (*upper, *lower)]
        rows.append((place, *sides))
    rows.sort()
    z, *sides_at = np.array(rows).T
    if z.size < 2 or not np.all(np.diff(z) > 0):
        raise BadValue("--at", ", ".join(places), "at two places or more, each named once")
    faces_at = [np.stack([-sides_at[i], sides_at[i + 1]], axis=1) for i in (0, 2)]
    return SlabOutline(z, faces_at[0], faces_at[1], thickness)
