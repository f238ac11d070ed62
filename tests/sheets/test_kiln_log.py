"""The kiln log, read back from the PDF."""

from __future__ import annotations

import io
from dataclasses import replace

import pypdf
import pytest

from pithline.dry.kiln.load import Piece
from pithline.dry.kiln.run import CAUTIONS, kiln_run
from pithline.dry.kiln.written import read_kiln
from pithline.sheets.kiln_log import kiln_log
from pithline.wood.species import species

SLAB = Piece("14-2", species("northern red oak"), 0.081, 0.135, 0.27)


def text(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_log_says_what_to_set_and_what_belongs_on_the_slabs(paper):
    kiln = read_kiln({"name": "shed kiln"}).value
    run = kiln_run([SLAB], kiln, 0.08)
    first, *lines = text(kiln_log(run, kiln, [SLAB], paper, "2025-02-14"))
    assert "Kiln log · shed kiln" in first
    assert "T3-C1" in first
    assert "from memory" in first
    assert "14-2" in first
    for step in run.steps:
        assert f"{step.setting.temperature:.1f} °C" in first
        assert f"{step.setting.humidity * 100:.0f} %" in first
    assert "not conditioned" in first
    assert "not sterilised" in first
    for caution in CAUTIONS:
        assert caution in first
    # One page of lines holds 32 days.
    assert len(lines) == min(-(-int(run.days.mid + 1) // 32), 4)
    assert "wettest half" in lines[0]


def test_a_hot_kiln_gets_lines_for_the_probe():
    kiln = read_kiln({"like": "container"}).value
    run = kiln_run([SLAB, replace(SLAB, name="14-3")], kiln, 0.08)
    first = text(kiln_log(run, kiln, [SLAB, replace(SLAB, name="14-3")]))[0]
    assert "Then condition" in first
    assert "probe in slab" in first
    assert "2 × Northern red oak" in first
