"""The seller's sheet of ``pithline price ask``: what that command knows of a slab, on one page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pithline.cli.price_shown import Shown
    from pithline.money.price.piece import Piece
    from pithline.slab.outline import SlabOutline
    from pithline.units import System

__all__ = ["write_paper"]

_WIDE, _TALL, _TEXT = 92.0, 40.0, 2.8  # of the drawing [mm]
_FOOT_NOTE = "Its cost line by line stands on the slab's page, or: pithline cost slab."


def write_paper(
    path: Path, shown: Shown, outline: SlabOutline | None, floor: str | None, paper: str, system: System
) -> None:
    """Write the sheet.

    Parameters
    ----------
    path : Path
    shown : Shown
    outline : SlabOutline or None
        Where the widths were taped.
    floor : str or None
        As it was said.
    paper : {"a4", "us-letter"}
    system : {"metric", "inch"}
    """
    from datetime import date

    from pithline.cli.plan_files import write_all
    from pithline.sheets.cost_words import CostRow
    from pithline.sheets.hold_words import hold_rows
    from pithline.sheets.price_sheet import Hold, PriceSheet, price_sheet
    from pithline.sheets.price_words import priced_lines
    from pithline.sheets.slab_outline import slab_outline

    code, piece, held = shown.currency, shown.piece, shown.held
    told = []
    if shown.argued is not None:
        told.append(f"Days and space in drying alone argue for × {shown.argued:.3f} by thickness.")
    for use in shown.uses:
        low, mid, high = use.piece
        told.append(
            f"Pieces for a {use.use} brought {mid:.0f} {code}, {low:.0f} to {high:.0f} ({use.count} sold)."
        )
    drawing = "" if outline is None else slab_outline(outline, system, width=_WIDE, tallest=_TALL, text=_TEXT)
    sheet = PriceSheet(
        title=f"What to ask for a slab of {piece.species}",
        facts=_facts(piece, system),
        drawing=drawing,
        cost=(CostRow("Floor, as you said", floor, True),) if floor else (),
        cost_told=(_FOOT_NOTE,),
        lines=priced_lines(piece, shown.found, shown.plain, code, system),
        whence=shown.whence if shown.plain else "",
        price_told=tuple(told),
        hold=Hold(tuple(hold_rows(held, held, "within 12 months", code))) if held else None,
    )
    dated = date.today().isoformat()  # noqa: DTZ011  (a sheet bears the date of its place)
    write_all([("--sheet", path, price_sheet(sheet, code, paper, dated))])
    click.echo(f"Wrote {path}.", err=True)


def _facts(piece: Piece, system: System) -> tuple[tuple[str, str], ...]:
    from pithline import units

    size = " × ".join([
        units.show_length(piece.length, system, "long"),
        units.show_length(piece.width, system),
        units.show_length(piece.thickness, system),
    ])  # fmt: skip
    marks = [
        "flattened" if piece.flattened else "",
        "one of a pair" if piece.pair else "",
        "live edges" if piece.live else "square edges",
        f"figure on {units.show_share(piece.figure, 0)} of the face" if piece.figure else "",
        "with flaws" if piece.flawed else "",
        f"for: {piece.use}" if piece.use else "",
    ]
    return (
        ("Wood", piece.species),
        ("Size", size),
        ("Tally", units.show_volume(piece.volume, "bf")),
        ("State", str(piece.dried)),
        ("Marks", "; ".join(filter(None, marks))),
    )
