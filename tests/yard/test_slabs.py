"""Slabs after the tally: cut up, glued up, paired, stacked, shared, priced."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.slab.taped import Width, taped_outline
from pithline.yard.actions.pieces import _parted, _ripped
from pithline.yard.models import Pair, Slab, Stack
from tests.book import enter

ROW = {"thickness": "80 mm", "length": "3 m", "widths": ["60 cm / 64 cm", "50 cm / 54 cm", "40 cm / 44 cm"]}


@pytest.fixture
def slab(demo_log):
    return enter("tally_slab", log="1", cost="100.01 USD", **ROW)


@pytest.mark.parametrize(("way", "at"), [("cross", ["0.9 m", "2 m"]), ("rip", ["-10 cm", "5 cm"])])
def test_pieces_with_kerf_add_up_to_their_slab(slab, way, at):
    whole = slab.sizes.get()
    parent = enter("split_slab", slab="1-1", way=way, at=at, kerf="6 mm")
    assert parent.state == Slab.State.RETIRED
    links = list(parent.became.all())
    children = [link.child for link in links]
    assert [c.label for c in children] == ["1-1a", "1-1b", "1-1c"]
    assert sum(c.cost_minor for c in children) == 10001
    assert sum(link.share for link in links) == pytest.approx(1)
    wood = sum(c.sizes.get().volume_m3 for c in children)
    if way == "cross":
        # Faces run straight from 62 cm on average to 42 cm: so wide is each kerf in its middle.
        kerfs = sum(0.006 * 0.08 * (0.62 - 0.2 * z / 3) for z in (0.9, 2.0))
    else:
        # Both rips run inside both faces all along, so each takes its kerf from the whole length.
        kerfs = 2 * 0.006 * 0.08 * 3.0
    assert wood + kerfs == pytest.approx(whole.volume_m3, rel=1e-6)


@given(st.lists(st.floats(-0.19, 0.19), min_size=1, max_size=3, unique=True))
def test_rips_lose_no_wood(cuts):
    cuts = sorted(cuts)
    if any(b - a < 0.002 for a, b in pairwise(cuts)):
        return
    outline = taped_outline(3.0, 0.08, [Width(None, 0.6, 0.7), Width(None, 0.4, 0.45)])
    pieces = _ripped(outline, cuts, 0.0)
    assert sum(share for _, share in pieces) == pytest.approx(1)
    width = sum(p.upper_width[[0, -1]] for p, _ in pieces)
    assert width == pytest.approx([0.6, 0.4])


@given(st.integers(0, 10**9), st.lists(st.floats(0.001, 1), min_size=1, max_size=9))
def test_costs_are_parted_to_the_last_coin(cost, shares):
    import numpy as np

    parts = _parted(cost, np.array(shares))
    assert sum(parts) == cost
    assert all(abs(p - cost * s / sum(shares)) < 1 for p, s in zip(parts, shares, strict=True))


def test_a_piece_can_be_cut_again_and_letters_are_not_reused(slab):
    enter("split_slab", slab="1-1", way="cross", at=["1 m"])
    parent = enter("split_slab", slab="1-1b", way="cross", at=["1 m"])
    assert [link.child.label for link in parent.became.all()] == ["1-1ba", "1-1bb"]
    with pytest.raises(BadValue, match="cut or joined"):
        enter("split_slab", slab="1-1", way="cross", at=["1 m"])


@pytest.mark.parametrize("at", [["0 m"], ["3 m"], ["-1 m"], ["1 m", "1.003 m"], []])
def test_cuts_off_the_slab_or_on_each_other_are_refused(slab, at):
    with pytest.raises(BadValue, match="at"):
        enter("split_slab", slab="1-1", way="cross", at=at, kerf="4 mm")


def test_a_glue_up_has_its_parts_as_parents_and_costs_what_they_did(slab):
    enter("tally_slab", log="1", cost="50 USD", **ROW)
    whole = enter("join_slabs", slabs=["1-1", "1-2"], thickness="60 mm", length="2.8 m", width="95 cm")
    assert (whole.label, whole.cost_minor) == ("G-1", 15001)
    assert {link.parent.label for link in whole.came_from.all()} == {"1-1", "1-2"}
    assert set(Slab.objects.filter(log=slab.log).values_list("state", flat=True)) == {"retired"}
    with pytest.raises(BadValue, match="different"):
        enter("join_slabs", slabs=["G-1", "G-1"], thickness="60 mm", length="2 m", width="1 m")


def test_a_pair_is_kept_once_whichever_way_it_is_said(slab):
    enter("tally_slab", log="1", **ROW)
    enter("pair_slabs", first="1-2", second="1-1")
    with pytest.raises(BadValue, match="paired"):
        enter("pair_slabs", first="1-1", second="1-2")
    with pytest.raises(BadValue, match="another slab"):
        enter("pair_slabs", first="1-1", second="1-1")
    enter("unpair_slabs", first="1-1", second="1-2")
    assert not Pair.objects.exists()


def test_only_what_is_still_a_slab_is_paired(slab):
    enter("tally_slab", log="1", **ROW)
    enter("pair_slabs", first="1-1", second="1-2")
    enter("split_slab", slab="1-2", way="cross", at=["1 m"])
    for first, second in (("1-1", "1-2"), ("1-2a", "1-2")):
        with pytest.raises(BadValue, match="still there as a slab"):
            enter("pair_slabs", first=first, second=second)
    enter("unpair_slabs", first="1-1", second="1-2")  # the old pair can be parted


def test_a_slab_put_on_its_own_stack_again_leaves_no_empty_layer(slab):
    for _ in range(2):
        enter("tally_slab", log="1", **ROW)
    enter("build_stack", name="A", slabs=["1-1", "1-2", "1-3"])
    enter("move_slab", slabs=["1-3"], stack="A")
    enter("move_slab", slabs=["1-3", "1-2"], stack="A")
    assert list(Slab.objects.order_by("layer").values_list("number", "layer")) == [(1, 1), (3, 2), (2, 3)]


def test_a_slab_tallied_into_a_stack_dries_like_one_moved_there(slab):
    enter("build_stack", name="A")
    assert enter("tally_slab", log="1", stack="A", layer=1, **ROW).state == Slab.State.DRYING
    dry = enter("tally_slab", log="1", stack="A", layer=2, state="dry", moisture="9 %", **ROW)
    assert dry.state == Slab.State.DRY


def test_a_slab_named_twice_lies_in_no_two_places(slab):
    enter("build_stack", name="A")
    for kind, said in (("move_slab", {"stack": "A"}), ("build_stack", {"name": "B"})):
        with pytest.raises(BadValue, match="named once"):
            enter(kind, slabs=["1-1", "1-1"], **said)
    assert Slab.objects.get().stack is None


def test_a_stack_is_built_from_the_bottom_and_grows_on_top(slab):
    for _ in range(3):
        enter("tally_slab", log="1", **ROW)
    enter("add_place", name="Long shed", kind="shed", zone="America/New_York")
    stack = enter("build_stack", name="A", place="long shed", sticker="25 mm", slabs=["1-2", "1-1"])
    enter("move_slab", slabs=["1-3"], stack="a")
    enter("move_slab", slabs=["1-4"], stack="A", layer=3, spot=2)
    lying = [(s.label, s.layer, s.spot, s.state) for s in stack.slabs.order_by("layer", "spot")]
    drying = Slab.State.DRYING
    assert lying[:2] == [("1-2", 1, None, drying), ("1-1", 2, None, drying)]
    assert ("1-4", 3, 2, drying) in lying
    assert Slab.objects.get(number=3).place.name == "Long shed"
    moved = enter("move_slab", slabs=["1-3"], stack="")
    assert (moved.stack, moved.layer) == (None, None)
    with pytest.raises(BadValue, match="name"):
        enter("build_stack", name="a")
    assert Stack.objects.count() == 1


def test_shares_say_who_takes_which(slab):
    enter("add_contact", name="Landowner")
    shared = enter("share_slab", slabs=["1-1"], owner="customer", contact="landowner")
    assert (shared.owner, shared.owner_contact.name) == ("customer", "Landowner")
    assert enter("share_slab", slabs=["1-1"], owner="own").owner_contact is None


def test_scrap_stays_in_the_book_but_not_in_the_stack(slab):
    enter("build_stack", name="A", slabs=["1-1"])
    gone = enter("scrap_slab", slab="1-1", why="split to the heart")
    assert (gone.state, gone.stack, gone.note) == ("scrap", None, "split to the heart")
    with pytest.raises(BadValue, match="scrap"):
        enter("move_slab", slabs=["1-1"], stack="A")
