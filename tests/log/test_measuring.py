"""Perturbed logs: their scatter is what was stated, and no more."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pithline.log.measuring import measuring_error, perturbed
from pithline.log.shape import LogShape, polygon_areas
from pithline.log.written import from_options

READINGS = "up 40 cm, down 40 cm, left 40 cm, right 40 cm over bark"
STATIONS = np.linspace(0, 4, 41)


@pytest.fixture(scope="module")
def taped():
    return from_options(
        species="red oak", length="4 m", butt=READINGS, top=READINGS, bark="20 mm",
        sweep="0 mm towards 3 o'clock", stations=["2 m: 80 x 80 cm over bark"], bearers="20 cm",
    )  # fmt: skip


def draws(record, error, n=2000):
    shape = record.to_shape().at(STATIONS)
    return list(perturbed(shape, error, np.random.default_rng(7), n))


def only(error, **kept):
    """All errors switched off but those named."""
    none = dict.fromkeys(("bark", "mark", "sweep", "length", "form"), 0.0)
    quiet = {name: np.zeros_like(getattr(error, name)) for name in ("reach", "together", "oval")}
    return replace(error, **{**none, **quiet, **kept})


# With 2000 draws a standard deviation is known to 1/sqrt(4000) = 1.6 %: three of those are allowed.
NEAR = 0.05


def test_a_reading_scatters_by_what_was_stated(taped):
    error = measuring_error(taped)
    right = np.array([s.outlines[0, :, 0].max() for s in draws(taped, only(error, reach=error.reach))])
    assert right.std() == pytest.approx(0.004, rel=NEAR)
    assert right.mean() == pytest.approx(0.38, abs=0.0005)


def test_marks_move_the_ends_and_sweep_the_middle(taped):
    error = measuring_error(taped)
    moved = np.array([s.outlines.mean(axis=1) for s in draws(taped, only(error, mark=0.004))])
    assert moved[:, 0].std(axis=0) == pytest.approx((0.004, 0.004), rel=NEAR)
    assert moved[:, 20].std(axis=0) == pytest.approx((0.004 / 2**0.5,) * 2, rel=NEAR)
    bent = np.array([s.outlines.mean(axis=1) for s in draws(taped, only(error, sweep=0.01))])
    assert bent[:, 20].std(axis=0) == pytest.approx((0.01, 0.01), rel=NEAR)
    assert abs(bent[:, [0, -1]]).max() < 1e-12


def test_bark_error_moves_the_wood_only_where_the_tape_lay_on_bark(taped):
    error = only(measuring_error(taped), bark=0.15)
    drawn = draws(taped, error)
    bark = np.array([s.bark[0] for s in drawn])
    assert bark.std() == pytest.approx(0.15 * 0.02, rel=NEAR)
    right = np.array([s.outlines[0, :, 0].max() for s in drawn])
    # Over bark the tape's place is known: bark and wood share it, to the swelling of the polygon.
    assert right + bark == pytest.approx(np.full(2000, 0.4), abs=1e-4)
    under = replace(error, over_bark=np.zeros(3, dtype=bool))
    assert np.ptp([s.outlines[0, :, 0].max() for s in draws(taped, under)]) < 1e-12


def test_form_error_is_nought_where_the_tape_was(taped):
    error = only(measuring_error(taped), form=0.01)
    radius = np.array([np.sqrt(polygon_areas(s.outlines) / np.pi) for s in draws(taped, error)])
    assert np.ptp(radius[:, [0, 20, 40]], axis=0) == pytest.approx((0, 0, 0), abs=1e-12)
    assert radius[:, 10].std() == pytest.approx(0.0038, rel=NEAR)


def test_length(taped):
    lengths = np.array([s.length for s in draws(taped, only(measuring_error(taped), length=0.01))])
    assert lengths.std() == pytest.approx(0.01, rel=NEAR)


def test_no_error_gives_the_log_itself(taped):
    shape = taped.to_shape().at(STATIONS)
    for drawn in perturbed(shape, only(measuring_error(taped)), np.random.default_rng(0), 3):
        assert drawn.outlines == pytest.approx(shape.outlines, abs=1e-14)
        assert drawn.z == pytest.approx(shape.z, abs=1e-14)


def test_every_draw_is_a_log_and_comes_again(taped):
    error = measuring_error(taped)
    first, again = draws(taped, error, 120), draws(taped, error, 120)
    assert len(first) == 120  # over a batch's end
    for a, b in zip(first, again, strict=True):
        LogShape.of(a.z, a.outlines, a.bark)
        assert np.array_equal(a.outlines, b.outlines)
        assert not a.outlines.flags.writeable


def test_what_was_assumed_is_less_sure(taped):
    guessed = from_options(species="red oak", length="4 m", butt="80 cm", top="80 cm")
    sure, unsure = measuring_error(taped), measuring_error(guessed)
    for name in ("bark", "sweep", "form"):
        assert getattr(unsure, name) > getattr(sure, name)
    spread = [
        np.std([polygon_areas(s.outlines).mean() for s in draws(r, measuring_error(r), 300)])
        for r in (taped, guessed)
    ]
    assert spread[1] > 1.5 * spread[0]
