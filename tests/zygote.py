"""Many short command lines from one process that has everything imported already.

Each command runs in a fork of a clean interpreter: the same code as ``pithline``, with its
own folder, environment and exit, and without a second spent on imports and on reading
compiled kernels. Lines that need a shell go to one.
"""

from __future__ import annotations

import atexit
import json
import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

__all__ = ["command", "run"]

# What only a shell understands.
_SHELL = re.compile(r"[|<>;&$`*?~]|^\w+=")
_ROOMS = (
    *("numba", "scipy.optimize", "scipy.sparse", "shapely", "rich.console", "rich.table", "click"),
    *(
        "pithline.saw.planning",
        "pithline.saw.planner_kernel",
        "pithline.saw.doubts",
        "pithline.log.measuring",
    ),
    *("pithline.sheets.plan_json", "pithline.dry.diffusion_kernel", "pithline.dry.forecast"),
    # What a book wants before it is told where it lies.
    *("django.db.models", "django.http", "django.urls", "django.forms", "django.core.serializers.json"),
    *("django.contrib.sessions.serializers", "django.db.backends.sqlite3.base", "openpyxl", "asyncio"),
    *("django.template.backends.django", "django.core.management", "pithline.yard.opening"),
)
_served: subprocess.Popen[str] | None = None


def run(line: str, folder: Path, env: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """Run one line as a shell in `folder` would; standard error goes into the output."""
    if os.name == "posix" and line.startswith("pithline ") and not _SHELL.search(line):
        return _forked(shlex.split(line)[1:], folder, env)
    return subprocess.run(
        ["bash", "-c", line],
        cwd=folder,
        env=env,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def command(*words: object, folder: Path | None = None, **env: str) -> subprocess.CompletedProcess[str]:
    """Run ``pithline`` with these words, what it prints and what it remarks kept apart."""
    wanted = [str(word) for word in words]
    told = {**os.environ, **env}
    if os.name == "posix":
        return _forked(wanted, folder or Path.cwd(), told, apart=True)
    line = [sys.executable, "-m", "pithline", *wanted]
    return subprocess.run(line, cwd=folder, env=told, capture_output=True, text=True)


def _forked(
    words: list[str], folder: Path, env: dict[str, str], *, apart: bool = False
) -> subprocess.CompletedProcess[str]:
    global _served
    if _served is None or _served.poll() is not None:
        _served = subprocess.Popen(
            [sys.executable, __file__],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            # One thread each: a fork takes no threads with it.
            env={**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"},
        )
        atexit.register(_served.terminate)
    assert _served.stdin is not None
    assert _served.stdout is not None
    with tempfile.NamedTemporaryFile() as printed, tempfile.NamedTemporaryFile() as remarked:
        to = [printed.name, remarked.name if apart else printed.name]
        wanted = {"words": words, "folder": str(folder), "env": env, "to": to}
        _served.stdin.write(json.dumps(wanted) + "\n")
        _served.stdin.flush()
        code = int(_served.stdout.readline())
        told, remarks = (
            Path(f.name).read_text(encoding="utf-8", errors="replace") for f in (printed, remarked)
        )
    return subprocess.CompletedProcess(["pithline", *words], code, told, remarks)


def _serve() -> None:
    """Fork for every line of standard input, and answer with the exit code."""
    import importlib

    for room in _ROOMS:
        importlib.import_module(room)
    for line in sys.stdin:
        wanted = json.loads(line)
        child = os.fork()
        if child == 0:
            _become(wanted)
        _, status = os.waitpid(child, 0)
        print(os.waitstatus_to_exitcode(status), flush=True)


def _become(wanted: dict) -> None:
    """Run one command in this process, and end it."""
    # Two names for one file would write over each other: appended, what goes to one stays in order.
    out, err = (os.open(path, os.O_WRONLY | os.O_APPEND) for path in wanted["to"])
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    os.dup2(out, 1)
    os.dup2(err, 2)
    # Both in the order in which they are written, as in a terminal.
    sys.stdin = open(0, encoding="utf-8")  # noqa: SIM115
    sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stderr = open(2, "w", encoding="utf-8", closefd=False, buffering=1)  # noqa: SIM115
    os.environ.clear()
    os.environ.update(wanted["env"])
    os.chdir(wanted["folder"])
    sys.argv = ["pithline", *wanted["words"]]
    code = 1
    try:
        from pithline.cli.main import main

        told = main()
        code = told if isinstance(told, int) else 0
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else int(end.code is not None)
    except BaseException:  # noqa: BLE001 - as the interpreter would, before it ends
        import traceback

        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    _serve()
