"""``pithline sum size``: what a written measure is in SI."""

from __future__ import annotations

from typing import Any

import click

from pithline.cli.sum_show import show_sum

__all__ = ["size"]

_KEYS = {
    "length": "length_m",
    "mass": "mass_kg",
    "volume": "volume_m3",
    "area": "area_m2",
    "angle": "angle_rad",
    "slope": "slope_m_per_m",
    "share": "share_fraction",
    "temperature": "temperature_c",
    "duration": "duration_min",
    "clock": "clock_rad",
}


@click.command(
    "size",
    epilog="""
\b
Examples:
  pithline sum size '3 1/8"'
  pithline sum size "71 lb" --as mass --json
""",
)
@click.argument("text")
@click.option("--as", "kind", type=click.Choice(list(_KEYS)), default="length", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-size/1).")
def size(text: str, kind: str, as_json: bool) -> None:
    """What TEXT, a measure with its unit, is in SI."""
    from pithline import units

    value = float(getattr(units, kind)(text, "TEXT"))
    record: dict[str, Any] = {"text": text, _KEYS[kind]: value}
    lines = [(_KEYS[kind], f"{value:.9g}")]
    if kind == "length":
        record["quarters"] = units.quarters(text)
        lines += [
            ("metric", units.show_length(value, fine=True)),
            ("inch", units.show_length(value, "inch", fine=True)),
        ]
    show_sum("size", record, lines, as_json)
