"""Labels for the wood: a number to read from afar, and a code that leads back to the book."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from io import BytesIO
from typing import Any

from pithline.errors import BadValue
from pithline.sheets.label_stock import LabelStock

__all__ = ["Label", "label_sheets", "qr_svg"]

_MOST = 2000  # labels in one go: some 90 sheets


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on one label.

    Attributes
    ----------
    number : str
        As on the wood: 14-3.
    lines : tuple of str
        Species, size and what else; the first is set larger.
    address : str
        What the code holds: the page of this slab in its book.
    """

    number: str
    lines: tuple[str, ...]
    address: str


def qr_svg(address: str) -> bytes:
    """A QR code with its quiet zone, as SVG whose unit is one module.

    Notes
    -----
    Error correction M (15 % of the code may be lost): a label gets scratched and wet,
    and a higher one would make the modules too small for a label of 25 mm.
    """
    import segno

    out = BytesIO()
    segno.make(address, error="m", micro=False, boost_error=False).save(
        out, kind="svg", border=4, xmldecl=False
    )
    return out.getvalue()


def label_sheets(labels: Sequence[Label], stock: LabelStock, first: int = 1) -> bytes:
    """Lay labels out on sheets.

    Parameters
    ----------
    labels : sequence of Label
    stock : LabelStock
    first : int
        Position of the first label, counted row by row from 1: earlier ones of a
        part-used sheet stay empty.

    Returns
    -------
    bytes
        A PDF in the sheet's own size; print it at 100 %.

    Raises
    ------
    BadValue
        No label, too many, or a first position that the sheet does not have.
    """
    import typst

    if not 0 < len(labels) <= _MOST:
        raise BadValue("labels", len(labels), f"from 1 to {_MOST}", "Choose slabs on the page Rack.")
    if not 1 <= first <= stock.count:
        raise BadValue("first label", first, f"from 1 to {stock.count}, the labels on a sheet")
    template = files("pithline.sheets").joinpath("labels.typ").read_bytes()
    inputs = {"sheet": json.dumps(_content(labels, stock, first))}
    return bytes(typst.compile(template, format="pdf", ignore_system_fonts=True, sys_inputs=inputs))


def _content(labels: Sequence[Label], stock: LabelStock, first: int) -> dict[str, Any]:
    pages: list[list[dict[str, Any]]] = []
    for n, label in enumerate(labels, first - 1):
        if not pages or n % stock.count == 0:
            pages.append([])
        x, y = stock.place(n)
        pages[-1].append(
            {
                "x": x,
                "y": y,
                "number": label.number,
                "lines": list(label.lines),
                "code": qr_svg(label.address).decode(),
                "address": label.address,
            }
        )
    # The code takes up to a good third of the width, and leaves a margin where the cutter wanders.
    code = min(stock.height - 4.0, stock.width * 0.42, 36.0)
    return {
        "paper": stock.paper,
        "width": stock.width,
        "height": stock.height,
        "code": code,
        "pages": pages,
    }
