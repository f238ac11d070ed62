"""Who may come in, and from whose pages."""

from __future__ import annotations

import pytest
from django.test import Client

from pithline.web import door, passphrase
from pithline.web.tries import Tries
from pithline.yard.models import Log
from tests import book

SAID = {"name": "oak", "species": "northern red oak"}
PHRASE = "three short words"


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "http://localhost:9"},
        {"origin": "null"},
        {"origin": "https://localhost"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_foreign_page_cannot_write(client, headers):
    assert client.post("/logs/new/", SAID, headers={"host": "localhost", **headers}).status_code == 403
    assert Log.objects.count() == 0


@pytest.mark.parametrize("headers", [{"origin": "http://localhost"}, {"sec-fetch-site": "same-origin"}, {}])
def test_our_own_page_can(client, headers):
    assert client.post("/logs/new/", SAID, headers={"host": "localhost", **headers}).status_code == 303


def test_another_name_for_this_machine_is_refused(client):
    # A name that somebody points at 127.0.0.1 would make their page "same origin".
    assert client.get("/", headers={"host": "rebound.example"}).status_code == 400


def test_a_form_without_its_token_is_refused():
    strict = Client(headers={"host": "localhost"}, enforce_csrf_checks=True)
    assert strict.post("/logs/new/", SAID).status_code == 403


@pytest.fixture
def far():
    """A phone on the yard's network."""
    return Client(headers={"host": "localhost"}, REMOTE_ADDR="192.0.2.7")


@pytest.fixture
def locked(settings, tmp_path, monkeypatch):
    """A book with a passphrase."""
    settings.PITHLINE_FOLDER = tmp_path
    monkeypatch.setattr(door, "TRIES", Tries())
    passphrase.set_passphrase(PHRASE)


@pytest.fixture
def no_phrase(settings, tmp_path):
    """A book without one."""
    settings.PITHLINE_FOLDER = tmp_path


def test_without_a_passphrase_only_this_machine_comes_in(no_phrase, far, client):
    assert far.get("/logs/").status_code == 403
    assert far.post("/logs/new/", SAID).status_code == 403
    assert far.post("/enter/", {"passphrase": ""}).status_code == 422
    assert client.get("/logs/").status_code == 200


def test_the_passphrase_opens_the_book_to_a_phone(locked, far, client):
    answer = far.get("/logs/?state=taken")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/enter/?next=/logs/%3Fstate%3Dtaken")
    assert far.post("/enter/", {"passphrase": "not this one"}).status_code == 422
    assert far.get("/logs/").status_code == 302
    answer = far.post("/enter/", {"passphrase": PHRASE, "next": "/logs/"})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/logs/")
    assert far.get("/logs/").status_code == 200
    assert client.get("/logs/").status_code == 200  # this machine never needs it


def test_a_new_passphrase_locks_out_who_knew_the_old_one(locked, far):
    far.post("/enter/", {"passphrase": PHRASE})
    passphrase.set_passphrase("quite another phrase")
    assert far.get("/logs/").status_code == 302
    passphrase.forget()
    assert far.get("/logs/").status_code == 403


def test_a_device_can_be_locked_again(locked, far):
    far.post("/enter/", {"passphrase": PHRASE})
    far.post("/leave/")
    assert far.get("/logs/").status_code == 302


@pytest.mark.parametrize("onward", ["//evil.example/", "https://evil.example/", "javascript:alert(1)", ""])
def test_the_door_leads_nowhere_else(locked, far, onward):
    assert far.post("/enter/", {"passphrase": PHRASE, "next": onward}).headers["Location"] == "/"


def test_a_proxy_on_this_machine_does_not_make_others_near(locked):
    proxied = Client(headers={"host": "localhost", "x-forwarded-for": "198.51.100.3"})
    assert proxied.get("/logs/").status_code == 302


def test_guessing_is_slowed_down(locked, far):
    for _ in range(5):
        assert far.post("/enter/", {"passphrase": "a wrong phrase"}).status_code == 422
    answer = far.post("/enter/", {"passphrase": PHRASE})
    assert answer.status_code == 429
    assert 0 < int(answer.headers["Retry-After"]) <= 901
    # Another phone is not made to wait for this one.
    other = Client(headers={"host": "localhost"}, REMOTE_ADDR="192.0.2.8")
    assert other.post("/enter/", {"passphrase": PHRASE}).status_code == 303


def test_tries_are_forgotten_after_a_while_and_counted_together():
    tries = Tries(each=2, all_=3, window=60)
    tries.failed("a", now=0)
    tries.failed("a", now=10)
    assert tries.wait("a", now=11) == 50
    assert tries.wait("b", now=11) == 0
    tries.failed("b", now=20)
    assert tries.wait("c", now=21) == 40  # three in all
    assert tries.wait("a", now=61) == 0
    tries.failed("a", now=61)
    tries.passed("a")
    assert tries.wait("a", now=62) == 0


def test_only_a_slow_hash_is_kept(locked, tmp_path):
    kept = (tmp_path / "passphrase").read_text()
    assert "short" not in kept
    assert kept.startswith("scrypt ")
    assert (tmp_path / "passphrase").stat().st_mode & 0o077 == 0
    assert passphrase.matches(PHRASE)
    assert not passphrase.matches(PHRASE + "x")


def test_a_passphrase_is_set_at_the_machine_itself(no_phrase, client, far):
    short = client.post("/settings/passphrase/", {"passphrase": "short", "again": "short"})
    assert short.status_code == 422
    unlike = client.post("/settings/passphrase/", {"passphrase": PHRASE, "again": PHRASE + "s"})
    assert unlike.status_code == 422
    assert not passphrase.is_set()
    assert client.post("/settings/passphrase/", {"passphrase": PHRASE, "again": PHRASE}).status_code == 303
    far.post("/enter/", {"passphrase": PHRASE})
    assert far.post("/settings/passphrase/", {"forget": "1"}).status_code == 403
    assert passphrase.is_set()


def test_htmx_is_sent_to_the_door_and_not_shown_it_inside_a_form(locked, far):
    book.enter("take_log", **SAID)
    answer = far.post("/measure/1/faces/", {}, headers={"hx-request": "true"})
    assert answer.status_code == 401
    assert answer.headers["HX-Redirect"].startswith("/enter/")
