"""``pithline plan --robust`` keeps to the schema and never finds worse cuts than the plan's."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema

from pithline.sheets.plan_json import plan_schema

OAK = Path(__file__).parents[2] / "demo" / "hollow-oak.toml"


def test_the_best_on_average_is_no_worse_than_the_plan(pithline):
    answer = pithline("plan", str(OAK), "--no-compare", "--draws", "0", "--robust", "--json")
    assert answer.code == 0
    told = json.loads(answer.out)
    jsonschema.validate(told, plan_schema())
    found = told["robust"]
    assert found["best"]["mean_money"] >= found["nominal"]["mean_money"]
    assert found["known_log_mean_money"] >= found["best"]["mean_money"]
    # The nominal cuts are the plan's own.
    assert found["nominal"]["kerf_upper_m"] == [cut["kerf_upper_m"] for cut in told["cuts"]]
