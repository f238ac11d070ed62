"""``pithline kiln``: schedules, sample boards, sterilising, whole loads."""

from __future__ import annotations

import click

from pithline.cli.kiln_air import air
from pithline.cli.kiln_load import load
from pithline.cli.kiln_sample import sample
from pithline.cli.kiln_schedule import codes, schedule
from pithline.cli.kiln_sterilise import sterilise
from pithline.cli.kiln_targets import targets

__all__ = ["command"]


@click.group(
    "kiln",
    epilog="""
\b
Examples:
  pithline kiln codes "red oak"
  pithline kiln schedule "red oak" --thickness 12/4 --kiln "small dehumidifier" --start "24 %"
  pithline kiln sample --code T3-C1 --at "34 %" --at "31 %" --at "29 %" --at "26 %"
  pithline kiln sterilise 12/4 --kiln container --start "10 C"
  pithline kiln load demo/kiln.toml
  pithline kiln targets --at "22 %"
  pithline kiln air --dry-bulb "120 F" --wet-bulb "110 F"

\b
Kiln heat, damp wiring, mould and solvents hurt people: follow local codes, the
maker's manual and licensed practice.
""",
)
def command() -> None:
    """A kiln run: which schedule, what to set, how long, how much water and power."""


for each in (codes, schedule, sample, sterilise, load, air, targets):
    command.add_command(each)
