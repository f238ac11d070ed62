"""JSON, CSV and DXF of a plan hold what the plan holds."""

from __future__ import annotations

import builtins
import csv
import io
import json
from dataclasses import replace

import ezdxf
import jsonschema
import numpy as np
import pytest

from pithline.errors import Refused
from pithline.saw.aims import Aims
from pithline.saw.plan import Plan
from pithline.sheets.plan_csv import cuts_csv, slabs_csv
from pithline.sheets.plan_dxf import outlines_dxf
from pithline.sheets.plan_json import plan_document, plan_schema
from pithline.slab.tally import TallyUnit


def validator() -> object:
    kind = jsonschema.validators.validator_for(plan_schema())
    kind.check_schema(plan_schema())
    return kind(plan_schema())


def test_the_document_keeps_to_its_schema(plan: Plan) -> None:
    document = json.loads(json.dumps(plan_document(plan), allow_nan=False))
    assert document["schema"] == "pithline/plan/1"
    # What the command line adds.
    document |= {
        "assumed": [{"field": "mill.step", "value": "1 mm", "why": "usual"}],
        "questions": ["Flared?"],
    }
    assert list(validator().iter_errors(document)) == []  # type: ignore[attr-defined]


def test_a_bare_plan_keeps_to_the_schema_too(plan: Plan) -> None:
    bare = replace(
        plan,
        net_spread=None,
        tally_spread=None,
        ways=(),
        remarks=(),
        doubts=(),
        mill=replace(plan.mill, rail=4.9),
    )
    forked = np.full((plan.shape.z.size, 2), np.nan)
    forked[4:] = 0.1
    bare = replace(bare, shape=replace(plan.shape, second_pith=forked))
    document = json.loads(json.dumps(plan_document(bare), allow_nan=False))
    assert list(validator().iter_errors(document)) == []  # type: ignore[attr-defined]
    assert document["log"]["second_pith_m"][0] is None


@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: d.pop("kerf_m"),
        lambda d: d["cuts"][0].update(depth=3),
        lambda d: d["slabs"][0].update(green_m="80 mm"),
        lambda d: d.update(schema="pithline/plan/0"),
    ],
)
def test_the_schema_refuses_what_is_not_a_plan(plan: Plan, spoil) -> None:
    document = plan_document(plan)
    spoil(document)
    assert list(validator().iter_errors(document))  # type: ignore[attr-defined]


def test_the_document_is_whole(plan: Plan) -> None:
    d = plan_document(plan)
    assert [c["set_to_m"] for c in d["cuts"]] == [c.set_to for c in plan.cuts]
    assert sum(s["slab_tally"] for s in d["slabs"]) == pytest.approx(plan.tally)
    assert sum(n["volume_m3"] for n in d["where_the_wood_went"]["lines"]) == pytest.approx(plan.ledger.log)
    assert d["doubts"][0]["swing_money"] == plan.doubts[0].swing
    assert d["cuts"][0]["slabs"] == []
    assert d["cuts"][1]["slabs"] == [1]
    assert np.array(d["log"]["outlines_under_bark_m"]) == pytest.approx(plan.shape.outlines)


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_csv_sums_equal_the_plan(plan: Plan) -> None:
    slabs, cuts = rows(slabs_csv(plan)), rows(cuts_csv(plan))
    assert sum(float(r["tally_m3"]) for r in slabs) == pytest.approx(plan.tally, rel=1e-11)
    assert sum(float(r["value_EUR"]) for r in slabs) == pytest.approx(plan.value, rel=1e-11)
    assert sum(float(r["green_weight_kg"]) for r in slabs) == pytest.approx(sum(s.weight for s in plan.slabs))
    assert sum(float(r["cut_area_m2"]) for r in cuts) == pytest.approx(plan.area, rel=1e-11)
    assert sum(float(r["sawing_min"]) for r in cuts) == pytest.approx(plan.minutes, rel=1e-11)
    assert [int(r["cut"]) for r in cuts] == [c.number for c in plan.cuts]
    assert [float(r["green_mm"]) for r in slabs] == pytest.approx([80.0] * 5)


def test_csv_headings_name_the_tally_unit_where_there_is_no_money(plan: Plan) -> None:
    bare = replace(
        plan, rates=replace(plan.rates, currency=""), aims=Aims(plan.aims.thicknesses, unit=TallyUnit.BF_SAWN)
    )
    head = slabs_csv(bare).splitlines()[0]
    assert "tally_bf,value_tally_bf" in head


def test_dxf_holds_both_faces_of_every_slab_in_millimetres(plan: Plan) -> None:
    document = ezdxf.read(io.StringIO(outlines_dxf(plan).decode()))
    assert document.units == 4  # $INSUNITS 4 is millimetres (DXF reference, header variables)
    faces = document.modelspace().query('LWPOLYLINE[layer=="UPPER_FACE"]')
    assert len(faces) == len(plan.slabs)
    for slab, face in zip(plan.slabs, faces, strict=True):
        x, y = np.array([p[:2] for p in face.get_points()]).T
        area = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
        # A polygon through the stations has the trapezoids' area.
        assert area / 1e6 == pytest.approx(np.trapezoid(slab.outline.upper_width, slab.outline.z), rel=1e-9)


def test_dxf_slabs_do_not_overlap(plan: Plan) -> None:
    document = ezdxf.read(io.StringIO(outlines_dxf(plan).decode()))
    foot = np.inf
    for face in document.modelspace().query('LWPOLYLINE[layer=="LOWER_FACE"]'):
        y = np.array([p[1] for p in face.get_points()])
        assert y.max() < foot
        foot = y.min()


def test_dxf_without_the_extra_tells_how_to_get_it(plan: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def missing(name: str, *rest: object, **more: object) -> object:
        if name.startswith("ezdxf"):
            raise ImportError(name)
        return real(name, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(Refused, match=r'pip install "pithline\[cad\]"'):
        outlines_dxf(plan)
