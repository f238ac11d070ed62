"""The kinds of long work: a large import, a plan with many draws, a kiln load laid."""

from __future__ import annotations

import uuid
from typing import Any

from pithline.errors import BadValue
from pithline.yard.charge_kept import reckon_charge
from pithline.yard.files import path_of
from pithline.yard.importing import Column, do_import
from pithline.yard.jobs import Progress, work
from pithline.yard.kinds import Who, perform
from pithline.yard.sheets_in import sheets_of

__all__ = ["import_table", "lay_load", "reckon_plan"]


@work("import")
def import_table(said: dict[str, Any], progress: Progress) -> dict[str, Any]:
    """Enter a table that was handed in.

    Parameters
    ----------
    said : dict
        ``file`` (SHA-256 by `files.put`), ``name`` of it, ``sheet`` (which of its tables, from 0),
        ``kind``, ``columns`` (list of heading, field, unit), ``fixed``, ``who``.
    """
    sheets = sheets_of(path_of(said["file"]).read_bytes(), said["name"])
    if not 0 <= said.get("sheet", 0) < len(sheets):
        raise BadValue("sheet", said["sheet"], f"one of 0 to {len(sheets) - 1}")
    columns = [Column(*column) for column in said["columns"]]
    sheet, fixed = sheets[said.get("sheet", 0)], said.get("fixed", {})
    outcomes = do_import(sheet, said["kind"], columns, fixed, Who(said.get("who", "")), progress)
    count = {fate: sum(o.fate == fate for o in outcomes) for fate in ("done", "known", "left out")}
    return count | {"rows": [[o.row, o.fate, o.told] for o in outcomes]}


@work("keep_plan")
def reckon_plan(said: dict[str, Any], progress: Progress) -> dict[str, Any]:
    """Do the entry ``keep_plan`` of these words: ``words``, ``who`` and the entry's ``id``."""
    progress(0.1, "reckoning")
    done = perform("keep_plan", said["words"], who=Who(said.get("who", "")), id=uuid.UUID(said["id"]))
    return {"plan": str(done.subject.pk) if done.subject else None, "entry": str(done.entry.id)}


@work("lay_load")
def lay_load(said: dict[str, Any], progress: Progress) -> dict[str, Any]:
    """Lay a kiln load, see `charge_kept.reckon_charge`; it enters nothing."""
    return reckon_charge(said, progress)
