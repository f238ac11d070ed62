"""Serving a book: its place, its door, its end; each in a process of its own."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import subprocess
import sys

import pytest

from pithline.errors import BadValue
from pithline.web.serving import holder, listen
from tests.served import SERVE, get, served

posix = pytest.mark.skipif(sys.platform == "win32", reason="signals are otherwise there")


@posix
@pytest.mark.parametrize("word", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_it_opens_answers_and_ends_when_told_to(tmp_path, word):
    with served(tmp_path / "book") as (port, process):
        assert get(port)[0] == 200
        assert json.loads(get(port, "/api/about")[1])["program"] == "pithline"
        process.send_signal(word)
        _, told = process.communicate(timeout=20)
    assert process.returncode == 0
    assert f"http://127.0.0.1:{port}/" in told
    assert "Closed." in told
    assert "Warning" not in told
    assert (tmp_path / "book" / "book.sqlite3").exists()


@posix
def test_the_demo_book_is_thrown_away_at_the_end(tmp_path, monkeypatch):
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    with served(tmp_path / "own", "--demo", "--until-eof") as (port, process):
        page = get(port, "/logs/")[1]
        assert b"hollow oak" in page
        assert b"a demo book: kept apart" in page  # every page says whose figures these are
        inside = [p for p in tmp_path.iterdir() if p.name.startswith("pithline-")]
        assert [(p / "book.sqlite3").exists() for p in inside] == [True]
        # Whoever started it goes away without a word.
        process.communicate(timeout=20)
        assert process.returncode == 0
    assert list(tmp_path.iterdir()) == []


def test_the_demo_never_fills_the_database_of_a_real_book(tmp_path):
    # Nobody listens there: a demo that asked for it would fail.
    env = {**os.environ, "PITHLINE_DATABASE_URL": "postgresql://nobody@127.0.0.1:1/book"}
    ran = subprocess.run([*SERVE, "--demo", "--check"], capture_output=True, text=True, env=env, timeout=60)
    assert ran.returncode == 0, ran.stderr


@posix
def test_a_port_that_is_held_is_refused_and_its_holder_named(tmp_path):
    with served(tmp_path / "book") as (port, process):
        get(port)
        env = {**os.environ, "PITHLINE_BOOK": str(tmp_path / "other")}
        second = subprocess.run(
            [*SERVE, "--port", str(port)], capture_output=True, text=True, env=env, timeout=60
        )
        assert second.returncode == 2
        assert f"which serves a book at http://127.0.0.1:{port}/" in second.stderr
        if sys.platform == "linux":
            assert f"process {process.pid}" in second.stderr
        # A refused start leaves nothing behind.
        assert not (tmp_path / "other").exists()


def test_a_holder_that_is_not_ours_is_named_too():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert holder(port).startswith("another program")
        with pytest.raises(BadValue, match=r"It is held by another program.*Stop that, or say --port"):
            listen("127.0.0.1", port)


def test_an_address_of_another_machine_is_refused():
    with pytest.raises(BadValue, match=r"--host .* must be an address of this machine"):
        listen("192.0.2.1", 0)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--host", "0.0.0.0"], "no passphrase"),
        (["--demo", "--book", "x"], "--demo"),
        (["--demo", "--host", "0.0.0.0"], "this machine only"),
        (["--database", "mysql://somewhere/x"], "PostgreSQL"),
        (["--database", "postgresql://nobody@127.0.0.1:1/x"], "one that answers"),
        (["--port", "0"], "--port"),
    ],
    ids=str,
)
def test_what_cannot_be_served_is_refused(tmp_path, words, said):
    env = {**os.environ, "PITHLINE_BOOK": str(tmp_path / "book")}
    ran = subprocess.run([*SERVE, "--check", *words], capture_output=True, text=True, env=env, timeout=60)
    assert ran.returncode == 2
    assert said in ran.stderr


def test_a_network_gets_in_only_by_the_passphrase_and_the_right_name(tmp_path):
    book = tmp_path / "book"
    with served(book):
        pass
    set_it = (
        "import sys; from pathlib import Path; from pithline.web.passphrase import set_passphrase; "
        "set_passphrase('three short words', Path(sys.argv[1]))"
    )
    subprocess.run([sys.executable, "-c", set_it, str(book)], check=True)
    with served(book, "--host", "0.0.0.0", "--called", "yard.test") as (port, _):
        assert get(port)[0] == 200
        for name, status in (("yard.test", 200), ("evil.example", 400)):
            asked = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
            asked.request("GET", "/", headers={"Host": f"{name}:{port}"})
            assert asked.getresponse().status == status
            asked.close()
