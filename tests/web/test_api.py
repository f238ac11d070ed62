"""The API says what the pages say, does an entry once, and answers every refusal in one shape."""

from __future__ import annotations

import json
import uuid

import pytest
from django.core.cache import cache
from django.test import override_settings

from pithline.field_schema import schema
from pithline.yard.kinds import KINDS
from pithline.yard.models import Entry, Log, Token
from pithline.yard.tokens import end_token, make_token
from tests import book

OAK = {"kind": "take_log", "said": {"name": "creek log", "species": "red oak"}}
FAR = {"REMOTE_ADDR": "192.0.2.7"}


@pytest.fixture
def put(client):
    """Send an entry: words, identity, more headers."""

    def call(body, identity=None, content_type="application/json", **more):
        body = body if isinstance(body, str) else json.dumps(body)
        return client.put(f"/api/entries/{identity or uuid.uuid4()}", body, content_type=content_type, **more)

    return call


def test_an_entry_sent_twice_is_done_once(put):
    identity = uuid.uuid4()
    first, second = put(OAK, identity), put(OAK, identity)
    assert (first.status_code, second.status_code) == (201, 200)
    assert (first.json()["repeated"], second.json()["repeated"]) == (False, True)
    assert first.json()["entry"] == second.json()["entry"]
    assert (Log.objects.count(), Entry.objects.count()) == (1, 1)


def test_other_words_under_the_same_identity_are_a_conflict_and_change_nothing(put):
    identity = uuid.uuid4()
    put(OAK, identity)
    other = put({**OAK, "said": {**OAK["said"], "name": "ridge log"}}, identity)
    assert other.status_code == 409
    assert other.json()["field"] == "entry"
    assert list(Log.objects.values_list("name", flat=True)) == ["creek log"]


def test_a_refused_field_is_named_with_the_rule_and_the_way_out(put):
    answer = put({**OAK, "said": {"name": "creek log", "species": "red oka"}})
    assert answer.status_code == 422
    problem = answer.json()
    assert problem["field"] == "species"
    assert problem["value"] == "red oka"
    assert problem["rule"]
    assert problem["remedy"]
    assert not Entry.objects.exists()


def test_a_kind_that_is_none_is_refused_with_those_there_are(put):
    problem = put({"kind": "sell_log", "said": {}}).json()
    assert problem["field"] == "entry kind"
    assert "take_log" in problem["message"]


@pytest.mark.parametrize(
    ("body", "content_type", "status", "said"),
    [
        (json.dumps(OAK), "text/plain", 415, "application/json"),
        (json.dumps(OAK), "application/x-www-form-urlencoded", 415, "application/json"),
        ("{", "application/json", 400, "not JSON"),
        ('{"kind": "take_log", "said": {"name": NaN}}', "application/json", 400, "NaN"),
        ("[" * 100_000, "application/json", 400, "not JSON"),
        ('{"kind": "take_log"}', "application/json", 422, "said"),
        ('{"kind": "take_log", "said": []}', "application/json", 422, "said"),
        (
            '{"kind": "take_log", "said": {"name": "a\\u0000", "species": "red oak"}}',
            "application/json",
            422,
            "NUL",
        ),
        (
            '{"kind": "take_log", "said": {"name": "\\ud800", "species": "red oak"}}',
            "application/json",
            422,
            "entry",
        ),
        (json.dumps({**OAK, "made_at": "0001-01-01T00:00:00+14:00"}), "application/json", 422, "made_at"),
        (json.dumps({**OAK, "made_at": "2025-02-14T09:00:00"}), "application/json", 422, "made_at"),
        (json.dumps({**OAK, "device": "a\nb"}), "application/json", 422, "device"),
        ('"' + "x" * 5_100_000 + '"', "application/json", 413, "too large"),
    ],
    ids=lambda v: str(v)[:30],
)
def test_what_cannot_be_kept_is_refused_as_the_senders_to_mend(put, body, content_type, status, said):
    answer = put(body, content_type=content_type)
    assert answer.status_code == status
    assert said in answer.json()["message"]
    assert not Entry.objects.exists()


def test_kinds_describe_themselves_as_forms_do(client):
    told = {k["name"]: k for k in client.get("/api/kinds").json()}
    assert set(told) == set(KINDS)
    for name, kind in KINDS.items():
        expected = json.loads(json.dumps(schema(kind.table, f"pithline/entry/{name}/1")))
        assert told[name]["words"] == expected
        assert client.get(f"/api/kinds/{name}").json() == told[name]


def test_a_log_reads_back_as_it_was_entered(client, demo_log):
    told = client.get("/api/logs/1").json()
    assert (told["name"], told["state"]) == ("hollow oak", "measured")
    assert told["record"]["log"]["length"] == "4.2 m"
    listed = client.get("/api/logs").json()
    assert listed["count"] == 1
    assert "record" not in listed["items"][0]
    assert client.get(f"/api/logs/{told['id']}").json() == told


def test_the_journal_is_read_in_its_own_order_and_part_by_part(client, put):
    for name in "abc":
        put({**OAK, "said": {**OAK["said"], "name": name}})
    names = [e["said"]["name"] for e in client.get("/api/entries?limit=2").json()["items"]]
    names += [e["said"]["name"] for e in client.get("/api/entries?limit=2&offset=2").json()["items"]]
    assert names == ["a", "b", "c"]


@pytest.mark.parametrize(
    "address",
    [
        "logs/99",
        "logs/%00",
        "slabs/14-3",
        "slabs?log=9",
        "plans?log=x",
        "kinds/x",
        "plans/0193f3c0-0000-7000-8000-000000000000",
    ],
)
def test_what_is_not_there_is_said_so(client, address):
    answer = client.get(f"/api/{address}")
    assert answer.status_code == 404
    assert answer.json()["message"]


@pytest.mark.parametrize("address", ["logs?limit=0", "logs?offset=99999999999999999999", "slabs?state=x"])
def test_a_part_that_cannot_be_is_refused(client, address):
    assert client.get(f"/api/{address}").status_code == 422


# --- who may ----------------------------------------------------------------------------------------


def test_a_stranger_on_the_network_may_neither_read_nor_write(client, put):
    assert client.get("/api/logs", **FAR).status_code in (401, 403)
    assert put(OAK, **FAR).status_code in (401, 403)
    guess = {**FAR, "HTTP_AUTHORIZATION": "Bearer pith_guess"}
    assert client.get("/api/logs", **guess).status_code == 401
    assert put(OAK, **guess).status_code == 401
    assert not Entry.objects.exists()


def test_a_token_lets_in_until_it_is_ended(client, put):
    token = make_token("barn tablet")
    with_token = {**FAR, "HTTP_AUTHORIZATION": f"Bearer {token}"}
    assert put(OAK, **with_token).status_code == 201
    assert Entry.objects.get().who == "barn tablet"
    assert Token.objects.get().last_used_at is not None
    end_token("Barn Tablet")
    assert client.get("/api/logs", **with_token).status_code == 401


def test_only_a_digest_of_a_token_is_kept():
    token = make_token("barn tablet")
    kept = json.dumps(list(Token.objects.values()), default=str)
    assert token not in kept
    assert token.removeprefix("pith_") not in kept


def test_a_wrong_token_is_no_way_round_the_door_on_this_machine_either(client):
    answer = client.get("/api/logs", headers={"authorization": "Bearer pith_guess"})
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"] == "Bearer"


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://localhost:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
    ids=str,
)
@pytest.mark.parametrize("content_type", ["application/json", "text/plain"])
def test_a_page_of_another_site_cannot_write(client, put, headers, content_type):
    assert put(OAK, content_type=content_type, headers=headers).status_code == 403
    undo = client.post(f"/api/entries/{uuid.uuid4()}/undo", content_type=content_type, headers=headers)
    assert undo.status_code == 403
    assert not Entry.objects.exists()


def test_a_name_that_is_not_this_books_is_refused(client, put):
    # A foreign name made to point at this machine is how a page gets round the origin.
    assert client.get("/api/logs", headers={"host": "evil.example"}).status_code == 400
    assert put(OAK, headers={"host": "evil.example"}).status_code == 400


def test_too_many_requests_are_put_off(client):
    cache.clear()
    with override_settings(PITHLINE_API_RATE="3/min"):
        answers = [client.get("/api/logs") for _ in range(4)]
        about = client.get("/api/logs", REMOTE_ADDR="127.0.0.2")
    cache.clear()
    assert [a.status_code for a in answers] == [200, 200, 200, 429]
    assert answers[3]["Retry-After"] == "60"
    assert answers[3].json()["remedy"]
    assert about.status_code == 200  # the others are not made to wait


def test_the_description_is_whole_and_asks_the_internet_for_nothing(client):
    described = client.get("/api/openapi.json").json()
    assert {"/api/entries/{entry}", "/api/logs", "/api/kinds"} <= set(described["paths"])
    assert client.get("/api/docs").status_code == 404


def test_drying_and_money_are_read_table_by_table(client, demo_log):
    from typing import get_args

    from pithline.web.api.kept import TABLES, Name

    assert get_args(Name) == tuple(TABLES)
    book.enter("note_work", kind="cut", about="log 1", hours="5 h", fuel="6.5 l", done_on="2026-02-20")
    book.enter("note_work", kind="drive", hours="1 h")
    for table in TABLES:
        assert client.get(f"/api/kept/{table}").status_code == 200
    told = client.get("/api/kept/work?limit=1").json()
    assert told["count"] == 2
    assert told["items"][0]["fuel_l"] == 6.5
    assert told["items"][0]["log_id"] == str(demo_log.pk)
    assert client.get("/api/kept/token").status_code == 422
