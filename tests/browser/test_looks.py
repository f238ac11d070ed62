"""Every page of the demo book: readable by everybody, no wider than the screen, in light and dark.

The checks of accessibility are axe-core's, an open list of rules kept by others.
"""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

pytest.importorskip("playwright")

from axe_playwright_python.sync_playwright import Axe

PAGES = {
    "week": "/",
    "journal": "/journal/",
    "logs": "/logs/",
    "new log": "/logs/new/",
    "log": "/logs/2/",
    "measure": "/measure/2/",
    "plan": "/plan/2/",
    "turn": "/plan/2/solid/",
    "tally": "/tally/1/",
    "wood": "/tally/1/wood/",
    "grid": "/tally/1/grid/",
    "rack": "/rack/",
    "stacks": "/rack/stacks/",
    "asked for": "/rack/asked/",
    "slab": "/rack/1-3/",
    "fits": "/rack/1-3/fits/",
    "labels": "/rack/labels/",
    "drying": "/drying/",
    "stack laid anew": "/drying/stack/{stack}/lay/",
    "kiln load": "/drying/loads/1/",
    "new kiln load": "/drying/loads/new/",
    "kiln layers": "/drying/loads/1/charge/",
    "money": "/money/",
    "worth": "/money/worth/2/",
    "costs": "/money/costs/",
    "cost of a log": "/money/log/2/",
    "prices": "/money/prices/",
    "price of a slab": "/money/slab/1-3/",
    "settings": "/settings/",
    "book": "/settings/book/",
    "passphrase": "/settings/passphrase/",
    "places": "/settings/places/",
    "new mill": "/settings/mill/new/",
    "search": "/search/?q=oak",
    "not there": "/logs/99/",
}


def reached(page, book, address):
    """The address, with the demo's stack in it where it names one: its identity is another in each book."""
    if "{stack}" not in address:
        return address
    listed = page.request.get(f"{book}/drying/").text()
    return address.format(stack=re.search(r"/drying/stack/([0-9a-f-]{36})/", listed)[1])


@pytest.mark.parametrize("address", PAGES.values(), ids=PAGES)
def test_everybody_can_read_it(page, demo_book, address, size):
    if address == PAGES["turn"] and not files("pithline.web.plan").joinpath("static/solid.js").is_file():
        pytest.skip("the 3-D view was not bundled: npm's registry was out of reach at set-up")
    absent = address == PAGES["not there"]
    answer = page.goto(demo_book + reached(page, demo_book, address))
    # Pages that ask for more by themselves are waited for; the others stand when they have come.
    if page.locator("[hx-trigger*=load], [hx-trigger*=revealed], canvas").count():
        page.wait_for_load_state("networkidle")
    assert answer.status == (404 if absent else 200)
    page.wrong[:] = [text for text in page.wrong if "404" not in text or not absent]
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= size["width"], f"{wide} px wide"
    # Colours are the same at either width: they are looked at once, and in the dark too.
    for scheme in ("light", "dark") if size["width"] < 500 else ("light",):
        page.emulate_media(color_scheme=scheme)
        # What is folded away is read too.
        page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        rules = {} if scheme == "light" else {"runOnly": ["color-contrast"]}
        if size["width"] > 500:
            rules = {"rules": {"color-contrast": {"enabled": False}}}
        found = Axe().run(page, options={"resultTypes": ["violations"], **rules})
        serious = [
            f"{scheme}: {v['id']} ({v['impact']}): {v['help']}: {[n['html'][:150] for n in v['nodes'][:3]]}"
            for v in found.response["violations"]
            if v["impact"] in ("serious", "critical")
        ]
        assert serious == []


def test_the_first_press_of_tab_offers_the_way_past_the_navigation(page, demo_book):
    page.goto(demo_book)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('href')") == "#main"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.querySelector('main').contains(document.activeElement)")


@pytest.mark.parametrize(
    "address", [PAGES[name] for name in ("week", "log", "measure", "plan", "tally", "rack")]
)
def test_nothing_comes_from_the_internet(page, demo_book, address):
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(demo_book + address, wait_until="networkidle")
    assert asked
    assert [url for url in asked if not url.startswith((demo_book, "data:", "blob:"))] == []


@pytest.mark.parametrize("address", [PAGES[name] for name in ("log", "plan", "slab", "rack", "kiln layers")])
def test_it_can_be_read_without_script(browser, size, demo_book, address):
    context = browser.new_context(viewport=size, java_script_enabled=False)
    try:
        tab = context.new_page()
        assert tab.goto(demo_book + address).status == 200
        assert len(tab.locator("main").inner_text()) > 200
    finally:
        context.close()
