"""What the kiln commands are given: a kiln by name or file, a load from a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.dry.kiln.kiln import Kiln
    from pithline.saw.written.assumed import Written

__all__ = ["bulb", "kiln_of", "kiln_option", "pressure_of"]


def kiln_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add ``--kiln`` and ``--height``."""
    command = click.option(
        "--height", metavar="LENGTH", default="0 m", help='Of the kiln above the sea, for the air: "600 m".'
    )(command)
    return click.option(
        "--kiln",
        "kiln_name",
        metavar="NAME|FILE",
        help='"small dehumidifier", "solar", "container", or a TOML file with a table [kiln].',
    )(command)


def kiln_of(name: str | None, table: dict[str, Any] | None = None) -> Written[Kiln]:
    """A starter by its name, else the table [kiln] of a file, else of the document at hand."""
    from pithline.cli.log_input import read_document
    from pithline.dry.kiln.starters import STARTERS
    from pithline.dry.kiln.written import read_kiln
    from pithline.errors import BadValue

    if name is None:
        return read_kiln(table)
    if name.strip().lower() in STARTERS:
        return read_kiln({"like": name})
    if not Path(name).exists():
        known = ", ".join(f'"{each}"' for each in STARTERS)
        raise BadValue("--kiln", name, f"one of {known}, or a file that is there")
    return read_kiln(read_document(Path(name)).get("kiln", {}))


def pressure_of(height: str) -> float:
    """Air pressure at a written height. [Pa]"""
    from pithline import units
    from pithline.dry.psychrometrics import pressure_at

    return pressure_at(units.length(height, "--height", signed=True))


def bulb(celsius: float) -> str:
    """A thermometer reading in both scales: kiln instruments have either."""
    return f"{celsius:.1f} °C ({celsius * 1.8 + 32:.0f} °F)"
