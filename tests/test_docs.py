"""What the documents show is what happens: their commands, code and examples are run.

Covered without being listed here: README.md, every docs/*.md, every docstring, every
help text. In a ```console block each line that begins with ``$ pithline`` is run, in
order, in a folder with a copy of demo/; other commands are left alone. Words after
``console`` say what to expect: ``refused`` exit code 2 instead of 0, ``exact`` that the
lines under a command are all it prints (a line ``...`` stands for any lines).
```python blocks of one document run in order in one namespace; ```toml blocks must parse.
"""

from __future__ import annotations

import doctest
import importlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import NamedTuple

import click
import pytest

from pithline.cli.main import COMMANDS, module_of
from pithline.cli.main import pithline as group
from tests import zygote
from tests.test_imports import rooms

ROOT = Path(__file__).parents[1]
DOCUMENTS = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")])
FENCE = re.compile(r"^( *)```(\w+)([^\n`]*)\n(.*?)^\1```\s*$", re.MULTILINE | re.DOTALL)
BUILT = [name for name in COMMANDS if importlib.util.find_spec(module_of(name))]

posix = pytest.mark.skipif(sys.platform == "win32", reason="the documents show a Unix shell")


class Block(NamedTuple):
    """One fenced block of a document."""

    language: str
    expects: set[str]
    text: str
    line: int


class Shown(NamedTuple):
    """One command of a console block and the lines shown under it."""

    command: str
    output: list[str]


def blocks(text: str, *languages: str) -> list[Block]:
    found = []
    for fence in FENCE.finditer(text):
        indent, language, expects, body = fence.groups()
        if language in languages:
            body = re.sub(f"^{indent}", "", body, flags=re.MULTILINE)
            found.append(Block(language, set(expects.split()), body, text[: fence.start()].count("\n") + 1))
    return found


def shown(console: str) -> list[Shown]:
    """Split a console block into commands; a line that ends in a backslash goes on."""
    commands: list[Shown] = []
    for line in console.replace("\\\n", " ").splitlines():
        if line.startswith("$ "):
            commands.append(Shown(line[2:].strip(), []))
        elif commands:
            commands[-1].output.append(line)
    return commands


def matches(printed: str, output: list[str]) -> bool:
    """Whether these lines were printed, ``...`` standing for any."""
    lines = "\n".join(line.rstrip() for line in output).strip("\n")
    parts = (re.escape(part) for part in re.split(r"^\.\.\.$", lines, flags=re.MULTILINE))
    tidy = "\n".join(line.rstrip() for line in printed.splitlines()).strip("\n")
    return re.fullmatch(".*".join(parts), tidy, re.DOTALL) is not None


@pytest.fixture
def at_home(tmp_path):
    """A folder with a copy of demo/, and a shell there that knows pithline."""
    if (ROOT / "demo").exists():
        shutil.copytree(ROOT / "demo", tmp_path / "demo")
    scripts = tmp_path / ".bin"
    scripts.mkdir()
    command = scripts / "pithline"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m pithline "$@"\n')
    command.chmod(0o755)
    path = f"{scripts}{os.pathsep}{os.environ['PATH']}"
    env = {**os.environ, "PATH": path, "COLUMNS": "100", "NO_COLOR": "1", "TERM": "dumb"}
    env["PITHLINE_BOOK"] = str(tmp_path / "book")  # never the book of whoever runs the tests

    def shell(line: str) -> subprocess.CompletedProcess[str]:
        return zygote.run(line, tmp_path, env)

    return shell


@posix
@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.name)
def test_commands_do_what_the_document_shows(document, at_home):
    wrong = []
    for block in blocks(document.read_text(encoding="utf-8"), "console"):
        where = f"{document.name}:{block.line}"
        unknown = block.expects - {"exact", "refused"}
        assert not unknown, f"{where}: after ```console only exact or refused; found {unknown}"
        for command, output in shown(block.text):
            if not command.startswith("pithline"):
                continue
            ran = at_home(command)
            due = 2 if "refused" in block.expects else 0
            if ran.returncode != due:
                wrong.append(f"{where}: exit {ran.returncode}, not {due}: {command}\n{ran.stdout}")
            elif "exact" in block.expects and not matches(ran.stdout, output):
                wrong.append(f"{where}: prints otherwise than shown: {command}\n{ran.stdout}")
    assert not wrong, "\n\n".join(wrong)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.name)
def test_code_and_tables_of_the_document_hold(document, tmp_path, monkeypatch):
    if (ROOT / "demo").exists():
        shutil.copytree(ROOT / "demo", tmp_path / "demo")
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    for block in blocks(document.read_text(encoding="utf-8"), "python", "toml"):
        # Empty lines in front, so that a traceback names the document's own line.
        text = "\n" * block.line + block.text
        if block.language == "toml":
            tomllib.loads(text)
        else:
            exec(compile(text, str(document), "exec"), names)


@pytest.mark.parametrize("room", rooms())
def test_docstring_examples_hold(room):
    told = doctest.testmod(importlib.import_module(room), optionflags=doctest.NORMALIZE_WHITESPACE)
    assert told.failed == 0


def examples(command: click.Command) -> list[str]:
    """The commands that a help text shows: lines that begin with ``pithline``."""
    text = "\n".join(t for t in (command.help, command.epilog) if t).replace("\\\n", " ")
    return [line.strip() for line in text.splitlines() if re.match(r"\s*(\$ )?pithline \w", line)]


@posix
@pytest.mark.parametrize("name", COMMANDS)
def test_help_shows_an_example_that_runs(name, at_home):
    if name not in BUILT:
        pytest.skip(f"pithline {name} is not built yet")
    command = importlib.import_module(module_of(name)).command
    assert examples(command), f"the help of pithline {name} needs an example"
    if any(option.name == "book" for option in command.params):
        assert at_home("pithline serve --check").returncode == 0  # most want a book that is there
    for line in examples(command):
        ran = at_home(line.removeprefix("$ "))
        assert ran.returncode == 0, f"{line}\n{ran.stdout}"


@posix
def test_the_examples_of_the_first_help_run(at_home):
    lines = examples(group)
    assert {line.split()[1] for line in lines} == set(COMMANDS)
    for line in lines:
        name = line.split()[1]
        # Those that a command's own help shows too are run there.
        if name in BUILT and line not in examples(importlib.import_module(module_of(name)).command):
            ran = at_home(line)
            assert ran.returncode == 0, f"{line}\n{ran.stdout}"


# The reader of documents is itself checked: a test that finds no block would pass on anything.


def test_blocks_and_commands_are_found():
    text = "Text\n```console exact\n$ pithline log \\\n  a.toml\nout 1\n\n$ ls\n```\n"
    text += '  ```toml\n  a = "1 m"\n  ```\n'
    console, table = blocks(text, "console", "toml")
    assert (console.expects, console.line) == ({"exact"}, 2)
    assert shown(console.text) == [Shown("pithline log    a.toml", ["out 1", ""]), Shown("ls", [])]
    assert tomllib.loads(table.text) == {"a": "1 m"}


def test_shown_lines_are_compared():
    assert matches("a  \nb\n", ["a", "b", ""])
    assert not matches("a\nb\n", ["a"])
    assert matches("a\nb\nc\nd\n", ["a", "...", "d"])
    assert not matches("a\nb\nc\n", ["a", "...", "d"])


@posix
def test_a_refused_command_is_seen(at_home):
    assert at_home("pithline plna").returncode == 2
    assert at_home("pithline --version").stdout.startswith("pithline ")
