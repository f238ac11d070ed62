"""A fresh book for every test, and a PostgreSQL for those that compare both databases."""

from __future__ import annotations

import itertools

import pytest

from tests import book
from tests.yard.postgres import cluster


@pytest.fixture(autouse=True)
def fresh_book(db):
    """Every test of this folder may write; what it wrote is gone after it."""


@pytest.fixture
def demo_log():
    """The hollow oak of the demo, offered, taken and measured."""
    return book.demo_log()


@pytest.fixture(scope="session")
def _server():
    with cluster() as folder:
        yield folder


@pytest.fixture
def postgres(_server, counter=itertools.count()):  # noqa: B008
    """The URL of an empty database of its own."""
    import psycopg

    name = f"book{next(counter)}"
    with psycopg.connect(f"host={_server} user=postgres dbname=postgres", autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
    return f"postgresql://postgres@/{name}?host={_server}"
