"""Importing the package stays cheap: what is heavy is imported where it is used."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import pithline

PACKAGE = Path(pithline.__file__).parent
HEAVY = {"cv2", "django", "ezdxf", "matplotlib", "numba", "openpyxl", "scipy", "shapely", "trimesh", "typst"}


def rooms() -> list[str]:
    """Every module of the package but the compiled kernels, which are numba."""
    files = (file.relative_to(PACKAGE.parent).with_suffix("") for file in PACKAGE.rglob("*.py"))
    names = (".".join(part for part in file.parts if part != "__init__") for file in files)
    return sorted(n for n in names if not n.endswith(("_kernel", "__main__")))


def loaded_by(*modules: str) -> set[str]:
    """Top-level packages that a fresh Python has after importing these."""
    lines = "\n".join(f"import {module}" for module in modules)
    code = f"import sys\n{lines}\nprint(*sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert said.returncode == 0, said.stderr
    return {name.split(".")[0] for name in said.stdout.split()}


def test_no_room_imports_a_heavy_package_at_the_top():
    # The book and the pages are Django's; what they must not do is slow down the commands.
    light = [room for room in rooms() if not room.startswith(("pithline.yard", "pithline.web"))]
    assert len(light) > 10
    together = loaded_by(*light) & HEAVY
    # Only a failure pays for finding out which room it was.
    guilty = {room: found for room in light if (found := loaded_by(room) & HEAVY)} if together else {}
    assert not guilty


@pytest.mark.parametrize("module", ["pithline.cli.main", "pithline.errors"])
def test_help_needs_neither_numpy_nor_rich(module):
    # Help may take 0.3 s in all; numpy alone takes about half of that (measured: 0.16 s).
    assert not loaded_by(module) & (HEAVY | {"numpy", "rich"})
