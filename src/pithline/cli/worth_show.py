"""How the answer of ``pithline worth`` is shown: a page of words and figures, or JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.offered.call import Call
    from pithline.money.offered.log import Planner
    from pithline.money.offered.worth import Worth
    from pithline.saw.plan import Spread
    from pithline.saw.written.assumed import Written
    from pithline.units import System

__all__ = ["show_worth"]


def _three(spread: Spread) -> dict[str, float]:
    return {"p10": spread.p10, "p50": spread.p50, "p90": spread.p90}


def worth_record(made: Worth, call: Written[Call], costs: Written[Costs], currency: str) -> dict[str, Any]:
    """The answer with units in its keys."""
    from dataclasses import asdict

    from pithline.money.offered.doubt_units import UNITS
    from pithline.money.offered.drying_time import folk_months
    from pithline.sheets.worth_words import CAUTION

    return {
        "schema": "pithline/worth/1",
        "currency": currency,
        "verdict": {
            "answer": str(made.verdict.answer),
            "by_money": str(made.verdict.by_money),
            "chance_of_gain_fraction": made.verdict.chance,
            "sentence": made.verdict.sentence,
            "reasons": list(made.verdict.reasons),
            "not_ticked": list(call.value.unticked),
        },
        "profit_money": _three(made.profit),
        "profit_money_per_h": _three(made.per_hour),
        "profit_and_wage_money_per_h": _three(made.earned_per_hour),
        "profit_money_per_bf": _three(made.per_board_foot),
        "owner": {
            "break_even_money": _three(made.to_owner),
            "most_money": made.most_to_owner,
            "share_fraction": made.owner_share,
        },
        "realised_tally_bf": _three(made.board_feet),
        "planned_middle_log": {
            "log_m3": made.planned.log,
            "slabs": made.planned.slabs,
            "slabs_solid_m3": made.planned.solid,
            "cut_area_m2": made.planned.area,
            "cuts": made.planned.cuts,
            "heaviest_slab_m3": made.planned.heaviest,
        },
        "income_money": {name: _three(each) for name, each in made.income},
        "costs_money": {name: _three(each) for name, each in made.costs},
        "hours_h": {name: _three(each) for name, each in made.hours},
        "total_income_money": _three(made.total_income),
        "total_costs_money": _three(made.total_costs),
        "total_hours_h": _three(made.total_hours),
        "days": _three(made.days),
        "drying": {
            "how": str(made.drying.basis),
            "months": {
                "p10": made.drying.months.low,
                "p50": made.drying.months.mid,
                "p90": made.drying.months.high,
            },
            "green_thickness_m": made.drying.thickness or None,
            "year_an_inch_months": folk_months(made.drying.thickness) if made.drying.thickness else None,
            "rests_on": list(made.drying.told),
        },
        "carrying_trips": _three(made.trips),
        "money_back_after_months": _three(made.months),
        "doubts": [
            {
                "name": d.name,
                "low": d.low,
                "high": d.high,
                "unit": UNITS[d.name],
                "profit_at_low_money": d.at_low,
                "profit_at_high_money": d.at_high,
                "swing_money": d.swing,
                "turns_the_answer": d.turns,
                "why": d.why,
            }
            for d in made.doubts
        ],
        "mixes": [
            {
                "name": m.name,
                "realised_tally": _three(m.tally),
                "slabs_bring_money": _three(m.brings),
                "profit_money": _three(m.profit),
            }
            for m in made.mixes
        ],
        "products": [
            {"name": p.name, "brings_money": _three(p.brings), "profit_money": _three(p.profit)}
            for p in made.products
        ],
        "ways": [
            {
                "name": w.name,
                "pieces": w.pieces,
                "heaviest_kg": w.weight,
                "profit_money": _three(w.profit),
                "hours_h": _three(w.hours),
                "most_hire_money": w.most_hire,
                "possible": w.possible,
                "note": w.note,
            }
            for w in made.ways
        ],
        "assumed": [asdict(a) for a in (*call.assumed, *costs.assumed)],
        "caution": CAUTION,
    }


def show_worth(
    made: Worth,
    call: Written[Call],
    costs: Written[Costs],
    planner: Planner,
    currency: str,
    remarks: tuple[str, ...],
    system: System,
    as_json: bool,
) -> None:
    """Print it."""
    from pithline.sheets.worth_words import CAUTION

    if as_json:
        import json

        click.echo(json.dumps(worth_record(made, call, costs, currency), indent=2, ensure_ascii=False))
        return
    click.echo(f"{made.verdict.sentence}\n")
    for reason in made.verdict.reasons:
        click.echo(f"  {reason}")
    _show_sums(made, currency)
    _show_others(made, planner, system)
    for remark in remarks:
        click.echo(remark, err=True)
    for assumed in (*call.assumed, *costs.assumed):
        click.echo(f"Assumed {assumed.field}: {assumed.text} ({assumed.why}).", err=True)
    click.echo(CAUTION, err=True)


def _row(name: str, spread: Spread, unit: str = "") -> str:
    digits = 0 if max(abs(spread.p10), abs(spread.p90)) >= 100 else 1
    figures = "".join(f"{each:12,.{digits}f}" for each in (spread.p10, spread.p50, spread.p90))
    return f"  {name:<34}{figures}  {unit}".rstrip()


def _show_sums(made: Worth, currency: str) -> None:
    click.echo(f"\n  {'':<34}{'10 %':>12}{'50 %':>12}{'90 %':>12}")
    click.echo(_row("board feet, really tallied", made.board_feet, "bf"))
    for name, spread in made.income:
        if spread.p90:
            click.echo(_row(f"brings: {name}", spread, currency))
    for name, spread in made.costs:
        if spread.p90:
            click.echo(_row(f"costs: {name}", spread, currency))
    for name, spread in made.hours:
        click.echo(_row(f"hours: {name}", spread, "h"))
    rows = (
        ("brings, in all", made.total_income, currency),
        ("costs, in all", made.total_costs, currency),
        ("hours, all hands", made.total_hours, "h"),
        ("left over", made.profit, currency),
        ("left over, an hour", made.per_hour, f"{currency}/h"),
        ("left over with the wage, an hour", made.earned_per_hour, f"{currency}/h"),
        ("left over, a board foot", made.per_board_foot, f"{currency}/bf"),
        ("days at the log", made.days, ""),
        ("carrying trips", made.trips, ""),
        ("to the owner, for no profit", made.to_owner, currency),
    )
    click.echo("")
    for row in rows:
        click.echo(_row(*row))
    click.echo(
        f"\n  Most to pay the owner: {made.most_to_owner:.0f} {currency}; "
        f"or {made.owner_share * 100:.0f} % of what the wood brings, fees and losses taken off."
    )


def _show_others(made: Worth, planner: Planner, system: System) -> None:
    from pithline.sheets.doubt_words import doubt_span
    from pithline.units import show_mass

    unit = str(planner.aims.unit)
    if len(made.mixes) > 1:
        click.echo(f"\n  Thicknesses: tally ({unit}), what the slabs bring, what is left (10 / 50 / 90 %)")
        for mix in made.mixes:
            click.echo(f"  {mix.name:<24}{_slim(mix.tally)}  {_slim(mix.brings)}  {_slim(mix.profit)}")
    if made.products:
        click.echo("\n  Products: what they bring, what is left (10 / 50 / 90 %)")
        for product in made.products:
            click.echo(f"  {product.name:<28}{_slim(product.brings)}  {_slim(product.profit)}")
    click.echo(
        "\n  Ways: heaviest piece, what is left before an unknown hire (10 / 50 / 90 %), most to pay for it"
    )
    for way in made.ways:
        hire = "" if way.most_hire is None else f"{way.most_hire:.0f}"
        weight = show_mass(way.weight, system, up=True) if way.weight else ""
        note = way.note if way.possible else f"NOT POSSIBLE: {way.note}"
        click.echo(f"  {way.name:<26}{weight:>9}{_slim(way.profit)}{hire:>8}  {note}".rstrip())
    click.echo("\n  What would change the answer most: left over at its low, at its high")
    for doubt in made.doubts[:8]:
        turns = "  turns the answer" if doubt.turns else ""
        span = doubt_span(doubt, system)
        click.echo(f"  {doubt.name:<24}{span:>28}{doubt.at_low:9.0f}{doubt.at_high:9.0f}{turns}")


def _slim(spread: Spread) -> str:
    digits = 0 if max(abs(spread.p10), abs(spread.p90)) >= 10 else 2  # a tally in cubic metres is small
    return f"{spread.p10:8.{digits}f} /{spread.p50:7.{digits}f} /{spread.p90:7.{digits}f}"
