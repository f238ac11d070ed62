"""``pithline sum``: one sum at a time, each a pure function that a person can check by hand."""

from __future__ import annotations

import click

from pithline.cli.sum_beam import beam
from pithline.cli.sum_log import scale, volume
from pithline.cli.sum_slab import grain, tally, thickness
from pithline.cli.sum_units import size

__all__ = ["command"]


@click.group(
    "sum",
    epilog="""
\b
Examples:
  pithline sum size '3 1/8"'
  pithline sum volume --length "16 ft" --butt "18 in" --top "15 in" --json
  pithline sum scale --diameter "20 in" --length "16 ft"
  pithline sum thickness 12/4 --species "red oak" --moisture "8 %"
  pithline sum grain --left "25 cm" --right "30 cm" --height "10 cm"
  pithline sum beam --diameter "50 cm"
  pithline sum tally --thickness "80 mm" --at "0 m: 52 x 46 cm" --at "3 m: 44 x 38 cm"
""",
)
def command() -> None:
    """One sum at a time: to check a figure, or to settle a question at the log."""


for each in (size, volume, scale, thickness, grain, tally, beam):
    command.add_command(each)
