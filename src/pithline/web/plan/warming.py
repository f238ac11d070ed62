"""Compiling kernels ahead of the first page that needs them.

The planner's are compiled in a thread, so that its first plan comes soon. The others take
longer and would slow down every page meanwhile: they are compiled by two processes of their own,
which leave them on disk, and only where they are not there yet. One has those of ripping and drying, which
a verdict on a log and the first page of a stack wait for: the thread then loads them, and last
the package that draws charts.
"""

from __future__ import annotations

import atexit
import os
import subprocess
import sys
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pithline.log.lie import Lie
    from pithline.log.shape import LogShape
    from pithline.saw.aims import Aims
    from pithline.saw.mill import Mill
    from pithline.saw.timber import Timber

__all__ = ["warm", "warmed"]

_ready = threading.Event()
_rest = threading.Event()
_begun = threading.Lock()
_thread: threading.Thread | None = None


def warm() -> None:
    """Begin compiling in the background, once in a process."""
    global _thread
    with _begun:
        if _thread is None:
            _thread = threading.Thread(target=_compile, name="warming the planner", daemon=True)
            _thread.start()


def warmed(wait: float = 0.0, everything: bool = False) -> bool:
    """Whether plans come at once; waits for it up to so many seconds.

    Parameters
    ----------
    wait : float
        [s]
    everything : bool
        Whether ripping and drying do, too.
    """
    warm()
    return (_rest if everything else _ready).wait(wait)


def _compile() -> None:
    try:
        _plan_a_small_log(uses=False)
    finally:
        # Also after a failure: the page that asks for a plan then shows what is wrong.
        _ready.set()
    try:
        _compile_the_rest()
    finally:
        _rest.set()
    _draw_a_line()


def _compile_the_rest() -> None:
    beside = [_begin(parts) for parts in (("rip", "dry"), ("saw", "lay")) if not _kept(parts)]
    if not _kept(("rip", "dry")):
        beside[0].wait()
    if _kept(("rip", "dry")):
        _rip_a_small_slab()
        _dry_a_thin_slab()


def _begin(parts: Sequence[str]) -> subprocess.Popen[bytes]:
    """Compile in a process of its own."""
    begun = subprocess.Popen(
        [sys.executable, "-m", "pithline.web.plan.warming", *parts],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    atexit.register(begun.terminate)
    return begun


def _kept(parts: Sequence[str]) -> bool:
    """Whether numba has kept the compiled kernels of these parts on this machine."""
    from pithline.dry import diffusion_kernel
    from pithline.dry.laying import contact_kernel
    from pithline.saw.rip import ripping_kernel
    from pithline.saw.uses import chain_kernel

    found: dict[str, tuple[Any, str]] = {
        "saw": (chain_kernel.search, "chain_kernel.search-*.nbi"),
        "rip": (ripping_kernel.rip_faces, "ripping_kernel.rip_faces-*.nbi"),
        "dry": (diffusion_kernel.march_all, "diffusion_kernel.march_all-*.nbi"),
        "lay": (contact_kernel.build, "contact_kernel.build-*.nbi"),
    }
    kernels = [found[part] for part in parts]
    return all(any(Path(kernel.stats.cache_path or "").glob(name)) for kernel, name in kernels)


def _small_log() -> tuple[LogShape, Lie, Mill, Aims, Timber]:
    import numpy as np

    from pithline.log.lie import Lie
    from pithline.log.shape import LogShape
    from pithline.saw.aims import Aims, SizeKind, ThicknessAim
    from pithline.saw.mill import Mill
    from pithline.saw.timber import Timber

    turn = np.linspace(0.0, 2 * np.pi, 120, endpoint=False)
    ring = 0.2 * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    shape = LogShape.of(np.array([0.0, 2.0]), np.stack([ring, ring]), np.zeros(2))
    aims = Aims((ThicknessAim("60 mm green", SizeKind.GREEN, 0.06),), roll_free=True)
    return shape, Lie(0.5, 0.5, 0.3, 0.3), Mill(), aims, Timber("any", 0.04, 0.08, 900.0, 950.0, 1000.0)


def _plan_a_small_log(uses: bool) -> None:
    """Plan a small round log in every way the pages do: each kernel is compiled by being called."""
    from dataclasses import replace

    from pithline.saw.planning import plan
    from pithline.saw.rates import Rates
    from pithline.saw.uses.use import Use

    shape, lie, mill, aims, wood = _small_log()
    rates = Rates()
    if uses:
        wide, pair = Use("any", 0.1, 0.5, price=1.0, at_most=1), Use("two", 0.1, 0.5, price=1.0, pair=True)
        rates = replace(rates, uses=(wide, pair))
    plan(shape, lie, mill, aims, rates, wood, draws=[shape])


def _rip_a_small_slab() -> None:
    """Rip all slabs of a small log, as a verdict does, and one alone, as a slab's price does."""
    import numpy as np

    from pithline.money.market_boards import market_boards
    from pithline.money.offered.ripped import planned_products
    from pithline.saw.rates import Rates
    from pithline.saw.rip.lone import rip_lone
    from pithline.slab.outline import SlabOutline

    shape, lie, mill, aims, wood = _small_log()
    boards = market_boards(1.0, aims.unit)
    planned_products(shape, lie, mill, aims, Rates(), wood, boards, 0.0)
    face = np.array([[-0.2, 0.2], [-0.2, 0.2]])
    rip_lone(SlabOutline(np.array([0.0, 2.0]), face, face, 0.06), boards, 0.06)


def _dry_a_thin_slab() -> None:
    from pithline.dry.air import constant
    from pithline.dry.diffusion import course, courses

    air = constant("a room", 20.0, 10.0, emc=0.12)
    course(0.03, air, [0.0, 5.0], 0.3, targets=[0.2])
    courses(0.03, air, [0.0, 5.0], [0.3, 0.4], [1.0, 1.1], targets=[0.2])


def _lay_a_small_stack() -> None:
    import numpy as np

    from pithline.dry.laying.bound import layers_at_least
    from pithline.dry.laying.contact import Floor
    from pithline.dry.laying.footprint import Footprint
    from pithline.dry.laying.nesting import Effort, nest

    # Wedges that touch by their slopes: rectangles alone do not settle how they lie.
    along, left, right = np.array([[0.0, 1.0], [0.0, 0.0], [0.6, 0.3]])
    slabs = [Footprint.of(str(n), along, left, right, 0.05) for n in range(4)]
    floor = Floor(1.1, 1.0)
    nest(slabs, floor, Effort(rounds=1))
    layers_at_least(slabs, floor, [(k,) for k in range(len(slabs))])


def _draw_a_line() -> None:
    from pithline.sheets.charts import line_with_range

    line = (0.0, 0.5)
    line_with_range(line, line, line, line, title="", across="days", upward="moisture")


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(10)  # whoever waits for a page comes first
    parts = sys.argv[1:] or ["saw", "rip", "dry", "lay"]
    if "saw" in parts:
        _plan_a_small_log(uses=True)
    if "rip" in parts:
        _rip_a_small_slab()
    if "dry" in parts:
        _dry_a_thin_slab()
    if "lay" in parts:
        _lay_a_small_stack()
