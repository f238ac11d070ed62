"""A book served by a process of its own, as a person would start it."""

from __future__ import annotations

import http.client
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["SERVE", "free_port", "get", "served"]

SERVE = [sys.executable, "-m", "pithline", "serve", "--no-browser"]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def get(port: int, path: str = "/") -> tuple[int, bytes]:
    asked = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        asked.request("GET", path)
        answer = asked.getresponse()
        return answer.status, answer.read()
    finally:
        asked.close()


@contextmanager
def served(book: Path, *words: str) -> Iterator[tuple[int, subprocess.Popen[str]]]:
    """A served book: port and process."""
    port = free_port()
    env = {**os.environ, "PITHLINE_BOOK": str(book)}
    process = subprocess.Popen(
        [*SERVE, "--port", str(port), *words],
        stderr=subprocess.PIPE,
        stdin=subprocess.PIPE,
        env=env,
        text=True,
    )
    try:
        end = time.monotonic() + 60
        while time.monotonic() < end:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        yield port, process
    finally:
        process.kill()
        process.communicate()
