"""A plan as files: drawings, tables, the sheet."""

from __future__ import annotations

import json
from collections.abc import Callable

from pithline.saw.plan import Plan
from pithline.saw.timber import Timber
from pithline.units import System

__all__ = ["PAPERS", "paper"]

Made = Callable[[Plan, Timber, str, str, System, str], bytes]


def _sheet(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
    from pithline.sheets.cut_sheet import cut_sheet

    return cut_sheet(plan, title, size, system, dated)  # type: ignore[arg-type]


def _sheet_and_card(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
    from pithline.sheets.cut_sheet import cut_sheet

    return cut_sheet(plan, title, size, system, dated, timber)  # type: ignore[arg-type]


def _play(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
    from pithline.sheets.play_page import play_page

    return play_page(plan, timber, title, system).encode()


def _drawn(name: str) -> Made:
    def make(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
        from pithline.sheets.end_view import end_view
        from pithline.sheets.opened_log import opened_log
        from pithline.sheets.side_view import side_view
        from pithline.sheets.slab_faces import slab_faces

        drawings: dict[str, Callable[[], str]] = {
            "butt": lambda: end_view(plan, "butt", system),
            "top": lambda: end_view(plan, "top", system),
            "side": lambda: side_view(plan, system),
            "faces": lambda: slab_faces(plan, system),
            "opened": lambda: opened_log(plan, system),
        }
        return drawings[name]().encode()

    return make


def _table(name: str) -> Made:
    def make(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
        from pithline.sheets.plan_csv import cuts_csv, slabs_csv

        return {"cuts": cuts_csv, "slabs": slabs_csv}[name](plan).encode()

    return make


def _document(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
    from pithline.sheets.plan_json import plan_document

    return json.dumps(plan_document(plan), indent=2, ensure_ascii=False, allow_nan=False).encode()


def _solid(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
    from pithline.sheets.solid import solid_json

    return solid_json(plan).encode()


def _glb(plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str) -> bytes:
    from pithline.sheets.solid_glb import solid_glb

    return solid_glb(plan)


# Name -> (media type, needs ranges and ways, what it is, how it is made).
PAPERS: dict[str, tuple[str, bool, str, Made]] = {
    "sheet.pdf": ("application/pdf", True, "Cut sheet", _sheet),
    "sheet-and-card.pdf": ("application/pdf", True, "Cut sheet with the field card", _sheet_and_card),
    "turn.html": ("text/html; charset=utf-8", False, "A page to turn the log on, without a net", _play),
    "butt.svg": ("image/svg+xml", False, "Butt end", _drawn("butt")),
    "top.svg": ("image/svg+xml", False, "Top end", _drawn("top")),
    "side.svg": ("image/svg+xml", False, "From the side", _drawn("side")),
    "faces.svg": ("image/svg+xml", False, "Slabs laid flat", _drawn("faces")),
    "opened.svg": ("image/svg+xml", False, "The opened log", _drawn("opened")),
    "cuts.csv": ("text/csv; charset=utf-8", False, "Cuts", _table("cuts")),
    "slabs.csv": ("text/csv; charset=utf-8", False, "Slabs", _table("slabs")),
    "plan.json": ("application/json", True, "The whole plan", _document),
    "solid.json": ("application/json", False, "Bodies, for the 3-D view", _solid),
    "log.glb": ("model/gltf-binary", False, "Bodies, for 3-D programs", _glb),
}


def paper(
    name: str, plan: Plan, timber: Timber, title: str, size: str, system: System, dated: str
) -> tuple[str, bytes]:
    """Media type and bytes of one of `PAPERS`; `timber` is the wood that the plan was made with."""
    media, _, _, make = PAPERS[name]
    return media, make(plan, timber, title, size, system, dated)
