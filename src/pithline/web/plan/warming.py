"""Compiling the planner ahead of the first plan, beside whatever else the server does."""

from __future__ import annotations

import threading

__all__ = ["warm", "warmed"]

_ready = threading.Event()
_begun = threading.Lock()
_thread: threading.Thread | None = None


def warm() -> None:
    """Begin compiling in the background, once in a process."""
    global _thread
    with _begun:
        if _thread is None:
            _thread = threading.Thread(target=_compile, name="warming the planner", daemon=True)
            _thread.start()


def warmed(wait: float = 0.0) -> bool:
    """Whether plans come at once; waits for it up to so many seconds."""
    warm()
    return _ready.wait(wait)


def _compile() -> None:
    """Plan a small round log in every way the pages do: each kernel is compiled by being called."""
    from dataclasses import replace

    import numpy as np

    from pithline.log.lie import Lie
    from pithline.log.shape import LogShape
    from pithline.saw.aims import Aims, SizeKind, ThicknessAim
    from pithline.saw.mill import Mill
    from pithline.saw.planning import plan
    from pithline.saw.rates import Rates
    from pithline.saw.timber import Timber
    from pithline.saw.uses import Use

    try:
        turn = np.linspace(0.0, 2 * np.pi, 120, endpoint=False)
        ring = 0.2 * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
        shape = LogShape.of(np.array([0.0, 2.0]), np.stack([ring, ring]), np.zeros(2))
        aims = Aims((ThicknessAim("60 mm green", SizeKind.GREEN, 0.06),), roll_free=True)
        wood = Timber("any", 0.04, 0.08, 900.0, 950.0, 1000.0)
        lie = Lie(0.5, 0.5, 0.3, 0.3)
        plan(shape, lie, Mill(), aims, Rates(), wood, draws=[shape])
        # Uses have kernels of their own; most plans do without, so these may go on in the background.
        _ready.set()
        wide, pair = Use("any", 0.1, 0.5, price=1.0, at_most=1), Use("two", 0.1, 0.5, price=1.0, pair=True)
        plan(shape, lie, Mill(), aims, replace(Rates(), uses=(wide, pair)), wood, draws=[shape])
    finally:
        # Also after a failure: the page that asks for a plan then shows what is wrong.
        _ready.set()
