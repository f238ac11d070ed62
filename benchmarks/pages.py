"""How long the pages take: a new book's first page, a book of 5,000 slabs, a plan redrawn.

The aims: first start to page under 5 s; a page of the large book under 100 ms on the server
and under 100 kB; a redrawn plan under 150 ms. Beside each stands the ratio to the barest
page there is, the API's own name, which goes through the same server and doors.
"""

from __future__ import annotations

import http.client
import os
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

SLABS, LOGS, TIMES = 5_000, 100, 9


def first_start(folder: Path) -> float:
    """From the command typed to the first page of a new book. [s]"""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    began = time.perf_counter()
    words = [sys.executable, "-m", "pithline", "serve", "--no-browser", "--port", str(port)]
    process = subprocess.Popen([*words, "--book", str(folder)], stderr=subprocess.DEVNULL)
    try:
        while time.perf_counter() - began < 60:
            asked = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
            try:
                asked.request("GET", "/")
                if asked.getresponse().read():
                    return time.perf_counter() - began
            except OSError:
                time.sleep(0.02)
            finally:
                asked.close()
        raise TimeoutError("no page within a minute")
    finally:
        process.terminate()
        process.wait()


def fill_large() -> None:
    """A book of 5,000 slabs in 100 logs and 100 stacks, entered as people enter them, and a planned log."""
    from pithline.yard.demo import hollow_oak
    from pithline.yard.kinds import perform

    each = SLABS // LOGS
    for number in range(1, LOGS + 1):
        perform("take_log", {"name": f"log {number}", "species": "northern red oak"})
        perform("build_stack", {"name": f"stack {number}"})
        slabs = [
            {
                "thickness": "80 mm",
                "length": "2.9 m",
                "widths": ["0 m: 46 cm / 50 cm", "1.5 m: 44 cm / 47 cm", "2.9 m: 41 cm / 44 cm"],
                "stack": f"stack {number}",
                "layer": layer,
            }
            for layer in range(1, each + 1)
        ]
        perform("tally_slabs", {"log": str(number), "slabs": slabs})
    tables = hollow_oak()
    perform("take_log", {"name": "hollow oak", "species": "northern red oak"})
    record = {name: tables[name] for name in ("log", "lie")}
    perform("measure_log", {"log": str(LOGS + 1), "record": record})
    for kind in ("mill", "aims", "rates"):
        perform("keep_profile", {"kind": kind, "name": "usual", "table": tables[kind], "usual": True})


def clock(ask: Callable[[int], Any]) -> tuple[float, int]:
    """Median time of an answer and its size, the first one not counted. [s], [bytes]"""
    ask(0)
    took, size = [], 0
    for n in range(1, TIMES + 1):
        began = time.perf_counter()
        answer = ask(n)
        took.append(time.perf_counter() - began)
        assert answer.status_code == 200, answer.status_code
        size = len(answer.content)
    return statistics.median(took), size


def main() -> None:
    folder = Path(tempfile.mkdtemp(prefix="pithline-bench-"))
    try:
        print(
            f"first start to the first page of a new book: {first_start(folder / 'new'):.1f} s (aim: under 5)"
        )
        from pithline.web.site import configure_site

        configure_site(folder / "large")
        from pithline.yard.opening import bring_up_to_date

        bring_up_to_date()
        began = time.perf_counter()
        fill_large()
        took = time.perf_counter() - began
        print(f"{SLABS} slabs entered in {took:.0f} s, {took / SLABS * 1000:.1f} ms each\n")
        from django.conf import settings
        from django.test import Client

        settings.PITHLINE_API_RATE = "1000000/min"
        client = Client(headers={"host": "localhost"})
        bare, _ = clock(lambda n: client.get(f"/api/about?{n}"))
        plan = f"/plan/{LOGS + 1}/"
        whole = {"HX-Request": "true", "HX-Target": "plan"}
        rows = {
            "the API's name": ("/api/about", {}),
            "This week": ("/", {}),
            "Logs": ("/logs/", {}),
            "a log": ("/logs/50/", {}),
            "Rack": ("/rack/", {}),
            "Rack, a later part": ("/rack/?page={n}", {}),
            "Rack, one stack": ("/rack/?stack=stack+50", {}),
            "Stacks": ("/rack/stacks/", {}),
            "a slab": ("/rack/50-{n}/", {}),
            "Tally of a log": ("/tally/50/", {}),
            "Search": ("/search/?q=oak", {}),
            "API, 100 slabs": ("/api/slabs", {}),
            "plan, another roll": (plan + "?said=1&roll={n}", whole),
            "plan, another kerf": (plan + "?said=1&mill.kerf=9.{n}+mm", whole),
            "plan, another least width": (plan + "?said=1&aims.least_width=2{n}0+mm", whole),
        }
        print(f"{'page':28}{'time':>10}{'size':>10}{'x barest':>10}")
        for name, (address, headers) in rows.items():

            def ask(n: int, address: str = address, headers: dict[str, str] = headers) -> Any:
                return client.get(address.format(n=n % 9 + 1), headers=headers)

            took, size = clock(ask)
            print(f"{name:28}{took * 1000:7.0f} ms{size / 1000:7.1f} kB{took / bare:9.1f}x")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    os.environ.pop("PITHLINE_DATABASE_URL", None)
    main()
