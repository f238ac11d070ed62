"""``pithline grow``: whether the next step pays, and which stage holds up the rest."""

from __future__ import annotations

import click

from pithline.cli.grow_money import even, invest, keep
from pithline.cli.grow_stages import kiln, stages, yard

__all__ = ["command"]


@click.group(
    "grow",
    epilog="""
\b
Examples:
  pithline grow invest --flow "-20000,4500,5600,5600,5600,10600" --rate "10 %"
  pithline grow stages --stage "mill: 7200 bf" --stage "kiln: 7241 bf" --stage "sell: 5000 bf"

\b
Each of the commands below has examples of its own: pithline grow invest --help
""",
)
def command() -> None:
    """A bigger mill, a kiln, more stock: what the step brings, and whether it lifts the stage that counts.

    The figures are yours. No tax, legal or investment advice.
    """


for each in (invest, keep, even, yard, kiln, stages):
    command.add_command(each)
