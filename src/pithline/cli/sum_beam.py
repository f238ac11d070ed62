"""``pithline sum beam``: the largest square and the strongest form of a heart beam."""

from __future__ import annotations

import click

from pithline.cli.sum_show import show_sum

__all__ = ["beam"]


@click.command(
    "beam",
    epilog="""
\b
Examples:
  pithline sum beam --diameter "50 cm"
  pithline sum beam --diameter "20 in" --json
""",
)
@click.option(
    "--diameter", required=True, metavar="LENGTH", help="Of a round log under bark, at its small end."
)
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), default="metric", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-beam/1).")
def beam(diameter: str, system: str, as_json: bool) -> None:
    """Largest square beam in a round log, and the form with the greatest section modulus.

    It says which form is strongest, not what a beam carries: that is for whoever is
    licensed to reckon it, under local codes.
    """
    from pithline import units
    from pithline.saw.rip.cants import largest_square, strongest_beam

    d = units.length(diameter, "--diameter")
    side, (width, depth) = largest_square(d), strongest_beam(d)
    record = {
        "diameter_m": d,
        "square_m": side,
        "strongest_width_m": width,
        "strongest_depth_m": depth,
        "strongest_section_modulus_m3": width * depth**2 / 6,
    }
    shown = units.show_length

    def told(metres: float) -> str:
        return shown(metres, "inch" if system == "inch" else "metric", fine=True)

    lines = [
        ("largest square", told(side)),
        ("strongest form, width", told(width)),
        ("strongest form, depth", told(depth)),
    ]
    show_sum("beam", record, lines, as_json)
