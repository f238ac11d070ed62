"""Drying pages: what they forecast, what is due, what is refused, and the calendar."""

import base64
import datetime
import io
import re

import pytest
from django.utils.html import escape
from pypdf import PdfReader

from tests.book import enter

TODAY = datetime.date(2026, 11, 1)
CSV = "time,temperature (°C),humidity (%)\n"


@pytest.fixture(autouse=True)
def same_day(monkeypatch):
    """Pages of a fixed day: a forecast made tomorrow is another."""
    for room in ("views", "load_views", "calendar"):
        monkeypatch.setattr(f"pithline.web.drying.{room}.today", lambda: TODAY)
    monkeypatch.setattr("pithline.web.drying.watch.DRAWS", 50)  # quicker; ranges are rough but there


@pytest.fixture
def stack(demo_log):
    """Two thick slabs and a thinner one of the hollow oak on sticks since spring, in a shed of known air."""
    enter("add_place", name="ridge shed", kind="shed")
    enter("set_months", place="ridge shed", like="Pittsburgh")
    made = enter("build_stack", name="shed 1", place="ridge shed", sticker="25 mm", built_on="2026-04-02")
    for n, thick in enumerate(("80 mm", "80 mm", "54 mm"), 1):
        enter(
            "tally_slab",
            log=str(demo_log.number),
            thickness=thick,
            length="4.2 m",
            widths=["60 cm / 65 cm", "50 cm / 54 cm"],
            sawn_on="2026-04-01",
            stack="shed 1",
            layer=4 - n,
        )
    return made


def page(client, address, status=200, **headers):
    answer = client.get(address, **headers)
    assert answer.status_code == status, answer.content.decode()[:2000]
    return answer.content.decode()


def days_of(text, name):
    """Middle, low and high day that the page tells for a milestone."""
    row = re.search(rf'<th scope="row">{name}</th>.*?data-label="Expected now">([^<]*)', text, re.S)
    assert row, text[:3000]
    return [datetime.date.fromisoformat(day) for day in re.findall(r"\d{4}-\d\d-\d\d", row[1])]


@pytest.mark.parametrize("address", ["", "loads/new/", "calendar.ics"])
def test_an_empty_book_answers(client, address):
    page(client, f"/drying/{address}")


def test_a_stack_page_tells_days_with_a_range_and_its_sources(client, stack):
    text = page(client, f"/drying/stack/{stack.pk}/")
    assert "style=" not in text
    thin = page(client, f"/drying/stack/{stack.pk}/?slab=1-3")
    middle, low, high = days_of(thin, "Kiln-ready")
    assert low < middle < high
    middle, low = days_of(text, "Kiln-ready")[:2]
    # Red oak 12/4 under a roof takes more than a year to 25 %: FPL-GTR-117 gives up to 200 days for
    # 1-inch stock (from memory), and thick stock goes by a power of its thickness of 1.3 at least.
    assert (middle - datetime.date(2026, 4, 1)).days > 365
    assert "from memory" in text
    assert "extrapolated" in text
    # 80 mm are 3.15 inches: as people say, 3.15 years.
    assert "2029-05" in text
    assert "1-2, 1-1" in text  # bottom first


def test_a_weighed_block_narrows_the_range_and_is_shown(client, stack):
    before = days_of(page(client, f"/drying/stack/{stack.pk}/?slab=1-3"), "Kiln-ready")
    enter("cut_sample", name="W1", slab="1-3", weight="11.2 kg", start="82 %", cut_on="2026-04-01")
    for day, weight in (("2026-05-01", "10.2 kg"), ("2026-07-01", "9.35 kg"), ("2026-10-20", "8.55 kg")):
        enter("weigh_piece", sample="W1", weight=weight, weighed_on=day)
    text = page(client, f"/drying/stack/{stack.pk}/?slab=1-3")
    after = days_of(text, "Kiln-ready")
    assert after[2] - after[1] < 0.7 * (before[2] - before[1])
    # 8.55 kg over an oven-dry 11.2/1.82 = 6.154 kg: 38.9 % (by hand).
    assert 'data-label="Read">39 %' in text
    assert "witness block W1" in text
    assert text.count("<tr") > 10


def test_a_meter_deep_inside_is_held_against_that_depth(client, stack):
    enter(
        "read_meter", slab="1-3", meter="insulated pin", shown="23 %", depth="8 mm", wood_temperature="20 C",
        set_to="northern red oak", read_on="2026-10-20",
    )  # fmt: skip
    text = page(client, f"/drying/stack/{stack.pk}/?slab=1-3")
    assert re.search(r'data-label="Where">at 8 mm<', text)
    assert "meter in 1-3" in text


def test_every_slab_has_its_days(client, stack):
    text = page(client, f"/drying/stack/{stack.pk}/all/", headers={"hx-request": "true"})
    assert "<html" not in text
    assert "1-2, 1-1" in text  # bottom first
    assert ">1-3<" in text


def test_a_place_without_months_says_what_to_enter(client, stack):
    enter("add_place", name="bare yard", kind="yard")
    other = enter("build_stack", name="yard 1", place="bare yard")
    enter("move_slab", slabs=["1-3"], stack="yard 1")
    enter("tally_slab", log="1", thickness="54 mm", length="2 m", widths=["40 cm"], stack="yard 1", layer=1)
    text = page(client, f"/drying/stack/{other.pk}/?slab=1-4")
    assert "No forecast" in text
    assert "months" in text


@pytest.mark.parametrize(
    ("kind", "words", "field"),
    [
        ("weigh_piece", {"slab": "1-1", "weight": "8.4"}, "8.4"),
        ("read_meter", {"slab": "1-1", "meter": "pin", "shown": "23 %", "beyond": "wet"}, "23 %"),
        ("begin_phase", {"kind": "indoor", "temperature": "20"}, "20"),
        ("lay_stack", {"slabs.0.slab": "1-1", "slabs.0.layer": "1", "sticker": "25"}, "25"),
    ],
)
def test_a_refused_form_keeps_its_words(client, stack, kind, words, field):
    answer = client.post(f"/drying/stack/{stack.pk}/do/{kind}/", words, headers={"hx-request": "true"})
    assert answer.status_code == 422
    assert f'value="{field}"' in answer.content.decode()


def test_a_weight_is_entered_from_the_page(client, stack):
    answer = client.post(
        f"/drying/stack/{stack.pk}/do/weigh_piece/",
        {"slab": "1-1", "weight": "92 kg", "weighed_on": "2026-10-20"},
    )
    assert answer.status_code == 303
    assert stack.slabs.get(number=1).weighings.get().weight_kg == 92


def test_nothing_else_is_done_there(client, stack):
    page(client, f"/drying/stack/{stack.pk}/do/take_log/", 404)
    page(client, f"/drying/stack/{stack.pk}/?slab=9-9", 404)


def test_a_logger_with_a_gap_is_not_used_until_agreed(client, stack):
    from django.core.files.uploadedfile import SimpleUploadedFile

    from pithline.yard.models import Logger

    hours = [*range(24), *range(96, 130)]  # three days are missing
    begun = datetime.datetime(2026, 5, 1, tzinfo=datetime.UTC)
    lines = "".join(f"{begun + datetime.timedelta(hours=h):%Y-%m-%d %H:%M},15,70\n" for h in hours)
    sent = SimpleUploadedFile("shed.csv", (CSV + lines).encode())
    address = f"/drying/stack/{stack.pk}/logger/"
    assert client.post(address, {"file": sent, "name": "shed air"}).status_code == 303
    logger = Logger.objects.get()
    assert not logger.used
    text = page(client, f"/drying/stack/{stack.pk}/")
    assert escape(logger.found[0]["said"]) in text
    client.post(f"{address}{logger.pk}/", {"use": "yes"})
    assert not Logger.objects.get().used
    kinds = [each["kind"] for each in logger.found]
    client.post(f"{address}{logger.pk}/", {"use": "yes", "agreed": kinds})
    assert Logger.objects.get().used


def test_a_file_that_is_no_loggers_is_refused_by_name(client, stack):
    from django.core.files.uploadedfile import SimpleUploadedFile

    from pithline.yard.models import Logger

    address = f"/drying/stack/{stack.pk}/logger/"
    sent = {
        "file": SimpleUploadedFile("notes.csv", b"bread, milk\n"),
        "name": "shed air",
        "dates": "day first",
    }
    answer = client.post(address, sent)
    assert answer.status_code == 422
    assert not Logger.objects.exists()
    text = answer.content.decode()
    assert "Not used" in text
    assert 'value="shed air"' in text  # what can be kept is kept
    assert "<option selected>day first" in text


def test_a_file_with_an_open_quotation_mark_is_refused(client, stack):
    from django.core.files.uploadedfile import SimpleUploadedFile

    lines = CSV + '"2026-05-01 00:00,15,70\n' + "2026-05-01 01:00,15,70\n" * 9000
    answer = client.post(
        f"/drying/stack/{stack.pk}/logger/", {"file": SimpleUploadedFile("a.csv", lines.encode())}
    )
    assert answer.status_code == 422
    assert "quotation mark" in answer.content.decode()


def test_the_week_tells_what_is_due(client, stack):
    enter("cut_sample", name="W1", slab="1-1", weight="11.2 kg", start="82 %", cut_on="2026-04-01")
    text = page(client, "/drying/")
    # Wetter than 60 % it is weighed every week: due on 8 April.
    assert "Weigh W1" in text
    assert "Wed 8 Apr 2026, late" in text
    assert "Look through and turn stack shed 1" in text
    assert "Weigh W1" in page(client, "/")


@pytest.fixture
def load(stack):
    """All three slabs planned into a small dehumidifier."""
    enter("keep_profile", kind="kiln", name="box", table={"like": "small dehumidifier"}, usual=True)
    return enter("load_kiln", slabs=[{"slab": f"1-{n}"} for n in (1, 2, 3)], target="8 %")


def test_a_load_page_tells_who_leads_steps_water_and_marks(client, load):
    text = page(client, "/drying/loads/1/?price=0.30+EUR+per+kWh")
    assert "Leads the schedule" in text
    assert re.search(r"<dt>Wettest, thickest</dt><dd>1-[12] at", text)
    # No spray, so no conditioning; at 49 °C no core of 56 °C: both are said on the slab.
    assert "not conditioned" in text
    assert "not sterilised" in text
    assert "EUR" in text
    page(client, "/drying/loads/1/?price=cheap", 422)
    page(client, "/drying/loads/2/", 404)


def test_the_kiln_log_is_a_pdf(client, load):
    answer = client.get("/drying/loads/1/log.pdf")
    assert answer.status_code == 200
    words = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert "Kiln log · box" in words  # the book's kiln, not the starter it was described from
    assert "load 1" in words


def test_sample_boards_tell_the_next_step(client, load):
    client.post("/drying/loads/1/do/start_load/", {"started": "2026-10-20 08:00"})
    for name, weight in (("B1", "4.14 kg"), ("B2", "4.00 kg"), ("B3", "3.8 kg"), ("B4", "3.5 kg")):
        said = {"weight": "4.4 kg", "oven_dry": "2.68 kg", "cut_on": "2026-10-20"}
        enter("cut_sample", name=name, kind="board", slab="1-1", load="1", **said)
        enter("weigh_piece", sample=name, weight=weight, weighed_on="2026-10-28")
    text = page(client, "/drying/loads/1/")
    # Oven-dry 2.68 kg: 54.5 and 49.3 % are the wettest half, 51.9 % their mean (by hand).
    assert "Wettest half 51.9 %" in text
    assert "go on drying" in text
    assert re.search(r"Set \d+\.\d °C, wet bulb \d+\.\d °C", text)


def test_what_a_load_did_is_said_on_the_slab(client, load):
    client.post("/drying/loads/1/do/start_load/", {"started": "2026-10-20 08:00"})
    answer = client.post("/drying/loads/1/do/end_load/", {"ended": "2026-10-30 08:00", "sterilised": "no"})
    assert answer.status_code == 303
    assert "not sterilised" in page(client, "/rack/1-1/")


def test_what_a_kiln_cannot_do_is_said_on_the_slab_unasked(client, load):
    # A small dehumidifier: 49 °C at most, no spray.
    client.post("/drying/loads/1/do/start_load/", {"started": "2026-10-20 08:00"})
    board = {"kind": "board", "slab": "1-1", "load": "1", "weight": "2 kg", "oven_dry": "1.3 kg"}
    enter("cut_sample", name="B1", cut_on="2026-10-20", **board)
    enter("weigh_piece", sample="B1", weight="1.98 kg", weighed_on="2026-10-28")
    assert "By the sample boards" in page(client, "/drying/loads/1/")
    client.post("/drying/loads/1/do/end_load/", {"ended": "2026-10-30 08:00"})
    assert "not sterilised, not conditioned" in page(client, "/rack/1-1/")
    assert "By the sample boards" not in page(client, "/drying/loads/1/")  # it is out: nothing to set


def parsed(data):
    """Events of a calendar by RFC 5545: unfolded, split at colons, unescaped."""
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    lines = data.decode().replace("\r\n ", "").split("\r\n")
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-2:] == ["END:VCALENDAR", ""]
    events = []
    for line in lines:
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            events.append({})
        elif events:
            plain = re.sub(r"\\(.)", lambda m: "\n" if m[1] == "n" else m[1], value)
            events[-1].setdefault(name.partition(";")[0], plain)
    return events


def test_the_calendar_can_be_read_and_keeps_its_identities(client, stack, monkeypatch):
    first = parsed(client.get("/drying/calendar.ics").content)
    names = {one["SUMMARY"] for one in first}
    assert "kiln-ready: stack shed 1" in names
    assert len({one["UID"] for one in first}) == len(first) > 1
    for one in first:
        begin, end = (datetime.date.fromisoformat(one[n]) for n in ("DTSTART", "DTEND"))
        assert end - begin == datetime.timedelta(days=1)
    enter("weigh_piece", slab="1-3", weight="60 kg", weighed_on="2026-10-20")
    again = parsed(client.get("/drying/calendar.ics").content)
    assert {one["UID"] for one in again} == {one["UID"] for one in first}


def test_the_calendar_is_for_this_machine_or_a_token(client, stack):
    from pithline.yard.tokens import end_token, make_token

    far = {"REMOTE_ADDR": "192.0.2.7"}
    assert client.get("/drying/calendar.ics", **far).status_code == 401
    token = make_token("phone")
    assert (
        client.get("/drying/calendar.ics", headers={"authorization": f"Bearer {token}"}, **far).status_code
        == 200
    )
    named = base64.b64encode(f"any:{token}".encode()).decode()
    assert (
        client.get("/drying/calendar.ics", headers={"authorization": f"Basic {named}"}, **far).status_code
        == 200
    )
    for wrong in ("Bearer pith_x", "Basic !!", "Basic"):
        assert client.get("/drying/calendar.ics", headers={"authorization": wrong}, **far).status_code == 401
    end_token("phone")
    assert (
        client.get("/drying/calendar.ics", headers={"authorization": f"Bearer {token}"}, **far).status_code
        == 401
    )
    # A token opens this one address, and no page.
    fresh = make_token("other")
    assert client.get("/drying/", headers={"authorization": f"Bearer {fresh}"}, **far).status_code in (
        302,
        403,
    )


def test_a_calendar_escapes_and_folds_between_letters():
    from pithline.sheets.ics import Day, calendar

    title = 'Oak, 80 mm; "wet"\nand \\ ' + "é" * 60
    made = calendar([Day("u1", TODAY, title)], "x", datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC))
    assert parsed(made)[0]["SUMMARY"] == title


def test_a_stack_is_laid_anew_from_its_page(client, stack):
    text = page(client, f"/drying/stack/{stack.pk}/do/lay_stack/", headers={"hx-request": "true"})
    assert 'value="1-2"' in text
    rows = {"slabs.0.slab": "1-3", "slabs.0.layer": "1", "slabs.1.slab": "1-1", "slabs.1.layer": "2"}
    rows |= {"slabs.2.slab": "1-2", "slabs.2.layer": "3", "bolster": "20 cm"}
    assert client.post(f"/drying/stack/{stack.pk}/do/lay_stack/", rows).status_code == 303
    assert [slab.label for slab in stack.slabs.order_by("layer")] == ["1-3", "1-1", "1-2"]
    assert "timbers below 200 mm" in page(client, f"/drying/stack/{stack.pk}/")
