"""A real browser on a real server: Debian's Chromium, a phone's width and a laptop's."""

from __future__ import annotations

import json
import os
import shutil
import sys
import time
from collections.abc import Iterator

import pytest

from tests.served import get, served

CHROMIUM = shutil.which("chromium")
PHONE, LAPTOP = {"width": 360, "height": 740}, {"width": 1280, "height": 800}
# A stale answer is let go when a newer one is asked for; htmx calls that an error and is alone in it.
HARMLESS = ("htmx:sendAbort", "htmx:afterRequest")


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    if not CHROMIUM:
        pytest.skip("no browser tests: there is no chromium (Debian: apt-get install chromium)")
    from playwright.sync_api import sync_playwright

    quiet = [
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run",
    ]
    # Playwright leaves its event loop running in this thread; the tests that come after
    # it are no coroutines all the same, and Django may trust them.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    root = sys.platform != "win32" and os.geteuid() == 0
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(
            executable_path=CHROMIUM, chromium_sandbox=not root, args=[*quiet, "--disable-gpu"]
        )
        yield launched
        launched.close()


@pytest.fixture(params=[PHONE, LAPTOP], ids=["360px", "1280px"])
def size(request):
    return request.param


@pytest.fixture
def page(browser, size):
    """An empty tab; a script that fails or is refused by our own policy fails the test."""
    context = browser.new_context(viewport=size, has_touch=size is PHONE, locale="en-GB")
    context.set_default_timeout(30_000)
    tab = context.new_page()
    wrong: list[str] = []
    tab.on("pageerror", lambda error: wrong.append(str(error)))
    tab.on(
        "console",
        lambda message: (
            wrong.append(f"{message.text} {message.location['url']}")
            if message.type == "error" and not message.text.startswith(HARMLESS)
            else None
        ),
    )
    tab.wrong = wrong
    yield tab
    context.close()
    assert wrong == []


@pytest.fixture(scope="session")
def compiled():
    """The planner is compiled once on a machine, which takes longer than a browser waits."""
    from pithline.web.plan.warming import warmed

    assert warmed(300, everything=True)


@pytest.fixture(scope="session")
def demo_book(tmp_path_factory, compiled):
    """Address of the demo book, to look at and not to write into."""
    with served(tmp_path_factory.mktemp("demo"), "--demo") as (port, _):
        end = time.monotonic() + 240
        while json.loads(get(port, "/api/plans")[1])["count"] == 0:
            assert time.monotonic() < end, "the demo's plan is not there"
            time.sleep(0.5)
        while b"As it was laid" not in get(port, "/drying/loads/1/charge/")[1]:
            assert time.monotonic() < end, "the demo's kiln load is not laid"
            time.sleep(0.5)
        yield f"http://127.0.0.1:{port}"


@pytest.fixture
def empty_book(tmp_path, compiled):
    """Address of a new book."""
    with served(tmp_path / "book") as (port, _):
        yield f"http://127.0.0.1:{port}"
