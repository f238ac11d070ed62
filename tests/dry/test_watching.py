"""When a stack is looked after, and what it is warned of; figures from the sources named beside them."""

import json

import pytest

from pithline.dry.watching import fungus_window, pace_warning, slow_warning, weigh_every
from pithline.errors import BadValue


def test_wet_blocks_are_weighed_more_often():
    # Common practice, no source.
    assert [weigh_every(share) for share in (0.82, 0.45, 0.18)] == [7, 14, 28]
    for wrong in (-0.1, 45, float("nan")):
        with pytest.raises(BadValue, match="35 %"):
            weigh_every(wrong)


@pytest.mark.parametrize(("loss", "said"), [(0.009, None), (0.011, "near the limit"), (0.02, "too fast")])
def test_wet_wood_must_not_lose_more_than_is_safe(loss, said):
    # Red oak 8/4 may lose about 1.5 % a day (FPL-GTR-118, 2000, from memory); 1 % is its cautious end here.
    found = pace_warning(loss, 0.010, 0.015, 0.55)
    assert (found.told.split(":")[0] if found else None) == said
    # Below 30 % practically no new check is made (E. M. Wengert, answers on 8/4 walnut).
    assert pace_warning(0.05, 0.010, 0.015, 0.29) is None


@pytest.mark.parametrize(
    ("outside", "warm", "grows"),
    [(0.24, 25, True), (0.19, 25, False), (0.60, 4, False), (0.60, 40, False), (0.21, 10, True)],
)
def test_fungi_need_water_and_warmth(outside, warm, grows):
    # Wood Handbook, FPL-GTR-282, ch. 14 (from memory): above 20 % and, at any pace, from 10 to 35 °C.
    assert (fungus_window(outside, warm) is not None) is grows


def test_a_stack_that_lags_is_told_so_only_while_it_is_wet():
    assert "under its cover" in slow_warning(0.5, 0.40, covered=True).told
    assert slow_warning(0.9, 0.40, covered=True) is None
    assert slow_warning(0.5, 0.15, covered=True) is None


def test_the_command_says_the_same(run_due):
    told = run_due("--moisture", "55 %", "--species", "red oak", "--thickness", "8/4", "--loss", "2 %")
    assert told["weigh_every_days"] == 14
    assert [one["kind"] for one in told["warnings"]] == ["too fast"]
    # Northern red oak of 8/4: 1.5 % a day (FPL-GTR-118, 2000, from memory), to the digit printed.
    assert told["safe_loss_percent_per_day"][1] == pytest.approx(1.5, abs=0.05)
    told = run_due("--moisture", "38 %", "--shell", "24 %", "--temperature", "18 C", "--rate", "0.5")
    assert [one["kind"] for one in told["warnings"]] == ["too wet", "fungi"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--loss", "2 %"], "Add --species"),
        (["--shell", "24 %"], "Add --temperature"),
        (["--rate", "nan"], "more than 0"),
        (["--moisture", "45"], "unit"),
    ],
)
def test_half_a_question_is_refused(words, told, capsys):
    from pithline.cli.main import main

    assert main(["reading", "due", "--moisture", "45 %", *words]) == 2
    assert told in " ".join(capsys.readouterr().err.split())


@pytest.fixture
def run_due(capsys):
    def run(*words):
        from pithline.cli.main import main

        assert main(["reading", "due", *words, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    return run
