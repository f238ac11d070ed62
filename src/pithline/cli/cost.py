"""``pithline cost``: what an hour, a log, a slab and a month of waiting cost."""

from __future__ import annotations

import click

from pithline.cli.cost_hour import hour, machine
from pithline.cli.cost_log import log
from pithline.cli.cost_share import load, overhead, share, split
from pithline.cli.cost_slab import month, slab

__all__ = ["command"]


@click.group(
    "cost",
    epilog="""
\b
Examples:
  pithline cost hour --saw "1900 USD" --chain "38 USD" --fuel "2.00 per l" --km "0.60 per km" \\
    --wage "240 per day"
  pithline cost machine --price "2400" --salvage "480" --years 3 --hours "600 h" --working "60 %"
  pithline cost log --costs demo/costs.toml --work "cutting: 6 h, saw 3 h, 8 l"
  pithline cost share --joint "600 USD" --piece "outer: 30 bf, green 150" --piece "centre: 55 bf, green 520"
  pithline cost load --cost "180 USD" --slab "14-3: 0.15 m3, 21 days" --slab "14-4: 0.18 m3, 28 days"
  pithline cost overhead --amount "90 USD" --by hours --bearer "oak: 22 h" --bearer "custom work: 8 h"
  pithline cost slab --volume "0.15 m3" --spent "log share: 96" --still "flattening: 40" --other "lumber: 55"
  pithline cost month --volume "0.15 m3" --worth "480 USD" --space "6 per m3 and month"
  pithline cost split --total "100.00" --parts 1,1,1
""",
)
def command() -> None:
    """What an hour, a log, a slab and a month of waiting cost, every step shown.

    No tax, legal or investment advice.
    """


for each in (hour, machine, log, share, load, overhead, slab, month, split):
    command.add_command(each)
