"""Bark estimates against the published equations."""

from __future__ import annotations

import pytest

from pithline.log.bark import BarkRule, bark_rule

# Altherr, Unfried, Hradetzky & Hradetzky (1974-79), butt logs, as stored in the R package
# TapeS 0.13.4: double bark at 40 cm over bark, mm, worked out from the printed coefficients.
AT_40_CM = {
    "Fagus sylvatica": 13.2,
    "Carpinus betulus": 16.3,
    "Acer pseudoplatanus": 19.7,
    "Picea abies": 19.7,
    "Abies alba": 24.1,
    "Quercus rubra": 24.6,
    "Prunus avium": 25.7,
    "Pseudotsuga menziesii": 30.2,
    "Fraxinus excelsior": 30.5,
    "Quercus robur": 35.6,
    "Quercus petraea": 35.6,
    "Ulmus glabra": 42.1,
    "Robinia pseudoacacia": 63.3,
}


@pytest.mark.parametrize(("scientific", "double_mm"), AT_40_CM.items())
def test_double_bark_of_a_butt_log_at_40_cm(scientific, double_mm):
    thickness = bark_rule(scientific, "hardwood").thickness(0.0, 0.40, over_bark=True)
    # Printed to a tenth of a millimetre.
    assert 2000 * thickness == pytest.approx(double_mm, abs=0.051)


@pytest.mark.parametrize("scientific", [*AT_40_CM, "Liquidambar styraciflua", "Juglans nigra"])
@pytest.mark.parametrize("over", [0.10, 0.35, 0.80, 1.60])
def test_over_and_under_bark_say_the_same(scientific, over):
    rule = bark_rule(scientific, "hardwood")
    bark = rule.thickness(0.0, over, over_bark=True)
    assert 0 < 2 * bark < over
    assert rule.thickness(0.0, over - 2 * bark, over_bark=False) == pytest.approx(bark, abs=1e-9)


def test_bark_never_thins_on_a_wider_log():
    # The printed parabola of red oak bends down beyond 83 cm; held there.
    rule = bark_rule("Quercus rubra", "hardwood")
    thick = [rule.thickness(0.0, d / 100, over_bark=True) for d in range(10, 200, 5)]
    assert thick == sorted(thick)


def test_how_near_the_species_is_found():
    own, kin = bark_rule("Quercus rubra", "hardwood"), bark_rule("Quercus alba", "hardwood")
    assert (own.spread, own.mark) == (0.30, "read")
    assert kin.spread == 0.40
    assert "same genus" in kin.source
    assert "other conifers" in bark_rule("Cedrus libani", "softwood").source
    rough, smooth = bark_rule("Juglans nigra", "hardwood"), bark_rule("Platanus occidentalis", "hardwood")
    # Field shortcut, common practice, no source: k = 0.90 rough, 0.95 smooth.
    assert rough.thickness(0, 1.0, over_bark=True) == pytest.approx(0.05)
    assert smooth.thickness(0, 1.0, over_bark=True) == pytest.approx(0.025)
    assert rough.mark == "common practice, no source"
    # Lenhart's sweetgum stems: 0.926 at 10-30 % of height.
    gum = bark_rule("Liquidambar styraciflua", "hardwood")
    assert 1 - 2 * gum.thickness(0, 1.0, over_bark=True) == pytest.approx(0.926, abs=0.001)


def test_taped_bark_runs_straight_between_the_ends():
    rule = BarkRule.taped(0.020, 0.014)
    assert rule.measured
    assert rule.thickness(0.5, 0.7, over_bark=True) == pytest.approx(0.017)
    assert rule.times(2).thickness(0.0, 0.7, over_bark=False) == pytest.approx(0.040)
