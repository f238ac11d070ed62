"""The files that `pithline plan` writes, each whole or not at all."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pithline.errors import BadValue

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.plan import Plan
    from pithline.units import System

__all__ = ["write_all", "write_files"]


def write_files(
    plan: Plan, job: Job, system: System, options: Mapping[str, Any], progress: Callable[[str], None]
) -> list[Path]:
    """Write whatever the options ask for: sheet, svg, html, csv, dxf, model.

    Everything is made before anything is written, so a refusal leaves no half set.

    Returns
    -------
    list of Path

    Raises
    ------
    BadValue
        A place that cannot be written.
    """
    files: list[tuple[str, Path, bytes]] = []
    title = f"{job.record.name} · {job.record.species.name}"
    if path := options.get("sheet"):
        from datetime import date

        from pithline.sheets.cut_sheet import cut_sheet

        progress("laying out the sheet")
        dated = date.today().isoformat()  # noqa: DTZ011  (a sheet bears the date of its place)
        back = job.timber if options.get("card") else None
        files.append(("--sheet", path, cut_sheet(plan, title, options["paper"], system, dated, back)))
    if path := options.get("svg"):
        from pithline.sheets.end_view import end_view
        from pithline.sheets.opened_log import opened_log
        from pithline.sheets.side_view import side_view
        from pithline.sheets.slab_faces import slab_faces

        progress("drawing")
        for name, drawing in (
            ("butt.svg", end_view(plan, "butt", system)),
            ("top.svg", end_view(plan, "top", system)),
            ("side.svg", side_view(plan, system)),
            ("slabs.svg", slab_faces(plan, system)),
            ("opened.svg", opened_log(plan, system)),
        ):
            files.append(("--svg", path / name, drawing.encode()))
    if path := options.get("html"):
        from pithline.sheets.play_page import play_page

        progress("turning the log")
        files.append(("--html", path, play_page(plan, job.timber, title, system).encode()))
    if path := options.get("csv"):
        from pithline.sheets.plan_csv import cuts_csv, slabs_csv

        files.append(("--csv", path / "cuts.csv", cuts_csv(plan).encode()))
        files.append(("--csv", path / "slabs.csv", slabs_csv(plan).encode()))
    if path := options.get("dxf"):
        from pithline.sheets.plan_dxf import outlines_dxf

        files.append(("--dxf", path, outlines_dxf(plan)))
    if path := options.get("tornado"):
        from pithline.sheets.retake_chart import retake_chart

        progress("drawing")
        chart = retake_chart(plan)
        if chart is None:
            raise BadValue("--tornado", str(path), "a log whose value some measurement moves")
        files.append(("--tornado", path, chart.svg.encode()))
    if path := options.get("glb"):
        from pithline.sheets.solid_glb import solid_glb

        progress("building the bodies")
        files.append(("--glb", path, solid_glb(plan)))
    if path := options.get("model"):
        from pithline.saw.rows import model_csv

        progress("writing the model")
        files.append(("--model", path, model_csv(plan, job.timber).encode()))
    write_all(files)
    return [path for _, path, _ in files]


def write_all(files: Iterable[tuple[str, Path, bytes]]) -> None:
    """Write every file beside its place, and only once all are written move them there.

    So no half file is ever seen, and one place that cannot be written leaves none of the others.

    Parameters
    ----------
    files : iterable of (option, path, data)

    Raises
    ------
    BadValue
        Where one cannot be written; names its option.
    """
    waiting: list[tuple[str, Path, str]] = []
    try:
        for option, path, data in files:
            with _naming(option, path):
                if path.is_dir():
                    raise IsADirectoryError(errno.EISDIR, "This is a folder")
                path.parent.mkdir(parents=True, exist_ok=True)
                handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
                waiting.append((option, path, name))
                with os.fdopen(handle, "wb") as file:
                    file.write(data)
                os.chmod(name, 0o644)  # a sheet is for everyone; mkstemp makes it private
        while waiting:
            option, path, name = waiting[0]
            with _naming(option, path):
                os.replace(name, path)
            waiting.pop(0)
    finally:
        for _, _, name in waiting:
            os.unlink(name)


@contextmanager
def _naming(option: str, path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as problem:
        raise BadValue(
            option, str(path), "a place that can be written", f"{problem.strerror}: choose another."
        ) from None
