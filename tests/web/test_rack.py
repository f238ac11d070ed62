"""The rack: what it shows of the book, how little it asks the database, and what it refuses."""

import re

import pytest

from tests.book import enter


@pytest.fixture
def stock(demo_log):
    """Four slabs of the hollow oak, the lower two in a stack."""
    enter("add_place", name="ridge shed", kind="shed")
    enter("build_stack", name="shed 1", place="ridge shed", sticker="25 mm")
    for n, thick in enumerate(("80 mm", "80 mm", "54 mm", "54 mm"), 1):
        enter(
            "tally_slab",
            log=str(demo_log.number),
            thickness=thick,
            length="4.2 m",
            widths=["60 cm / 65 cm", "58 cm / 62 cm", "50 cm / 54 cm"],
            **({"stack": "shed 1", "layer": 5 - n} if n > 2 else {}),
        )
    return demo_log


def page(client, address, status=200, **headers):
    answer = client.get(address, **headers)
    assert answer.status_code == status, answer.content.decode()[:2000]
    return answer.content.decode()


PAGES = ("", "stacks/", "asked/", "asked/new/", "labels/", "move/", "stacks/new/", "glue/")


@pytest.mark.parametrize("address", [f"/rack/{page}" for page in PAGES])
def test_every_page_of_an_empty_book_answers(client, address):
    text = page(client, address)
    assert "style=" not in text
    assert "<style" not in text
    assert not re.search(r"<script(?![^>]*src=)", text)


def test_the_rack_shows_stack_and_slabs(client, stock):
    text = page(client, "/rack/")
    assert "4 slabs in stock" in text
    assert 'data-slab="1-3"' in text
    assert 'href="/rack/1-2/"' in text
    assert "4.20 m × 586 mm × 80 mm" in text  # mean of 62.5, 60 and 52 cm by the trapezium


@pytest.mark.parametrize(
    ("query", "shown"),
    [
        ("least_thickness=60+mm", {"1-1", "1-2"}),
        ("most_thickness=54+mm", {"1-3", "1-4"}),
        ("stack=shed+1", {"1-3", "1-4"}),
        ("place=Ridge+Shed", {"1-3", "1-4"}),
        ("state=drying", {"1-3", "1-4"}),
        ("state=dry", set()),
        ("species=oak&least_length=4.2+m&least_width=20+in", {"1-1", "1-2", "1-3", "1-4"}),
        ("least_length=4.3+m", set()),
        ("log=2", set()),
        ("pair=single&owner=own&sort=thickest", {"1-1", "1-2", "1-3", "1-4"}),
        ("pair=paired", set()),
    ],
)
def test_what_was_asked_for_is_what_is_shown(client, stock, query, shown):
    text = page(client, f"/rack/?{query}", headers={"hx-request": "true"})
    assert "<html" not in text
    assert set(re.findall(r'name="slab" value="([^"]+)"', text)) == shown


@pytest.mark.parametrize("sort", ["number", "species", "thickest", "longest", "widest", "newest", "dearest"])
def test_every_order_shows_each_slab_once(client, stock, sort):
    # Measured anew, a slab has two sizes; only the one that holds now counts.
    enter("resize_slab", slab="1-1", state="dry", thickness="30 mm", length="4.1 m")
    text = page(client, f"/rack/?sort={sort}", headers={"hx-request": "true"})
    shown = re.findall(r'name="slab" value="([^"]+)"', text)
    assert sorted(shown) == ["1-1", "1-2", "1-3", "1-4"]
    if sort == "thickest":
        assert shown == ["1-2", "1-3", "1-4", "1-1"]


def test_a_size_without_a_unit_is_refused_beside_its_field(client, stock):
    text = page(client, "/rack/?least_length=4&species=oak", 422)
    assert "Least length" in text
    assert 'value="4"' in text
    assert 'value="oak"' in text
    assert "4 slabs in stock" in text  # the rest of what was asked for still holds


def test_queries_do_not_grow_with_the_list(client, demo_log):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    def tallied(count):
        rows = [{"thickness": "54 mm", "length": "3 m", "widths": ["40 cm / 45 cm"]}] * count
        enter("tally_slabs", log="1", slabs=rows)
        with CaptureQueriesContext(
            connection,
        ) as told:
            text = page(client, "/rack/")
        return len(told), len(text)

    few, _ = tallied(3)
    many, size = tallied(60)
    assert many <= few + 1  # a page more of the count
    assert size < 100_000


def test_a_slab_that_is_not_there_is_not_found(client, stock):
    page(client, "/rack/1-99/", 404)
    page(client, "/rack/nonsense/", 404)
    page(client, "/rack/1-1/do/take_log/", 404)


def test_a_slab_page_tells_everything_about_it(client, stock):
    enter("pair_slabs", first="1-1", second="1-2")
    enter("write_note", about="slab 1-1", text="Swirl near the top.")
    enter("move_slab", slabs=["1-1", "1-2"], stack="shed 1")
    text = page(client, "/rack/1-1/")
    assert "Pair with" in text
    assert "Swirl near the top." in text
    assert "Move slabs" in text  # told of the last slab moved, found by what it changed
    assert "Tally a slab" in text
    assert "layer 3" in text


@pytest.mark.parametrize(
    ("kind", "said", "after"),
    [
        ("move_slab", {"stack": "shed 1"}, "layer 3"),
        ("resize_slab", {"state": "dry", "thickness": "74 mm", "length": "4.15 m"}, "4.15 m"),
        ("split_slab", {"way": "cross", "at": "2 m"}, "Became"),
        ("pair_slabs", {"second": "1-2"}, "Pair with"),
        ("price_slab", {"asking": "480 USD"}, "480.00 USD"),
        ("share_slab", {"owner": "customer"}, "a customer"),
        ("change_slab", {"figure": "swirl"}, "swirl"),
        ("write_note", {"text": "a note"}, "a note"),
        ("scrap_slab", {"why": "split"}, "scrap"),
    ],
)
def test_what_is_done_with_a_slab_is_seen_on_its_page(client, stock, kind, said, after):
    address = f"/rack/1-1/do/{kind}/"
    assert 'name="_entry"' in page(client, address)
    assert client.post(address, said).status_code == 303
    assert after in page(client, "/rack/1-1/")


def test_a_refused_form_keeps_its_words(client, stock):
    answer = client.post("/rack/1-1/do/resize_slab/", {"state": "dry", "thickness": "74"})
    assert answer.status_code == 422
    text = answer.content.decode()
    assert 'value="74"' in text
    assert "80 mm" in text


def test_fits_are_drawn_at_the_dry_size(client, stock):
    text = page(client, "/rack/1-1/fits/?form=rectangle&end_trim=50+mm", headers={"hx-request": "true"})
    # Narrow face 50 cm at the thin end, less 8.6 % x (30 - 8)/30 tangential shrinkage of northern
    # red oak (Wood Handbook, FPL-GTR-190, table 4-3): some 47 cm; 4.1 m between the trims.
    size = re.search(r"<strong>(\d\.\d\d) m × (\d+) mm</strong>", text)
    assert size
    assert float(size[1]) == pytest.approx(4.1, abs=0.01)
    assert 465 <= int(size[2]) <= 472
    assert 'class="fit rectangle"' in text
    page(client, "/rack/1-1/fits/?end_trim=5", 422)


@pytest.mark.parametrize("form", ["oval", "round", "pair's rectangle", "pair's oval", "pair's round"])
def test_every_form_is_found(client, stock, form):
    enter("pair_slabs", first="1-1", second="1-2")
    answer = client.get("/rack/1-1/fits/", {"form": form}, headers={"hx-request": "true"})
    assert answer.status_code == 200
    assert "<svg" in answer.content.decode()


def test_what_is_asked_for_is_found_in_stock(client, stock):
    want = enter("ask_for", what="table top", length="2.4 m", width="45 cm", thickness="30 mm")
    text = page(client, f"/rack/asked/{want.pk}/")
    assert "Slab 1-1" in text
    assert "Slab 1-4" in text
    broad = enter("ask_for", what="wide top", length="2.4 m", width="75 cm")
    assert "Nothing in stock" in page(client, f"/rack/asked/{broad.pk}/")
    pair = enter("ask_for", what="pair top", form="pair", length="2.4 m", width="95 cm")
    enter("pair_slabs", first="1-1", second="1-2")
    assert "Slabs 1-1 and 1-2" in page(client, f"/rack/asked/{pair.pk}/")
    client.post(f"/rack/asked/{want.pk}/settle/", {"met": "yes"})
    assert "done with" in page(client, f"/rack/asked/{want.pk}/")


def test_labels_come_as_a_pdf_whose_codes_lead_to_the_slabs(client, stock):
    import cv2
    import pypdfium2

    from pithline.yard.finding import slab_of

    assert "2 labels" in page(client, "/rack/labels/?slab=1-2&slab=1-4")
    pdf = client.get("/rack/labels/sheet.pdf?slab=1-4&stock=A4,+3+x+8,+70+x+37+mm&first=5").content
    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=200 / 72).to_numpy()
    address = cv2.QRCodeDetector().detectAndDecode(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY))[0]
    assert address == f"http://localhost:8467/rack/id/{slab_of('1-4').pk}/"
    assert client.get(address.removeprefix("http://localhost:8467")).headers["location"] == "/rack/1-4/"


def test_labels_warn_while_no_phone_could_follow_them(client, stock):
    warning = "a phone that reads the label goes nowhere"
    assert warning in page(client, "/rack/labels/")
    enter("set_preference", name="base_address", value="http://yard.local:8467")
    assert warning not in page(client, "/rack/labels/")


def test_labels_that_cannot_be_are_refused(client, stock):
    text = page(client, "/rack/labels/sheet.pdf?slab=1-1&first=99", 422)
    assert "from 1 to" in text
    assert "Measure the sheet" in page(
        client, "/rack/labels/sheet.pdf?slab=1-1&stock=my+own,+as+measured+below", 422
    )
    page(client, "/rack/labels/sheet.pdf?slab=9-9", 422)


def test_a_tall_stack_is_drawn_on_its_own_page(client, demo_log):
    enter("build_stack", name="tall")
    row = {"thickness": "54 mm", "length": "3 m", "widths": ["40 cm"], "stack": "tall"}
    enter("tally_slabs", log="1", slabs=[{**row, "layer": n} for n in range(1, 106)])
    assert "<svg" not in page(client, "/rack/stacks/")
    assert "105 slabs" in page(client, "/rack/stacks/")
    assert len(page(client, "/rack/")) < 100_000
    assert page(client, "/rack/?stack=tall&state=all").count('class="slab"') == 105
