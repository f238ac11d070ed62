"""The door's manners: exit codes, where words go, no traceback, a closed pipe."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys

import click
import pytest

from pithline import __version__
from pithline.cli.main import COMMANDS
from pithline.cli.main import pithline as group
from pithline.errors import BadValue, Question

PITHLINE = [sys.executable, "-m", "pithline"]


@pytest.fixture
def failing(monkeypatch):
    """Make ``pithline plan`` raise what the test hands over."""

    def plan_raises(fault):
        @click.command("plan")
        def command():
            raise fault

        monkeypatch.setattr(type(group), "get_command", lambda self, ctx, name: command)

    return plan_raises


@pytest.mark.parametrize("ask", ["--help", "-h"])
def test_help_tells_every_command_an_example_of_each_and_the_caution(pithline, ask):
    code, out, err = pithline(ask)
    assert (code, err) == (0, "")
    for name, does in COMMANDS.items():
        assert f"pithline {name} " in out
        assert does.split()[0] in out
    assert "local codes" in out


def test_version(pithline):
    assert pithline("--version") == (0, f"pithline {__version__}\n", "")


@pytest.mark.parametrize("words", [["plna"], ["--nonsense"]])
def test_a_word_we_do_not_know_is_refused_and_named(pithline, words):
    code, out, err = pithline(*words)
    assert (code, out) == (2, "")
    assert words[0] in err


def test_a_mistyped_command_brings_the_nearest(pithline):
    assert 'did you mean "plan"?' in pithline("plna").err
    assert f"there are: {', '.join(COMMANDS)}." in pithline("xyzzy").err


def test_a_refusal_is_told_in_full_on_stderr(pithline, failing):
    failing(BadValue("mill.bar", "50 mm", "at least 300 mm", 'Write for example bar = "900 mm".'))
    code, out, err = pithline("plan")
    assert (code, out) == (2, "")
    assert (
        err == 'Refused: mill.bar is "50 mm"; it must be at least 300 mm. Write for example bar = "900 mm".\n'
    )


def test_a_question_without_a_terminal_names_the_option_that_confirms_it(pithline, failing):
    failing(Question("The top is wider than the butt.", "--top-is-wider"))
    code, out, err = pithline("plan")
    assert (code, out) == (2, "")
    assert err.startswith("Question: The top is wider than the butt.")
    assert "--top-is-wider" in err


def test_our_own_fault_is_said_to_be_ours_without_a_traceback(pithline, failing, monkeypatch):
    monkeypatch.delenv("PITHLINE_TRACEBACK", raising=False)
    failing(KeyError("pitch"))
    code, out, err = pithline("plan")
    assert (code, out) == (1, "")
    assert "our fault" in err
    assert "KeyError: 'pitch'" in err
    assert "Traceback" not in err


def test_the_traceback_is_there_for_who_asks(pithline, failing, monkeypatch):
    monkeypatch.setenv("PITHLINE_TRACEBACK", "1")
    failing(KeyError("pitch"))
    code, _, err = pithline("plan")
    assert code == 1
    assert "Traceback" in err
    assert "our fault" in err


def test_a_file_that_cannot_be_used_is_the_users_to_mend(pithline, failing, tmp_path):
    missing = tmp_path / "no such folder" / "sheet.pdf"
    failing(FileNotFoundError(2, "No such file or directory", str(missing)))
    code, _, err = pithline("plan")
    assert code == 2
    assert err.startswith(f"Refused: {missing} cannot be used: No such file or directory.")


def test_a_missing_file_of_the_package_is_our_fault(pithline, failing):
    ours = importlib.util.find_spec("pithline.errors").origin + ".missing"
    failing(FileNotFoundError(2, "No such file or directory", ours))
    assert pithline("plan").code == 1


def test_stopped_by_the_user(pithline, failing):
    failing(KeyboardInterrupt())
    code, _, err = pithline("plan")
    assert code == 130
    assert "Traceback" not in err


@pytest.mark.skipif(sys.platform == "win32", reason="pipes close otherwise there")
@pytest.mark.parametrize("words", [["--help"], ["--version"]])
def test_a_reader_that_goes_away_is_no_reason_to_complain(words):
    read, write = os.pipe()
    os.close(read)  # nobody will ever read what is written
    with open(write, "wb") as nobody:
        said = subprocess.run([*PITHLINE, *words], stdout=nobody, stderr=subprocess.PIPE, text=True)
    assert said.stderr == ""
    assert said.returncode == 141
