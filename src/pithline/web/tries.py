"""How often a passphrase may be tried: few times from one address, not very often from all together."""

from __future__ import annotations

import threading
import time
from collections import deque

__all__ = ["Tries"]


class Tries:
    """Failures of the last minutes, in this process's memory.

    Parameters
    ----------
    each, all_ : int
        Failures allowed from one address and from everywhere within `window`.
    window : float
        [s]
    """

    def __init__(self, each: int = 5, all_: int = 40, window: float = 900.0) -> None:
        self.each, self.all, self.window = each, all_, window
        self._failed: deque[tuple[float, str]] = deque()
        self._lock = threading.Lock()

    def wait(self, address: str, now: float | None = None) -> int:
        """Seconds until this address may try again; 0 = now."""
        now = time.monotonic() if now is None else now
        with self._lock:
            while self._failed and self._failed[0][0] <= now - self.window:
                self._failed.popleft()
            own = [at for at, who in self._failed if who == address]
            waits = [0.0]
            if len(own) >= self.each:
                waits.append(own[-self.each] + self.window - now)
            if len(self._failed) >= self.all:
                waits.append(self._failed[-self.all][0] + self.window - now)
        return int(max(waits)) + (max(waits) > 0)

    def failed(self, address: str, now: float | None = None) -> None:
        """Count a failure. Counted before the slow check, so that many at once cannot slip through."""
        with self._lock:
            self._failed.append((time.monotonic() if now is None else now, address))

    def passed(self, address: str) -> None:
        """The right one: what this address got wrong before is forgotten."""
        with self._lock:
            self._failed = deque((at, who) for at, who in self._failed if who != address)
