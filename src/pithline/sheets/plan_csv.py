"""Cuts and slabs as tables for a spreadsheet; units stand in the headings."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from pithline.saw.plan import Plan
from pithline.slab.tally import TallyUnit

__all__ = ["cuts_csv", "slabs_csv"]

_CUTS = (
    "cut", "side", "set_to_mm", "face_above_pith_butt_mm", "face_above_pith_top_mm", "width_over_bark_mm",
    "bar_needed_mm", "cut_area_m2", "sawing_min", "frees",
)  # fmt: skip
_SLABS = (
    "slab", "label", "green_mm", "rough_dry_mm", "finished_mm", "run_start_m", "run_end_m", "run_length_m",
    "least_width_green_mm", "mean_width_green_mm", "mean_width_dry_mm", "solid_m3", "tally_{unit}",
    "value_{money}", "own_cost_{money}", "green_weight_kg", "green_weight_high_kg",
    "flat_percent", "rift_percent", "quarter_percent",
    "holds_pith", "figure_percent",
)  # fmt: skip


def cuts_csv(plan: Plan) -> str:
    """One line a cut in the order of sawing, as RFC 4180 has it."""
    return _table(
        _CUTS,
        (
            (c.number, c.side, _mm(c.set_to), _mm(c.face_butt), _mm(c.face_top), _mm(c.width),
             _mm(c.bar_needed), _num(c.area), _num(c.minutes), c.frees)
            for c in plan.cuts
        ),
    )  # fmt: skip


def slabs_csv(plan: Plan) -> str:
    """One line a slab from the top of the log, as RFC 4180 has it.

    The headings of tally and value name the unit and the currency; without rates the
    value is in tally units and its heading says so.
    """
    unit = "m3" if plan.aims.unit is TallyUnit.M3 else "bf"
    heads = [h.format(unit=unit, money=plan.rates.currency or f"tally_{unit}") for h in _SLABS]
    return _table(
        heads,
        (
            (s.number, s.aim.label, _mm(s.outline.thickness), _mm(s.rough_dry), _mm(s.finished),
             _num(s.start), _num(s.end), _num(s.length), _mm(s.least_width), _mm(s.mean_width),
             _mm(s.dry_width), _num(s.solid), _num(s.tally), _num(s.value), _num(s.own_cost),
             _num(s.weight), _num(s.weight_high), _num(100 * s.flat), _num(100 * s.rift),
             _num(100 * s.quarter), "yes" if s.holds_pith else "no", _num(100 * s.figure_share))
            for s in plan.slabs
        ),
    )  # fmt: skip


def _table(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(heads)
    writer.writerows(rows)
    return text.getvalue()


def _mm(metres: float) -> str:
    return _num(metres * 1000)


def _num(value: float) -> str:
    # Twelve digits hide binary dust and still add up to what the plan says.
    return f"{value:.12g}"
