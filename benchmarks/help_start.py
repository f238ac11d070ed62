"""How long `pithline --help` takes, against an empty Python and against importing numpy alone.

The aim is under 0.3 s: who asks for help at the log should not wait for compilers.
"""

from __future__ import annotations

import subprocess
import sys
import time


def best_of(words: list[str], times: int = 7) -> float:
    """Wall time of the fastest of several fresh processes. [s]"""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        subprocess.run(words, stdout=subprocess.DEVNULL, check=True)
        took.append(time.perf_counter() - began)
    return min(took)


if __name__ == "__main__":
    bare = best_of([sys.executable, "-c", "pass"])
    rows = {
        "python that does nothing": bare,
        "python that imports numpy": best_of([sys.executable, "-c", "import numpy"]),
        "pithline --help": best_of([sys.executable, "-m", "pithline", "--help"]),
    }
    for name, took in rows.items():
        print(f"{name:28}{took * 1000:7.0f} ms{took / bare:8.1f} x")
