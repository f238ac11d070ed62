"""A fresh book for every test, and a browser that sits at the same machine."""

from __future__ import annotations

import pytest

from tests import book


@pytest.fixture(autouse=True)
def fresh_book(db):
    """Every test of this folder may write; what it wrote is gone after it."""


@pytest.fixture
def demo_log():
    """The hollow oak of the demo, offered, taken and measured."""
    return book.demo_log()


@pytest.fixture
def client():
    """Django's client, under a name that the book answers to."""
    from django.test import Client

    return Client(headers={"host": "localhost"})
