"""A throw-away PostgreSQL of Debian's package: on a socket in a temporary folder, gone after the tests."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

__all__ = ["cluster"]


@contextmanager
def cluster() -> Iterator[str]:
    """The folder of a running server's socket; skips the test where there is no server to run."""
    programs = _programs()
    folder = Path(tempfile.mkdtemp(prefix="pithline-pg-"))
    data = folder / "data"
    # initdb refuses root, so there the package's own user runs it.
    as_user = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    try:
        if as_user:
            shutil.chown(folder, "postgres")
        _run(
            *as_user,
            programs / "initdb",
            "-D",
            data,
            "-U",
            "postgres",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--no-sync",
        )
        # Nothing here must outlive a crash of this machine.
        options = f"-c listen_addresses='' -k {folder} -c fsync=off -c full_page_writes=off"
        log = folder / "log"
        _run(*as_user, programs / "pg_ctl", "-D", data, "-o", options, "-l", log, "-w", "start")
        try:
            yield str(folder)
        finally:
            _run(*as_user, programs / "pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _programs() -> Path:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if not found:
        pytest.skip("PostgreSQL is not on this machine; on Debian: apt-get install postgresql")
    if os.geteuid() == 0 and not shutil.which("runuser"):
        pytest.skip("PostgreSQL refuses to run as root, and there is no runuser to become another user")
    return found[-1].parent


def _run(*command: object) -> None:
    # Its server would keep a pipe open for good, so what it says goes into its own log.
    done = subprocess.run(
        [str(c) for c in command], cwd="/", stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    if done.returncode:
        pytest.fail(f"PostgreSQL: {' '.join(map(str, command))} ended with {done.returncode}")
