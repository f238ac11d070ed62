"""How long `pithline plan` takes on the demo log, from the shell to the finished cut sheet.

The aim is under 3 s once the kernels are compiled; the first run after install compiles
them, and is shown apart.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

DEMO = Path(__file__).parent.parent / "demo" / "hollow-oak.toml"


def took(words: list[str], env: dict[str, str]) -> float:
    """Wall time of one fresh process. [s]"""
    began = time.perf_counter()
    subprocess.run(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True, env=env)
    return time.perf_counter() - began


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "NUMBA_CACHE_DIR": str(Path(folder) / "kernels")}
        plain = [sys.executable, "-m", "pithline", "plan", str(DEMO)]
        sheet = [*plain, "--sheet", str(Path(folder) / "sheet.pdf")]
        rows = {
            "first run, compiling": took(sheet, env),
            "with the sheet, warm": min(took(sheet, env) for _ in range(5)),
            "without the sheet, warm": min(took(plain, env) for _ in range(5)),
            "python that does nothing": min(took([sys.executable, "-c", "pass"], env) for _ in range(5)),
        }
    print(f"{os.cpu_count()} processors, load: {os.getloadavg()[0]:.2f}.\n")
    print("| pithline plan demo/hollow-oak.toml | s |\n| --- | --- |")
    for name, seconds in rows.items():
        print(f"| {name} | {seconds:.2f} |")
