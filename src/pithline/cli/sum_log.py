"""``pithline sum volume`` and ``pithline sum scale``: a log from a few widths."""

from __future__ import annotations

from typing import Any

import click

from pithline.cli.sum_show import show_sum

__all__ = ["scale", "volume"]


@click.command(
    "volume",
    epilog="""
\b
Examples:
  pithline sum volume --length "16 ft" --butt "18 in" --top "15 in" --json
  pithline sum volume --length "4.2 m" --butt "82 cm" --middle "72 cm" --top "64 cm"
""",
)
@click.option("--length", required=True, metavar="LENGTH")
@click.option("--butt", metavar="LENGTH", help="Diameter under bark at the butt.")
@click.option("--middle", metavar="LENGTH", help="At mid-length.")
@click.option("--top", metavar="LENGTH", help="At the top.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-volume/1).")
def volume(length: str, butt: str | None, middle: str | None, top: str | None, as_json: bool) -> None:
    """Volume of a round log by every formula that the widths allow."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.log import volume as formulas

    long = units.length(length, "--length")
    given = (("--butt", butt), ("--middle", middle), ("--top", top))
    large, mid, small = (
        formulas.area_of_diameter(units.length(text, option)) if text else None for option, text in given
    )
    found: dict[str, float] = {}
    if large is not None and small is not None:
        found["smalian_m3"] = formulas.smalian(long, large, small)
        found["cone_m3"] = formulas.cone(long, large, small)
        found["neiloid_m3"] = formulas.neiloid(long, large, small)
        if mid is not None:
            found["newton_m3"] = formulas.newton(long, large, mid, small)
    if mid is not None:
        found["huber_m3"] = formulas.huber(long, mid)
    if not found:
        raise BadValue(
            "--butt and --top, or --middle", "missing", "given", 'Say --butt "82 cm" --top "64 cm".'
        )
    lines = [(key.removesuffix("_m3"), units.show_volume(value)) for key, value in found.items()]
    show_sum("volume", {"length_m": long, **found}, lines, as_json)


@click.command(
    "scale",
    epilog="""
\b
Examples:
  pithline sum scale --diameter "20 in" --length "16 ft"
  pithline sum scale --girth "2.1 m" --length "4.2 m" --json
""",
)
@click.option("--length", required=True, metavar="LENGTH", help="Whole feet count; what is over is trim.")
@click.option("--diameter", metavar="LENGTH", help="Small end under bark; for the board-foot scales.")
@click.option("--girth", metavar="LENGTH", help="At mid-length; for hoppus feet.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-scale/1).")
def scale(length: str, diameter: str | None, girth: str | None, as_json: bool) -> None:
    """What the log scales say: Doyle, International 1/4-inch, Scribner Decimal C, hoppus."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.log import scales

    long = units.length(length, "--length")
    record: dict[str, Any] = {"length_ft": scales.scale_length(long)}
    lines = []
    if diameter:
        inches = scales.scale_diameter(units.length(diameter, "--diameter"))
        as_scaled = (inches * units.INCH, record["length_ft"] * units.FOOT)
        scribner = scales.scribner_decimal_c(inches, record["length_ft"])
        record |= {
            "diameter_in": inches,
            "doyle_bf": scales.doyle(*as_scaled),
            "international_quarter_inch_bf": scales.international_quarter(*as_scaled),
            "scribner_decimal_c_bf": scribner.board_feet if scribner else None,
            "scribner_decimal_c_mark": scribner.mark if scribner else None,
        }
        lines += [
            ("Doyle", f"{record['doyle_bf']:.1f} bf"),
            ("International 1/4-inch", f"{record['international_quarter_inch_bf']:.1f} bf"),
            (
                "Scribner Decimal C",
                f"{scribner.board_feet} bf ({scribner.mark})" if scribner else "no such log in the table",
            ),
        ]
    if girth:
        record["hoppus_feet"] = scales.hoppus(units.length(girth, "--girth"), long)
        lines.append(("hoppus", f"{record['hoppus_feet']:.2f} hoppus ft"))
    if not lines:
        raise BadValue("--diameter or --girth", "missing", "given", 'Say --diameter "20 in".')
    show_sum("scale", record, lines, as_json)
