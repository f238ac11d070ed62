"""A plan on the terminal, in the order in which a sawyer asks."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Literal

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

from pithline.saw.ways import rise
from pithline.sheets.wording import above_pith, amount, degrees, in_column, length_unit, tally
from pithline.units import show_area, show_length, show_mass, show_share, show_volume

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.plan import Plan
    from pithline.units import System

__all__ = ["show", "show_part"]


def show(plan: Plan, job: Job, system: System) -> None:
    """Print the whole answer."""
    # No markup: a person's own words may hold brackets.
    console = Console(file=sys.stdout, highlight=False, markup=False)
    record = job.record
    console.print(
        f"{record.name}: {record.species.name}, {show_length(record.length, system, 'long')}", style="bold"
    )
    console.print(_headline(plan, system))
    console.print(_cuts(plan, system))
    console.print(_slabs(plan, system))
    if any(s.pieces for s in plan.slabs):
        console.print(_pieces(plan, system))
    if plan.orders:
        console.print(_orders(plan))
    console.print(_rail(plan, system))
    console.print(_wood(plan, system))
    if any(w.name == "bar" and w.value > 0 for w in plan.ledger.worths):
        console.print(
            "The bar is short for this log: `pithline halve` parts it first, with --trim it trims the sides."
        )
    if len(plan.ways) > 1:
        console.print(_ways(plan, system))
    _assumed(console, plan, job)
    for remark in (*plan.remarks, *plan.setup.remarks):
        console.print(f"• {remark}")
    console.print(
        "Chainsaw, rolling log and falling slab can kill: chock both sides, wedge every cut, "
        "keep a second person within call, and follow the maker's manual, local codes and licensed practice.",
        style="italic",
    )


def show_part(plan: Plan, name: str, system: System) -> None:
    """Print the cuts and slabs of one part of a log."""
    console = Console(file=sys.stdout, highlight=False, markup=False)
    for table in (_cuts(plan, system), _slabs(plan, system)):
        table.title = f"{name}. {table.title}"
        console.print(table)
    if any(s.pieces for s in plan.slabs):
        console.print(_pieces(plan, system))


def _headline(plan: Plan, system: System) -> str:
    worth = f"{amount(plan, plan.net)} net" if plan.money else ""
    if plan.net_spread and plan.money:
        worth += f" ({amount(plan, plan.net_spread.p10)} to {amount(plan, plan.net_spread.p90)}, 10 to 90 %)"
    counted = f"{len(plan.slabs)} {'slab' if len(plan.slabs) == 1 else 'slabs'}, {tally(plan, plan.tally)}"
    if plan.tally_spread:
        counted += (
            f" ({tally(plan, plan.tally_spread.p10)} to {tally(plan, plan.tally_spread.p90)}, 10 to 90 %)"
        )
    hours = f"{len(plan.cuts)} cuts, {show_area(plan.area, system)} of cut, "
    hours += f"about {plan.minutes:.0f} min of sawing"
    if plan.turns:
        hours += f" and {plan.turning_minutes:.0f} min of turning over"
    rule = f"Tally: {plan.aims.tally}, {plan.aims.unit}, green sizes. Cuts: {degrees(plan.roll)}, "
    rule += "parallel to the pith." if plan.pitch == 0 else f"{rise(plan.pitch, system)} against the pith."
    money = (
        f"Worth {worth}; value {amount(plan, plan.value)}, own cost {amount(plan, plan.cost)}.\n"
        if worth
        else ""
    )
    return f"{counted}; {hours}.\n{money}{rule}"


def _table(title: str, *heads: str, left: int = 1) -> Table:
    table = Table(title=title, title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
    for n, head in enumerate(heads):
        table.add_column(head, justify="left" if n < left else "right")
    return table


def _cuts(plan: Plan, system: System) -> Table:
    unit = length_unit(system)
    table = _table(
        "Cuts, in the order of sawing",
        "cut",
        f"set mill to [{unit}]",
        f"face at butt [{unit}]",
        f"face at top [{unit}]",
        f"widest [{unit}]",
        "minutes",
        "frees",
    )
    for cut in plan.cuts:
        if cut.number > 1 and cut.side != plan.cuts[cut.number - 2].side:
            again = "turn the log over" if cut.side == 2 else "turn it back"
            table.add_row("", "", "", "", "", "", again, style="bold")
        table.add_row(
            str(cut.number),
            in_column(cut.set_to, system),
            above_pith(cut.face_butt, system),
            above_pith(cut.face_top, system),
            in_column(cut.width, system),
            f"{cut.minutes:.0f}",
            cut.frees,
        )
    bark = "over bark" if plan.aims.bark == "on" else "under bark"
    table.caption = f"Face: the new sawn face above (+) or below (−) the pith mark. Widest: {bark}."
    if plan.turns:
        table.caption += " Once the log is turned over, a − face lies above the mark and a + face below it."
    table.caption_justify = "left"
    return table


def _slabs(plan: Plan, system: System) -> Table:
    unit = length_unit(system)
    table = _table(
        "Slabs, from the top of the log",
        "slab",
        "for",
        f"green / rough dry / finished [{unit}]",
        "usable length",
        f"width least / mean [{unit}]",
        "tally",
        "worth",
        "weight up to",
        "flat / rift / quarter [%]",
        left=2,
    )
    for s in plan.slabs:
        table.add_row(
            f"{s.number}{' pith' if s.holds_pith else ''}",
            s.aim.label,
            " / ".join(in_column(t, system) for t in (s.outline.thickness, s.rough_dry, s.finished)),
            show_length(s.length, system, "long"),
            f"{in_column(s.least_width, system)} / {in_column(s.mean_width, system)}",
            tally(plan, s.tally),
            amount(plan, s.value) if plan.money else "",
            show_mass(s.weight_high, system, up=True),
            " / ".join(f"{100 * share:.0f}" for share in (s.flat, s.rift, s.quarter)),
        )
    table.caption = (
        f"Rough dry: dried to {show_share(plan.aims.moisture, 0)}, at its thinnest, not flattened. "
        "Weight: green, without bark, high figure. Grain: share of the width."
    )
    table.caption_justify = "left"
    return table


def _pieces(plan: Plan, system: System) -> Table:
    table = _table("What the slabs are for", "slab", "piece", "from the butt, from", "to", "worth", left=2)
    for s in plan.slabs:
        for piece in s.pieces:
            with_ = f", pair with slab {s.pair_with}" if s.pair_with else ""
            table.add_row(
                str(s.number),
                (piece.use or "by the tally") + with_,
                show_length(piece.start, system, "long"),
                show_length(piece.end, system, "long"),
                amount(plan, piece.value),
            )
    return table


def _orders(plan: Plan) -> Table:
    table = _table("Orders", "order", "cut", "costs", "", left=1)
    for o in plan.orders:
        table.add_row(o.name, f"{o.cut} of {o.wanted}", amount(plan, o.cost), o.missing)
    table.columns[3].justify = "left"
    table.caption = (
        f"All orders together cost {amount(plan, plan.orders_cost)} against the best plan without them."
    )
    table.caption_justify = "left"
    return table


def _rail(plan: Plan, system: System) -> Table:
    setup = plan.setup
    tilt = 0.5 * (setup.rail_top - setup.rail_butt)
    table = _table("Setting the rail for the first cut", "", "at the butt", "at the top")

    def both(name: str, butt: float, top: float) -> None:
        table.add_row(name, show_length(butt, system), show_length(top, system))

    both("rail's underside above the pith mark", setup.rail_butt, setup.rail_top)
    both("rail's underside above the ground", setup.above_ground_butt, setup.above_ground_top)
    both("ledge: gap between rail and bark", setup.ledge_butt, setup.ledge_top)
    both("rail beyond the end of the log", setup.overhang, setup.overhang)
    both("bracket screws above the pith mark, from", setup.screws_low - tilt, setup.screws_low + tilt)
    both("to", setup.screws_high - tilt, setup.screws_high + tilt)
    table.add_row("first cut: set mill to", show_length(setup.first_depth, system), "")
    table.add_row("bar needed, usable length", show_length(max(c.bar_needed for c in plan.cuts), system), "")
    last = "lowest cut as the log lies" if plan.turns else "last cut"
    table.add_row(f"{last}, above the ground", show_length(setup.last_face_above_ground, system), "")
    return table


def _wood(plan: Plan, system: System) -> Table:
    table = _table("Where the wood went", "", "volume", "share", "")
    unit: Literal["m3", "ft3"] = "m3" if system == "metric" else "ft3"
    for line in plan.ledger.lines:
        if abs(line.volume) > 1e-9:
            share = show_share(line.volume / plan.ledger.log)
            table.add_row(line.name, show_volume(line.volume, unit), share, line.note)
    table.add_row("the log under bark", show_volume(plan.ledger.log, unit), "100 %", "", style="bold")
    for worth in plan.ledger.worths:
        table.add_row(f"worth: {worth.name}", amount(plan, worth.value), "", worth.note)
    table.columns[3].justify = "left"
    return table


def _ways(plan: Plan, system: System) -> Table:
    table = _table("Ways to saw it", "way", "net", "tally", "slabs", "cuts", "area", "minutes", "")
    for way in plan.ways:
        table.add_row(
            way.name,
            amount(plan, way.net),
            tally(plan, way.tally),
            str(way.slabs),
            str(way.cuts),
            show_area(way.area, system),
            f"{way.minutes:.0f}",
            way.note,
            style="bold" if way.chosen else "",
        )
    table.columns[7].justify = "left"
    return table


def _assumed(console: Console, plan: Plan, job: Job) -> None:
    """What nobody measured or said, the one worth most first."""
    worth = {doubt.field: doubt for doubt in plan.doubts}
    if plan.doubts and plan.doubts[0].swing > 0:
        first = plan.doubts[0]
        others = ((first.low, first.net_low), (first.high, first.net_high))
        differs = [(text, net) for text, net in others if abs(net - plan.net) > 1e-9 * abs(plan.net)]
        console.print(
            f"Worth most to measure or say: {first.field}, assumed to be: {first.value}. "
            "The best plan is worth "
            + " and ".join(f"{amount(plan, net)} if it is: {text}" for text, net in differs)
            + f"; {amount(plan, plan.net)} as assumed.",
            style="bold",
        )
    if job.record.assumptions or job.assumed:
        console.print("Assumed, not measured or said:", style="italic")

    def swing(field: str) -> str:
        return f"; worth up to {amount(plan, worth[field].swing)}" if field in worth else ""

    for a in sorted(job.record.assumptions, key=lambda a: -worth[a.field].swing if a.field in worth else 0.0):
        console.print(f"  {a.field}: {a.value} ({a.why}{swing(a.field)})")
    for b in job.assumed:
        console.print(f"  {b.field}: {b.text} ({b.why}{swing(b.field)})", style="dim")
