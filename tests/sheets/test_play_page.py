"""The page to play with: it loads nothing, and its figures are the planner's."""

from __future__ import annotations

import json
import math
import re
from html.parser import HTMLParser

import numpy as np
import pytest

from pithline.saw.model import grounds
from pithline.saw.planning import plan as planned
from pithline.saw.solution import solve
from pithline.saw.through import best_through
from pithline.sheets.play_page import play_page
from tests.saw.wishes import uses, with_uses
from tests.strategies import case


class Seen(HTMLParser):
    """Tags that were opened and not closed, everything that a page would fetch, and its data."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.fetched: list[str] = []
        self.data = ""

    def handle_starttag(self, tag, attrs):
        self.fetched += [v for k, v in attrs if k in ("src", "href", "action", "srcset", "data", "poster")]
        if tag not in ("meta", "link", "br", "input"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open and self.open[-1] == "script" and data.lstrip().startswith("{"):
            self.data = data


@pytest.fixture(scope="module", params=[False, True], ids=["by the tally", "with uses and orders"])
def made(request):
    job = case(11, step=0.005)
    if request.param:
        job = with_uses(job, uses(11, job))
    plan = planned(job.shape, job.lie, job.mill, job.aims, job.rates, job.timber, compare=False)
    page = play_page(plan, job.timber, 'an "oak" </script> & more')
    seen = Seen()
    seen.feed(page)
    assert not seen.open
    return job, plan, page, seen, json.loads(seen.data)


def test_the_page_fetches_nothing(made):
    _, _, page, seen, _ = made
    assert seen.fetched == ["data:,"]
    # The one address is the name of a language, which nobody fetches.
    assert set(re.findall(r"https?://[^\s\"'<]+", page)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"@import|url\((?!#|\"#)|fetch\(|XMLHttpRequest|import\s*\(", page)


def test_the_planned_setting_is_the_plan(made):
    _, plan, _, _, data = made
    r, c = data["planned"]
    roll = data["rolls"][r]
    net, cuts, slabs = roll["plans"][c]
    assert net == pytest.approx(plan.net, abs=0.006)
    assert [line * plan.step for line in cuts] == pytest.approx(
        sorted((cut.upper for cut in plan.cuts), reverse=True)
    )
    told = [roll["slabs"][k] for k in slabs]
    assert [s[2] for s in told] == pytest.approx([s.value for s in plan.slabs], abs=0.006)
    assert [s[3] for s in told] == pytest.approx([s.tally for s in plan.slabs], abs=1e-4)
    assert [s[4] for s in told] == pytest.approx([s.mean_width for s in plan.slabs], abs=1e-4)
    assert roll["best"] == c


def test_other_turns_and_first_cuts_are_what_the_planner_says_of_them(made):
    job, plan, _, _, data = made
    model, rng, checked = job.model, np.random.default_rng(5), 0
    assert len(data["rolls"]) in (36, 37)
    for r in rng.choice(len(data["rolls"]), 6, replace=False):
        roll = data["rolls"][int(r)]
        angle = plan.roll if int(r) == data["planned"][0] else math.radians(roll["degrees"])
        ground = grounds(job.shape, job.lie, job.mill, job.aims, np.array([angle]))[0]
        solution = solve(model, angle, roll["pitch"], ground)
        if not roll["plans"]:
            assert solution.net <= 0
            continue
        assert roll["plans"][roll["best"]][0] == pytest.approx(solution.net, abs=0.006)
        for k in rng.choice(len(roll["plans"]), min(3, len(roll["plans"])), replace=False):
            net, cuts, slabs = roll["plans"][int(k)]
            # These very cuts, demanded of the planner, bring what the page says.
            again = best_through(solution, model, tuple(cuts), job.aims.pith)
            assert again.net >= net - 0.006
            assert again.cuts[-len(cuts) :] == tuple(cuts)
            if again.cuts == tuple(cuts):
                assert again.net == pytest.approx(net, abs=0.006)
                assert [roll["slabs"][s][0] for s in slabs] == [line for line, _ in again.slabs]
                checked += 1
    assert checked >= 8
