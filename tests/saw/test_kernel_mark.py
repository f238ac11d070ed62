"""Kernels kept on disk must not outlive the code that they were compiled from."""

from __future__ import annotations

import hashlib
from importlib.resources import files

import pytest

from pithline.saw import planner_kernel, value_kernel
from pithline.saw.uses import (
    above_kernel,
    again_kernel,
    chain_kernel,
    pair_kernel,
    piece_kernel,
    place_kernel,
    rest_kernel,
    worth_kernel,
)

CALLED = {
    value_kernel: ("block.py", "profile_kernel.py", "share_kernel.py", "tables.py"),
    planner_kernel: ("block.py", "chords_kernel.py", "tables.py", "value_kernel.py"),
    place_kernel: ("value_kernel.py",),
    piece_kernel: ("uses/place_kernel.py", "uses/wants.py", "value_kernel.py"),
    pair_kernel: ("uses/place_kernel.py", "uses/wants.py", "value_kernel.py"),
    rest_kernel: ("uses/place_kernel.py", "value_kernel.py"),
    worth_kernel: ("uses/place_kernel.py", "uses/rest_kernel.py", "uses/wants.py", "value_kernel.py"),
    above_kernel: ("share_kernel.py",),
    again_kernel: ("planner_kernel.py", "uses/pair_kernel.py", "uses/piece_kernel.py"),
    chain_kernel: ("planner_kernel.py", "uses/pair_kernel.py", "uses/worth_kernel.py"),
}


@pytest.mark.parametrize("kernel", CALLED, ids=lambda k: k.__name__.rpartition(".")[2])
def test_a_kernel_is_marked_with_the_files_it_calls(kernel):
    # numba looks a compiled function up by the text of its own file. Without the mark, whoever
    # upgrades would go on planning with the old values, as happened to us.
    text = b"".join((files("pithline.saw") / name).read_bytes() for name in CALLED[kernel])
    digest = hashlib.sha256(text).hexdigest()[:8]
    assert digest == kernel._BUILT_ON, f'write _BUILT_ON = "{digest}" in {kernel.__name__}'
