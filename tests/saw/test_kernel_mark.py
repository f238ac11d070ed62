"""Kernels kept on disk must not outlive the code that they were compiled from."""

from __future__ import annotations

import hashlib
from importlib.resources import files

from pithline.saw import planner_kernel

CALLED = ("chords_kernel.py", "tables.py", "value_kernel.py")


def test_the_planners_kernel_is_marked_with_the_kernels_it_calls():
    # numba looks a compiled function up by the text of its own file. Without the mark, whoever
    # upgrades would go on planning with the old values, as happened to us.
    text = b"".join((files("pithline.saw") / name).read_bytes() for name in CALLED)
    digest = hashlib.sha256(text).hexdigest()[:8]
    assert digest == planner_kernel._BUILT_ON, f'write _BUILT_ON = "{digest}" in planner_kernel.py'
