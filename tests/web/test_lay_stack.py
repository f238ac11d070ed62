"""A stack's page: loads, what to move first, a proposal that is taken and undone, its card."""

import io
import re

import pytest

from pithline.yard.models import Entry, Slab
from tests.book import enter


@pytest.fixture
def stack(demo_log):
    """Four slabs of one log, the two narrow ones able to lie side by side."""
    enter("add_place", name="ridge shed", kind="shed")
    made = enter("build_stack", name="shed 1", place="ridge shed", sticker="25 mm", built_on="2026-04-02")
    for n, width in enumerate(("40 cm", "90 cm", "90 cm", "40 cm"), 1):
        enter(
            "tally_slab", log=str(demo_log.number), thickness="80 mm", length="3 m", widths=[width],
            sawn_on="2026-04-01", stack="shed 1", layer=5 - n,
        )  # fmt: skip
    return made


def page(client, address, status=200, **data):
    answer = client.post(address, data) if data else client.get(address)
    assert answer.status_code == status, answer.content.decode()[:2000]
    return answer.content.decode()


def row_of(text, label):
    return re.search(rf">{label}</a></th>(.*?)</tr>", text, re.S)[1]


def hidden(text):
    return dict(re.findall(r'<input type="hidden" name="(_entry|by|width|mark)" value="([^"]*)"', text))


def test_the_page_tells_weight_and_what_to_move_first(client, stack):
    text = page(client, f"/drying/stack/{stack.pk}/")
    assert "4 slabs in 4 layers, by hand" in text
    assert "3: 1-1, 1-2, 1-3" in row_of(text, "1-4")
    assert "nothing" in row_of(text, "1-1")
    assert "kg/m2" in text
    assert "hoist or cart" in row_of(text, "1-2")


def test_a_floor_that_bears_too_little_is_told_first(client, stack):
    enter("lay_stack", stack="shed 1", bears="100 kg/m2")
    text = page(client, f"/drying/stack/{stack.pk}/")
    assert "Do not build it there so." in text
    assert "NOT ENOUGH" in text


def test_a_proposal_is_laid_and_undone(client, stack):
    address = f"/drying/stack/{stack.pk}/lay/"
    text = page(client, f"{address}?by=floor")
    assert "4 slabs in 3 layers, best use of floor" in text
    sent = hidden(text)
    page(client, address, 303, **sent)
    places = dict(Slab.objects.filter(stack=stack).values_list("number", "layer"))
    assert places[1] == places[4]
    assert {places[2], places[3]} == {1, 2}  # the heavier ones below
    stack.refresh_from_db()
    assert len(stack.sticker_places_m) == 9  # 3 m, at most 400 mm apart
    assert "3 layers, by hand" in page(client, f"/drying/stack/{stack.pk}/")
    page(client, address, 303, **sent)  # sent twice, entered once
    entry = Entry.objects.get(kind="lay_stack")
    enter("undo_entry", entry=str(entry.pk))
    assert dict(Slab.objects.filter(stack=stack).values_list("number", "layer"))[4] == 1


def test_log_order_is_offered_with_the_lowest_slab_lowest(client, stack):
    text = page(client, f"/drying/stack/{stack.pk}/lay/?by=order")
    assert "4 slabs in 4 layers, log order kept" in text
    assert 'data-label="Layer">1<' in row_of(text, "1-4")


def test_a_stack_that_changed_meanwhile_is_not_laid(client, stack):
    address = f"/drying/stack/{stack.pk}/lay/"
    sent = hidden(page(client, f"{address}?by=floor"))
    enter("move_slab", slabs=["1-4"], stack="", place="ridge shed")
    assert "has changed" in page(client, address, 422, **sent)
    assert not Entry.objects.filter(kind="lay_stack").exists()


@pytest.mark.parametrize(
    ("query", "status", "told"),
    [
        ("by=floor&width=50 cm", 422, "90 cm|0.90 m"),
        ("by=floor&width=12", 422, "unit"),
        ("by=round", 404, ""),
    ],
)
def test_a_proposal_badly_asked_for_is_refused(client, stack, query, status, told):
    assert re.search(told, page(client, f"/drying/stack/{stack.pk}/lay/?{query}", status))


def test_the_card_names_every_slab(client, stack):
    from pypdf import PdfReader

    answer = client.get(f"/drying/stack/{stack.pk}/card.pdf")
    assert answer.status_code == 200
    text = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    for label in ("1-1", "1-2", "1-3", "1-4"):
        assert label in text
    assert "structural engineer" in text


def test_an_empty_stack_has_no_card_and_its_page_answers(client):
    made = enter("build_stack", name="bare")
    assert client.get(f"/drying/stack/{made.pk}/card.pdf").status_code == 404
    page(client, f"/drying/stack/{made.pk}/")
    assert "one measured slab or more" in page(client, f"/drying/stack/{made.pk}/lay/", 422)
