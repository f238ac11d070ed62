"""``pithline hold``: what to ask, how long to wait, and when to let a slab go."""

from __future__ import annotations

import click

from pithline.cli.hold_learn import learn
from pithline.cli.hold_many import deadline, lot, steps
from pithline.cli.hold_one import green, offer, price, wait

__all__ = ["command"]


@click.group(
    "hold",
    epilog="""
\b
Examples:
  pithline hold price --buyers "2 per month" --pays "400 USD" --holding 6 --interest "10 %"
  pithline hold learn demo/sales.toml --reference "900 USD" --holding 6

\b
Each of the commands below has examples of its own: pithline hold deadline --help
""",
)
def command() -> None:
    """What to ask, how long to wait, and when to let a slab go.

    Buyers are taken to come by chance, so many a month on average, each with a limit of
    their own. A figure is as good as that picture: it weighs likelihoods, it foresees
    nothing. No tax, legal or investment advice.
    """


for each in (price, offer, deadline, steps, lot, green, wait, learn):
    command.add_command(each)
