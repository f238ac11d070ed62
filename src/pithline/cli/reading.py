"""``pithline reading``: what a meter and a scale say of the wood, and what a stack's readings teach."""

from __future__ import annotations

import click

from pithline.cli.reading_due import due
from pithline.cli.reading_learn import learn
from pithline.cli.reading_one import meter, weigh

__all__ = ["command"]


@click.group(
    "reading",
    epilog="""
\b
Examples:
  pithline reading meter "22 %" --species "red oak" --temperature "5 C" --depth "16 mm"
  pithline reading weigh --green "5.240 kg" --section "82 %" --section "78.6 %" --now "3.560 kg"
  pithline reading learn --help
  pithline reading due --moisture "45 %"
""",
)
def command() -> None:
    """Moisture readings put right, and what they teach about a stack."""


for each in (meter, weigh, learn, due):
    command.add_command(each)
