"""A kiln load's layers: asked for, worked out, entered by one press; its cost shared by room and days."""

import re
import threading

import pytest

from pithline.yard import jobs
from pithline.yard.kinds import perform
from pithline.yard.models import Entry, Job, KilnLoad
from tests.book import enter

BEGIN = jobs.begin
ADDRESS = "/drying/loads/1/charge/"
ROOM = {"length": "4.3 m", "width": "1.3 m", "height": "1.2 m"}


@pytest.fixture(autouse=True)
def at_once(monkeypatch):
    """Work beside the server is done before the answer: the worker's thread sees no open transaction."""

    def begin(kind, said):
        job = Job.objects.create(kind=kind, said=said)
        jobs.work_off(job.pk)
        return job

    monkeypatch.setattr("pithline.web.drying.charge_views.jobs.begin", begin)


@pytest.fixture
def stack(demo_log):
    """Six slabs of one log in a stack: four of 80 mm that pair up two and two, two of 54 mm."""
    made = enter("build_stack", name="shed 1", sticker="25 mm", built_on="2026-04-02")
    sizes = [("80 mm", "60 cm"), ("80 mm", "60 cm"), ("80 mm", "66 cm"), ("80 mm", "62 cm")]
    for n, (thick, width) in enumerate([*sizes, ("54 mm", "50 cm"), ("54 mm", "50 cm")], 1):
        enter(
            "tally_slab", log=str(demo_log.number), thickness=thick, length="4 m", widths=[width],
            sawn_on="2026-04-01", stack="shed 1", layer=7 - n,
        )  # fmt: skip
    return made


@pytest.fixture
def load(stack):
    """A load of two of them in a kiln of measured size."""
    enter("keep_profile", kind="kiln", name="box", table={"like": "small dehumidifier", **ROOM}, usual=True)
    return enter("load_kiln", slabs=[{"slab": "1-1"}, {"slab": "1-2"}])


def page(client, address, status=200, **headers):
    answer = client.get(address, headers=headers)
    assert answer.status_code == status, answer.content.decode()[:2000]
    return answer.content.decode()


def asked(client, status=303, **words):
    answer = client.post(ADDRESS, words)
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.headers["Location"] if status == 303 else answer.content.decode()


def laid(client, **words):
    """Ask, and enter what came of it, with a second press; the address of the plan."""
    address = asked(client, **words)
    entry = re.search(r'name="_entry" value="([^"]*)"', page(client, address))[1]
    for _ in range(2):
        answer = client.post(address, {"do": "keep", "_entry": entry})
        assert answer.status_code == 303, answer.content.decode()[:3000]
    assert Entry.objects.filter(id=entry).count() == 1
    return address


def ticked(text, name):
    return re.findall(rf'name="{name}" value="([^"]*)" checked', text)


def test_slabs_of_the_load_are_ticked_and_those_in_stacks_offered(client, load):
    text = page(client, ADDRESS)
    assert ticked(text, "slab") == ["1-1", "1-2"]
    assert re.findall(r'name="must" value="([^"]*)"', text) == ["1-1", "1-2", "1-3", "1-4", "1-5", "1-6"]
    assert "Not laid yet" in text
    assert "Guessed" not in text
    # What another load has, and what is dry, is not offered.
    enter("load_kiln", slabs=[{"slab": "1-3"}])
    enter("resize_slab", slab="1-4", state="dry", thickness="76 mm", moisture="8 %")
    assert 'value="1-3"' not in page(client, ADDRESS)
    assert 'value="1-4"' not in page(client, ADDRESS)


def test_a_plan_is_worked_out_entered_and_undone(client, load):
    address = asked(client, slab=["1-1", "1-2", "1-3", "1-4", "1-5", "1-6"])
    text = page(client, address)
    # By hand: two and two of 60 to 66 cm within 1.3 m, 66 with 62 or 60; two of 50 cm beside each other.
    assert "80 mm: 4 slabs, 2 layers; 2 as bounding rectangles; no plan takes fewer." in text
    assert "54 mm: 2 slabs, 1 layer; 1 as bounding rectangles; no plan takes fewer." in text
    assert text.count('class="layer-number"') == 3
    assert "Stacks tip" in text
    assert load.loaded.count() == 2  # nothing is entered yet
    assert "was worked out and is not entered" in page(client, ADDRESS)
    again = laid(client, slab=["1-1", "1-2", "1-3", "1-4", "1-5", "1-6"])
    rows = {one.slab.label: one for one in load.loaded.select_related("slab__log")}
    assert {label: row.layer for label, row in rows.items() if label in ("1-5", "1-6")} == {
        "1-5": 3,
        "1-6": 3,
    }
    assert sum(row.space_share for row in rows.values()) == pytest.approx(1, abs=1e-6)
    text = page(client, ADDRESS)
    assert "As it was laid" in text
    assert "not entered" not in text
    assert "6 slabs in 3 layers" in page(client, "/drying/loads/1/")
    assert ticked(page(client, f"{ADDRESS}?like={again.rstrip('/').rpartition('/')[2]}"), "slab") == sorted(
        rows
    )
    enter("undo_entry", entry=str(Entry.objects.get(kind="change_load").pk))
    load.refresh_from_db()
    assert (load.layout, load.loaded.count()) == (None, 2)


def test_what_has_no_room_stays_out_and_what_must_go_goes(client, load):
    # 105 mm a layer of 80 mm: one of them, and no layer of 54 mm above it.
    address = asked(client, slab=["1-3", "1-4", "1-5", "1-6"], must=["1-5"], height="11 cm", width="70 cm")
    text = page(client, address)
    assert "1 slab in 1 layer, " in text
    out = re.search(r"Left for the next load: the height is full: (.*?)\.</li>", text, re.S)[1]
    assert re.findall(">([^<]+)</a>", out) == ["1-3", "1-4", "1-6"]
    assert re.search(r'data-slab="1-5"', text)


def test_the_highest_prices_go_first_where_that_is_said(client, load):
    for slab, price in (("1-5", "900 USD"), ("1-1", "100 USD"), ("1-3", "300 USD")):
        enter("price_slab", slab=slab, asking=price)
    words = {"slab": ["1-1", "1-3", "1-5", "1-6"], "height": "11 cm", "width": "70 cm"}
    assert re.findall('data-slab="([^"]*)"', page(client, asked(client, **words))) == ["1-3"]  # the most wood
    text = page(client, asked(client, go_first="highest asking prices", **words))
    assert re.findall('data-slab="([^"]*)"', text) == ["1-5"]
    assert "1-6: no price asked" in text
    words |= {"slab": ["1-6"], "go_first": "highest asking prices"}
    assert "as none has a price" in asked(client, 422, **words)


def test_progress_is_seen_with_and_without_script_and_stopped(client, load, monkeypatch):
    def waits(kind, said):
        return Job.objects.create(kind=kind, said=said)

    monkeypatch.setattr("pithline.web.drying.charge_views.jobs.begin", waits)
    address = asked(client, slab=["1-1"])
    job = Job.objects.get()
    jobs._live[job.pk] = jobs._Live(0.4, "80 mm: 3 layers so far")
    Job.objects.update(state="running")
    try:
        text = page(client, address)
        assert '<progress max="100" value="40"' in text
        assert "80 mm: 3 layers so far" in text
        assert '<noscript><meta http-equiv="refresh"' in text
        part = page(client, address, **{"hx-request": "true"})
        assert "<html" not in part
        assert "every 1s" in part
        assert "being worked out" in page(client, ADDRESS)
        assert client.post(address, {"do": "stop"}).status_code == 302
        assert jobs._live[job.pk].stop
    finally:
        jobs._live.pop(job.pk)


@pytest.mark.django_db(transaction=True)
def test_the_worker_lays_it_by_itself(client, load, monkeypatch):
    monkeypatch.setattr("pithline.web.drying.charge_views.jobs.begin", BEGIN)
    address = asked(client, slab=["1-1", "1-2", "1-5"])
    for _ in range(300):
        text = page(client, address, **{"hx-request": "true"})
        if "every 1s" not in text:
            break
        threading.Event().wait(0.1)
    assert "3 slabs in 2 layers" in text
    assert "Lay it so" in text


def test_a_plan_of_slabs_that_changed_meanwhile_is_not_entered(client, load):
    address = asked(client, slab=["1-1", "1-2"])
    enter("resize_slab", slab="1-1", state="green", widths=["70 cm"])
    assert "have changed" in page(client, address)
    answer = client.post(address, {"do": "keep"})
    assert answer.status_code == 422
    assert "lay it anew" in answer.content.decode()
    assert KilnLoad.objects.get().layout is None


def test_guessed_sizes_are_marked_and_typed_ones_hold(client, stack):
    enter("keep_profile", kind="kiln", name="unmeasured", table={"like": "small dehumidifier"}, usual=True)
    enter("load_kiln", slabs=[{"slab": "1-1"}])
    text = page(client, ADDRESS)
    assert "Guessed, not measured: length, width, height" in text
    assert re.search(r"If left empty: 1\.20? m \(guessed: 1 m to 1\.5 m; a guess\)", text)
    text = page(client, asked(client, slab=["1-1"], width="2 m"))
    # One slab of 60 cm by 4 m on a floor of 4.3 by 2 m (by hand).
    assert f"{100 * 2.4 / 8.6:.0f} % of their floors" in text


@pytest.mark.parametrize(
    ("words", "told", "kept"),
    [
        ({"slab": ["1-1"], "length": "3.9 m"}, "longer than the kiln.s room|within the kiln", "3.9 m"),
        ({"slab": ["1-1", "1-5"], "must": ["1-1"], "width": "55 cm"}, "1-1.*too wide", "55 cm"),
        ({"slab": ["1-1"], "height": "9 cm"}, "within the kiln", "9 cm"),
        ({"slab": ["1-1"], "height": "-1 m"}, "laying.height", "-1 m"),
        ({"slab": ["1-1"], "height": "nan"}, "laying.height", "nan"),
        ({"slab": ["1-1"], "width": "12"}, "unit", "12"),
        ({"slab": ["1-1"], "width": "1000 m"}, "laying.width", "1000 m"),
        ({"slab": ["9-9"]}, "9-9.*in this load", None),
        ({"slab": ["<b>"]}, "&lt;b&gt;", None),
        ({"slab": ["1-1"], "must": ["7-1"]}, "7-1.*in this load", None),
        ({}, "one slab or more", None),
        ({"must": ["1-1", "1-2"], "height": "18 cm", "width": "70 cm"}, "", None),
    ],
)
def test_what_cannot_be_is_refused_beside_the_value(client, load, words, told, kept):
    if not told:  # each fits, both do not: the search finds that out
        text = page(client, asked(client, **words))
        assert "more than was found to fit" in text
        assert "Lay it so" not in text
        return
    text = asked(client, 422, **words)
    assert re.search(told, text, re.S)
    assert kept is None or f'value="{kept}"' in text
    assert not Job.objects.exists()


def test_what_weights_rest_on_is_told(client, load):
    address = asked(client, slab=["1-1", "1-2"])
    assert "none was weighed" in page(client, address).lower()
    enter("weigh_piece", slab="1-2", weight="120 kg", weighed_on="2026-05-01")
    assert "counts as heavy for its wood" in page(client, asked(client, slab=["1-1", "1-2"]))


def test_nobody_elses_plan_is_shown(client, load):
    address = asked(client, slab=["1-1"])
    enter("load_kiln", slabs=[{"slab": "1-3"}])
    page(client, address.replace("loads/1/", "loads/2/"), 404)
    page(client, "/drying/loads/9/charge/", 404)
    page(client, f"{ADDRESS}?like=zebra")


# --- what each pays --------------------------------------------------------------------------------


@pytest.fixture
def dried(client, load):
    """Three slabs laid, 1-1 alone beside air; 30 days, 300 USD."""
    laid(client, slab=["1-1", "1-5", "1-6"])
    enter("start_load", load="1", started="2026-05-01 08:00")
    enter(
        "note_spending", what="power", amount="300 USD", kind="energy", about="load 1", spent_on="2026-06-01"
    )
    enter("keep_profile", kind="costs", name="costs", usual=True, table={
        "saw": "2400 USD", "chain": "36 USD", "fuel": "2.20 per l", "km": "0.55 per km",
        "wage": "210 per day",
    })  # fmt: skip
    return load


def line(client, slab):
    """What the slab's cost page tells of the load."""
    return re.search(
        r'<th scope="row">Kiln load 1, ([^<]*)</th><td class="right">([\d.]+)',
        page(client, f"/money/slab/{slab}/"),
    ).groups()


def test_the_load_is_shared_by_room_and_days_and_the_air_is_told(client, dried):
    enter("end_load", load="1", ended="2026-05-31 08:00")
    # By hand: the layer of 1-1 is 105 mm high, that of the others 79 mm, over the same floor.
    whole = 105 + 79
    assert line(client, "1-1") == ("by room and days of the laid load", f"{300 * 105 / whole:.2f}")
    assert line(client, "1-5") == ("by room and days of the laid load", f"{300 * 79 / whole / 2:.2f}")
    # Wood alone would pay by volume: 0.08 x 0.6 x 4 of 4.3 x 1.3 x 1.2 m3.
    air = 300 * 105 / whole - 300 * 0.192 / (4.3 * 1.3 * 1.2)
    assert f"{air:.2f} dried air" in page(client, "/money/slab/1-1/")
    text = page(client, ADDRESS)
    assert f'data-label="Pays">{300 * 105 / whole:.2f}' in text
    assert f'data-label="Of that for air">{air:.2f}' in text
    assert "undo its end" in text
    text = page(client, f"{ADDRESS}?cost=600+USD")
    assert f'data-label="Pays">{600 * 105 / whole:.2f}' in text
    assert "an amount of money" in page(client, f"{ADDRESS}?cost=much", 422)


def test_a_slab_that_left_sooner_pays_for_its_days(client, dried):
    enter("move_slab", slabs=["1-1"], stack="shed 1", moved_on="2026-05-11")
    enter("end_load", load="1", ended="2026-05-31 08:00")
    # Ten of thirty days (by hand).
    whole = 105 * 10 + 79 * 30
    assert line(client, "1-1")[1] == f"{300 * 105 * 10 / whole:.2f}"
    assert "10 days" in page(client, ADDRESS)


def test_a_share_put_right_by_hand_stands(client, dried):
    for slab, share in (("1-1", "50 %"), ("1-5", "30 %"), ("1-6", "20 %")):
        enter("mark_loaded", load="1", slab=slab, share=share)
    enter("end_load", load="1", ended="2026-05-31 08:00")
    assert line(client, "1-5") == ("by the shares written down", "90.00")


def test_a_load_that_was_not_laid_is_shared_by_volume_and_says_so(client, dried):
    load = KilnLoad.objects.get()
    entry = Entry.objects.filter(kind="change_load").get()
    enter("undo_entry", entry=str(Entry.objects.get(kind="start_load").pk))
    enter("undo_entry", entry=str(entry.pk))
    load.refresh_from_db()
    assert load.layout is None
    enter("start_load", load="1", started="2026-05-01 08:00")
    told, amount = line(client, "1-1")
    assert (told, amount) == ("by volume: the load was not laid", "150.00")
    # A slab more than was laid: by volume too, and it is told why.
    perform("undo_entry", {"entry": str(Entry.objects.filter(kind="start_load").first().pk)})
    laid(client, slab=["1-1", "1-2"])
    enter("change_load", load="1", slabs=[{"slab": "1-3"}])
    assert line(client, "1-1")[0] == "by volume: other slabs were in it when it was laid"
    assert "Other slabs are in it" in page(client, ADDRESS)


@pytest.mark.parametrize("layout", [{}, {"layers": 3}, {"room": {}}, {"layers": [], "sticks": None}])
def test_a_layout_that_is_none_of_ours_counts_as_not_laid(client, load, layout):
    enter("change_load", load="1", layout=layout)
    page(client, ADDRESS)
    page(client, "/drying/loads/1/")


def test_a_running_load_keeps_its_slabs(client, load):
    enter("start_load", load="1", started="2026-05-01 08:00")
    assert "none is put in" in page(client, ADDRESS)
    laid(client, slab=["1-4"])  # what was ticked does not count
    assert {one.slab.label for one in load.loaded.select_related("slab__log")} == {"1-1", "1-2"}
    enter("end_load", load="1", ended="2026-05-31 08:00")
    assert "must be one that has not ended" in asked(client, 422, slab=["1-1"])


def test_a_load_without_slabs_leads_to_the_choice(client, load):
    answer = client.post("/drying/loads/new/", {"kiln": "box"})
    assert answer.headers["Location"] == "/drying/loads/2/charge/"
