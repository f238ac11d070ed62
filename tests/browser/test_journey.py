"""One log's life in the browser: offered, taken, measured, planned, printed, tallied, labelled."""

from __future__ import annotations

import io
import re

import pytest

pytest.importorskip("playwright")

from playwright.sync_api import expect

BUTT = {"up": 395, "down": 365, "left": 402, "right": 418}
TOP = {"up": 322, "down": 312, "left": 318, "right": 326}


def fill(page, **values):
    for name, value in values.items():
        page.locator(f'main [name="{name}"]').first.fill(value)


def offer(page, book, name="hollow oak"):
    page.goto(book)
    page.get_by_role("link", name="Enter the first log").click()
    fill(page, name=name, species="northern red oak")
    page.locator("main").get_by_role("button", name="Enter this log").last.click()
    page.wait_for_url("**/logs/1/")


def take(page):
    page.get_by_label("Decision").select_option("take")
    page.get_by_role("button", name="Keep this answer").last.click()
    expect(page.get_by_label("Decision")).to_have_count(0)


def measure(page):
    page.get_by_role("link", name="Measure it").click()
    fill(page, **{"log.length": "4.2"})
    for end, readings in (("butt", BUTT), ("top", TOP)):
        page.locator(f'[name="log.{end}.seen_from"]').select_option(end)
        page.locator(f'[name="log.{end}.bark"]').select_option("under")
        fill(page, **{f"log.{end}.{side}": str(reading) for side, reading in readings.items()})
    # Both faces are drawn while the numbers go in.
    for end in ("butt", "top"):
        page.locator(
            f"main svg[aria-label*={end} i], main svg:has(title:text-matches('{end}', 'i'))"
        ).first.wait_for()
    page.get_by_role("button", name="Keep these measures").click()
    page.wait_for_url("**/logs/1/")


def plan(page):
    page.get_by_role("link", name="Plan", exact=True).click()
    page.get_by_role("button", name="Keep this plan to saw by").click()
    printed = page.get_by_role("link", name="Sheet as printed")
    printed.wait_for(timeout=60_000)
    return printed.get_attribute("href")


def pdf(page, address):
    """Text of a PDF behind a link."""
    from pypdf import PdfReader

    answer = page.request.get(address)
    assert answer.status == 200
    assert answer.headers["content-type"] == "application/pdf"
    return [sheet.extract_text() for sheet in PdfReader(io.BytesIO(answer.body())).pages]


def tally(page, book, slabs):
    page.goto(f"{book}/logs/1/")
    page.get_by_role("link", name="Tally", exact=True).last.click()
    if not re.search(r"/tally/1/$", page.url):
        page.locator("main a[href='/tally/1/']").first.click()
    for number in range(1, slabs + 1):
        expect(page.locator('[name="number"]')).to_have_value(str(number))
        fill(page, thickness="80 mm", length="4.2 m", widths="0 m: 52 cm / 60 cm\n4.2 m: 41 cm / 50 cm")
        page.get_by_role("button", name="Write it down").click()
    expect(page.locator('[name="number"]')).to_have_value(str(slabs + 1))


def test_from_the_first_log_to_labels(page, empty_book):
    offer(page, empty_book)
    take(page)
    measure(page)
    sheet = "\n".join(pdf(page, empty_book + plan(page)))
    assert "hollow oak" in sheet
    tally(page, empty_book, 2)
    page.get_by_role("link", name="Labels").first.click()
    made = page.get_by_role("button", name="Make the sheets (PDF)")
    asked = made.evaluate("b => b.form.action + '?' + new URLSearchParams(new FormData(b.form))")
    labels = "\n".join(pdf(page, asked))
    assert "1-1" in labels
    assert "1-2" in labels


def test_a_form_sent_twice_is_one_entry(page, empty_book):
    page.goto(empty_book)
    page.get_by_role("link", name="Enter the first log").click()
    fill(page, name="hollow oak", species="northern red oak")
    with page.expect_request(lambda request: request.method == "POST") as sent:
        page.locator("main form.entry button.do").last.evaluate(
            "button => { button.click(); button.click() }"
        )
    page.wait_for_url("**/logs/1/")
    # The very same bytes once more, as a browser sends them that lost the answer.
    again = page.request.post(
        sent.value.url,
        data=sent.value.post_data,
        headers={"content-type": "application/x-www-form-urlencoded", "origin": empty_book},
    )
    assert again.ok
    assert page.request.get(f"{empty_book}/api/logs").json()["count"] == 1
    # Back leads to a form that begins anew, not to one that would enter the same again.
    page.go_back()
    expect(page.locator('main [name="name"]')).to_have_value("")


def test_a_refused_form_keeps_what_was_typed(page, empty_book):
    page.goto(f"{empty_book}/logs/new/")
    fill(page, name="hollow oak", species="northern red oka")
    page.locator("main form.entry button.do").last.click()
    wrong = page.locator('[name="species"][aria-invalid="true"]')
    wrong.wait_for()
    assert wrong.input_value() == "northern red oka"
    assert page.locator('[name="name"]').input_value() == "hollow oak"
    described = wrong.get_attribute("aria-describedby").split()
    told = " ".join(page.locator(f"#{part}").inner_text() for part in described)
    assert "a wood that is known here" in told
    # The browser notes the refusal's own status; nothing else may be wrong.
    page.wrong[:] = [text for text in page.wrong if "422" not in text]


@pytest.mark.parametrize("way", ["form", "fetch", "plain fetch"])
def test_a_page_of_another_site_cannot_write(page, empty_book, tmp_path, way):
    from http.server import BaseHTTPRequestHandler, HTTPServer
    from threading import Thread

    entry = '{"kind": "take_log", "said": {"name": "theirs", "species": "red oak"}}'
    address = f"{empty_book}/api/entries/0193f2c4-0000-7000-8000-000000000001"
    pages = {
        "form": f"<form id=f method=post action='{empty_book}/logs/new/'><input name=name value=theirs>"
        "<input name=species value='red oak'></form><script>f.submit()</script>",
        "fetch": f"<script>fetch('{address}', {{method: 'PUT', body: '{entry}', "
        "headers: {'content-type': 'application/json'}}).finally(() => document.title = 'sent')</script>",
        "plain fetch": f"<script>fetch('{address}/undo', "
        f"{{method: 'POST', mode: 'no-cors', body: '{entry}'}})"
        ".finally(() => document.title = 'sent')</script>",
    }

    class Foreign(BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(pages[way].encode())

        def log_message(self, *_):
            pass

    page.goto(empty_book)  # with its cookies, as a person's browser would have them
    foreign = HTTPServer(("127.0.0.1", 0), Foreign)
    Thread(target=foreign.serve_forever, daemon=True).start()
    try:
        page.goto(f"http://localhost:{foreign.server_port}/", wait_until="commit")
        if way == "form":
            page.wait_for_url(f"{empty_book}/**")
        else:
            page.wait_for_function("document.title == 'sent'")
    finally:
        foreign.shutdown()
    assert page.request.get(f"{empty_book}/api/logs").json()["count"] == 0
    assert page.request.get(f"{empty_book}/api/entries").json()["count"] == 0
    page.wrong.clear()  # the browser says that it was refused: that is the point
