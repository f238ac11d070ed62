"""Whatever the description allows, and much that it does not: never a server error.

The requests are made by schemathesis from /api/openapi.json, against Django itself.
"""

from __future__ import annotations

import json
import uuid

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections
from django.test import override_settings
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import response_schema_conformance, status_code_conformance

from pithline.fields import EXAMPLES, Field, Table
from pithline.web.api.urls import api
from pithline.yard.kinds import KINDS
from tests import book

_django = get_wsgi_application()
FEW = settings(
    max_examples=8,
    derandomize=True,
    deadline=None,
    # The book is the same for all examples of one operation: what they enter may pile up.
    suppress_health_check=list(HealthCheck),
)


def at_home(environ, start_response):
    """The book as this machine's own browser meets it."""
    return _django({**environ, "REMOTE_ADDR": "127.0.0.1", "HTTP_HOST": "localhost"}, start_response)


# From the description itself: asking for it would want the book before there is a test to open it for.
described = schemathesis.openapi.from_dict(
    json.loads(json.dumps(api.get_openapi_schema(path_prefix="/api/")))
)
described.app = at_home


@pytest.fixture(autouse=True)
def unhurried():
    """As many requests as wanted, within one test's transaction, which a request must not close."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    with override_settings(PITHLINE_API_RATE="1000000/min"):
        yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.fixture
def some_wood(demo_log):
    """A log and two of its slabs, so that words about 1 and 1-1 are about something."""
    size = {"thickness": "80 mm", "length": "2 m", "widths": ["40 cm / 45 cm"]}
    book.enter("tally_slabs", log="1", slabs=[size, size])


@described.parametrize()
@FEW
def test_no_request_is_answered_by_a_server_error(case, some_wood):
    checks = [not_a_server_error, status_code_conformance, response_schema_conformance]
    answer = case.call()
    if answer.status_code != 405:  # a method that an address has not; Django says so in its own words
        case.validate_response(answer, checks=checks)


ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(2**70), 2**70),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=300),
    st.lists(st.text(max_size=5), max_size=3),
    st.dictionaries(st.text(max_size=5), st.integers(), max_size=3),
)


def values(field: Field | Table) -> st.SearchStrategy:
    """What a person might write into a field, and what they never would."""
    if isinstance(field, Table):
        table = words(field)
        return st.one_of(st.lists(table, max_size=3) if field.many else table, ODD)
    sense = st.sampled_from([*EXAMPLES.get(field.quantity, ()), *field.choices, *field.words, "1", "1-1"])
    number = st.integers(-3, 300) | st.floats(-5, 500)
    return st.one_of(sense, sense, number, st.lists(sense, max_size=3), st.text(max_size=20), ODD)


def words(table: Table) -> st.SearchStrategy:
    """Most required fields, some of the others."""
    needed = {f.name: values(f) for f in table.fields if f.required}
    return st.fixed_dictionaries(needed, optional={f.name: values(f) for f in table.fields if not f.required})


@pytest.mark.parametrize("name", sorted(KINDS))
def test_no_words_of_a_kind_are_answered_by_a_server_error(name, client, some_wood):
    outcomes = set()

    @settings(FEW, max_examples=3 if name == "keep_plan" else FEW.max_examples)
    @given(words(KINDS[name].table))
    def send(said):
        # Reckoning takes its time and is tested elsewhere; here it is the words that count.
        said = {**said, "draws": 0} if name == "keep_plan" else said
        body = json.dumps({"kind": name, "said": said})
        answer = client.put(f"/api/entries/{uuid.uuid4()}", body, content_type="application/json")
        assert answer.status_code in (201, 409, 422), answer.content
        outcomes.add(answer.status_code)

    client.raise_request_exception = False
    send()
    assert outcomes
