"""``pithline price``: what a slab may be asked, and why."""

from __future__ import annotations

import click

from pithline.cli.price_ask import ask
from pithline.cli.price_premiums import premiums
from pithline.cli.price_sums import build, markup, thickness

__all__ = ["command"]


@click.group(
    "price",
    epilog="""
\b
Examples:
  pithline price ask demo/sales.toml --species "red oak" --thickness "80 mm" --width "62 cm" \\
    --length "3.1 m" --dried "kiln dried" --flattened --use table
  pithline price premiums demo/sales.toml

\b
Each of the commands below has examples of its own: pithline price build --help
""",
)
def command() -> None:
    """What a slab may be asked, and why, line by line.

    FILE holds your own sales and the comparables you noted (docs/price.md shows how to
    write it). No price is brought along: under ten like sales they are shown, not
    fitted. No tax, legal or investment advice.
    """


for each in (ask, premiums, build, thickness, markup):
    command.add_command(each)
