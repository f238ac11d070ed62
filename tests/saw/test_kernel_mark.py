"""Kernels kept on disk must not outlive the code that they were compiled from."""

from __future__ import annotations

import hashlib
from importlib.resources import files

import pytest

from pithline.saw import planner_kernel
from pithline.saw.uses import chain_kernel, worth_kernel

CALLED = {
    planner_kernel: ("chords_kernel.py", "tables.py", "value_kernel.py"),
    worth_kernel: ("tables.py", "value_kernel.py", "uses/wants.py"),
    chain_kernel: ("planner_kernel.py", "tables.py", "uses/worth_kernel.py", "uses/wants.py"),
}


@pytest.mark.parametrize("kernel", CALLED, ids=lambda k: k.__name__.rpartition(".")[2])
def test_a_kernel_is_marked_with_the_files_it_calls(kernel):
    # numba looks a compiled function up by the text of its own file. Without the mark, whoever
    # upgrades would go on planning with the old values, as happened to us.
    text = b"".join((files("pithline.saw") / name).read_bytes() for name in CALLED[kernel])
    digest = hashlib.sha256(text).hexdigest()[:8]
    assert digest == kernel._BUILT_ON, f'write _BUILT_ON = "{digest}" in {kernel.__name__}'
