"""Bodies of the 3-D view are closed and hold as much wood as the plan says."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from pithline.saw.plan import Plan
from pithline.sheets.solid import bodies, solid_json
from pithline.sheets.solid_glb import fan, solid_glb
from tests.sheets.test_with_planner import worked_out

trimesh = pytest.importorskip("trimesh")


@pytest.fixture(scope="module", params=[(0.0, 0.0), (0.7, 0.01)])
def plan(request: pytest.FixtureRequest) -> Plan:
    return worked_out(roll=request.param[0], pitch=request.param[1])


def test_every_body_is_closed_and_turned_outward(plan: Plan) -> None:
    # trimesh, a general library, judges: watertight, and a volume that is positive.
    for body in bodies(plan):
        mesh = trimesh.Trimesh(body.points, body.triangles, process=False)
        assert mesh.is_watertight, body.name
        assert mesh.volume > 0, body.name


def test_slabs_hold_the_wood_of_the_plan(plan: Plan) -> None:
    log, *slabs = bodies(plan)
    for body, slab in zip(slabs, plan.slabs, strict=True):
        mesh = trimesh.Trimesh(body.points, body.triangles, process=False)
        # Edges are drawn straight from face to face, the wood is round between them: a little less.
        assert 0.9 * slab.solid < mesh.volume <= slab.solid * 1.002
    whole = trimesh.Trimesh(log.points, log.triangles, process=False)
    assert whole.volume == pytest.approx(plan.ledger.log, rel=0.005)  # fewer points round the log


def test_the_json_says_the_same_bodies(plan: Plan) -> None:
    said = json.loads(solid_json(plan))
    assert [b["name"] for b in said["bodies"]] == ["log", *(str(s.number) for s in plan.slabs)]
    points = np.array(said["bodies"][1]["points"]).reshape(-1, 3) * said["unit_m"]
    assert points == pytest.approx(bodies(plan)[1].points, abs=6e-5)  # told in tenths of a millimetre
    assert said["bodies"][1]["pith"] == plan.slabs[0].holds_pith


def test_another_program_reads_the_binary_file(plan: Plan) -> None:
    scene = trimesh.load(io.BytesIO(solid_glb(plan)), file_type="glb")
    assert len(scene.geometry) == len(plan.slabs) + 1
    volumes = sorted(g.volume for g in scene.geometry.values())
    mine = sorted(trimesh.Trimesh(b.points, b.triangles, process=False).volume for b in bodies(plan))
    assert volumes == pytest.approx(mine, rel=1e-4)  # single precision


def test_a_plan_without_slabs_is_still_a_log(plan: Plan) -> None:
    assert len(bodies(replace(plan, slabs=()))) == 1
    assert fan(replace(plan, slabs=())) == ()


def test_the_opened_log_fans_every_slab_about_one_hinge(plan: Plan) -> None:
    scene = trimesh.load(io.BytesIO(solid_glb(plan)), file_type="glb")
    leaves = []
    for slab in plan.slabs:
        place, mesh = scene.graph.get(f"{slab.number}, opened")
        leaves.append(trimesh.transform_points(scene.geometry[mesh].vertices, place))
        here, same = scene.graph.get(str(slab.number))
        assert same == mesh
        assert here == pytest.approx(np.eye(4))  # in the log nothing is moved
        # Turned and moved, not bent: the same distances.
        assert np.ptp(leaves[-1][:, 2]) == pytest.approx(np.ptp(scene.geometry[mesh].vertices[:, 2]))
    log = scene.geometry["log"].vertices
    assert min(leaf[:, 0].min() for leaf in leaves) > log[:, 0].max()
    angles = [angle for angle, _ in fan(plan)]
    assert angles == sorted(angles, reverse=True)
    hinge = _hinge(plan)
    for n, (one, other) in enumerate(pairwise(leaves)):
        # The plane half way between two leaves has one on each side, so they do not touch.
        half = (angles[n] + angles[n + 1]) / 2
        across = np.array([-np.sin(half), np.cos(half)])
        assert ((one[:, :2] - hinge) @ across).min() > 0 > ((other[:, :2] - hinge) @ across).max()


def _hinge(plan: Plan) -> np.ndarray:
    """Where the middle lines of the first two leaves meet."""
    lines = []
    for (angle, move), slab in list(zip(fan(plan), plan.slabs, strict=True))[:2]:
        along = np.array([np.cos(angle), np.sin(angle)])
        middle = (slab.upper + slab.lower) / 2
        lines.append((along, np.array(move[:2]) + middle * np.array([-along[1], along[0]])))
    (a, p), (b, q) = lines
    s = np.linalg.solve(np.stack([a, -b], axis=1), q - p)
    return p + s[0] * a
