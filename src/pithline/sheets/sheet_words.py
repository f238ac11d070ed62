"""What the cut sheet says: every word and figure of it, laid out by `cut_sheet.typ`."""

from __future__ import annotations

from typing import Any, Literal

from pithline.saw.aims import BarkWay
from pithline.saw.plan import Plan, Spread
from pithline.sheets.if_late import best_stop
from pithline.sheets.placing import ground, slabs_of
from pithline.sheets.retake_chart import NOTABLE
from pithline.sheets.wording import above_pith, amount, degrees, field_words, in_column, length_unit, tally
from pithline.units import System, show_area, show_length, show_mass, show_volume

__all__ = ["boxes", "heads", "late", "left_over", "orders", "pieces", "rail", "rows", "subtitle", "totals"]

RULE = (
    "Measure every face from the pith mark, never from the last face: one bad cut then spoils one slab. "
    "+ above the mark, − below."
)
STOP_SIGNS = (
    "Dust where chips should fly: sharpen.",
    "You must push: stop. Dull chain, pinched bar or a guide that binds.",
    "The cut drifts: stop, measure both ends, look at rail and chain.",
    "Bar hot, smoke, burnt smell: stop, cool, check oil and chain tension.",
    "The kerf closes behind the bar: wedge it open.",
)
EACH_SLAB = (
    "Seal both ends before the sun gets them.",
    "Number it on the butt end: log and slab.",
    "Photo of both faces, number in the picture.",
    "Fill in what you measured.",
)
CAUTIONS = (
    "Chainsaw trousers and boots, helmet, eye and ear protection, gloves.",
    "Chock the log on both sides, again after every slab: it rolls sooner as it gets lighter.",
    "Wedges behind the bar as you go. Nobody below the log.",
    "Fumes gather in a hollow: work upwind; headache or giddiness means stop.",
    "A second person within call, out of the saw's reach.",
    "Local rules, the makers' manuals and licensed practice come before this sheet.",
)
TURN = (
    "Turn the log over onto its sawn face, chock it, set the rail anew from the pith marks. "
    "From here − is above the mark, + below."
)
TURN_AGAIN, TURN_BACK = (
    "Turn the log over again: − is above the mark.",
    "Turn the log back: + is above the mark.",
)
FOOT = (
    "Heights stand square to the cuts. In the drawings white is slab, hatched is not. "
    "F figure, M metal, R rot, S split."
)


def left_over(plan: Plan, system: System) -> str:
    """What lies below the last cut, and the lines of remarks that belong to the whole plan."""
    last = plan.cuts[-1] if plan.cuts else None
    told, mark = [], " mm" if system == "metric" else ""
    if last is not None and not plan.turns:
        butt, top = (above_pith(h, system) + mark for h in (last.face_butt, last.face_top))
        told.append(
            f"Below cut {last.number} the rest stays where it lies, "
            f"its face {butt} at the butt and {top} at the top."
        )
    return " ".join([*told, *plan.remarks])


def subtitle(plan: Plan, system: System) -> str:
    """Roll, thicknesses and moisture in one line; every size says which it is."""
    menu = []
    for label in dict.fromkeys(s.aim.label for s in plan.slabs):
        same = [s for s in plan.slabs if s.aim.label == label]
        green = _from_to([s.outline.thickness for s in same], system)
        rough = _from_to([s.rough_dry for s in same], system)
        finished = _from_to([s.finished for s in same], system)
        menu.append(f"{label} = {green} green, {rough} rough dry, {finished} finished")
    told = [f"Log {degrees(plan.roll)}"]
    if abs(plan.pitch) > 1e-6:
        rise = plan.pitch * plan.shape.length
        told.append(
            f"cuts {'rise' if rise > 0 else 'fall'} {show_length(abs(rise), system)} from butt to top"
        )
    else:
        told.append("cuts parallel to the pith")
    told += [*menu, f"dried to {plan.aims.moisture * 100:.0f} %", f"kerf {show_length(plan.kerf, system)}"]
    return " · ".join(told)


def rail(plan: Plan, system: System) -> dict[str, Any]:
    """The rail box: heights at both ends, then what is said in words."""
    s, below = plan.setup, ground(plan)
    tilt = 0.5 * (s.rail_top - s.rail_butt)
    pairs = (
        ("Rail's underside above the pith mark", s.rail_butt, s.rail_top),
        ("Rail's underside above the ground", s.above_ground_butt, s.above_ground_top),
        ("Ledge: rail's underside to the bark", s.ledge_butt, s.ledge_top),
        ("Bracket screws above the pith mark, from", s.screws_low - tilt, s.screws_low + tilt),
        ("to", s.screws_high - tilt, s.screws_high + tilt),
        ("Pith mark above the ground", -below[0], -below[1]),
    )
    widest = max((c.bar_needed for c in plan.cuts), default=0.0)
    past = show_length(s.overhang, system)
    free = show_length(plan.mill.usable, system)
    over = show_length(s.last_face_above_ground, system)
    lines = [
        f"First cut: mill set to {show_length(s.first_depth, system)} below the rail's underside.",
        f"Rail past each end: {past}. Bracket screws stay clear of the first cuts.",
        f"Widest cut needs {show_length(widest, system)} of free bar; yours has {free}.",
        f"Last cut passes {over} above the ground at its tighter end.",
        *s.remarks,
    ]
    heights = [[name, *(_kept(show_length(h, system)) for h in ends)] for name, *ends in pairs]
    return {"name": "Set the rail", "rows": heights, "lines": lines}


def totals(plan: Plan, system: System) -> list[str]:
    """What the plan promises, each with its range where one was reckoned."""
    hours, minutes = divmod(round(plan.minutes), 60)
    unit: Literal["m3", "ft3"] = "ft3" if system == "inch" else "m3"
    held, log = (_kept(show_volume(v, unit)) for v in (sum(s.solid for s in plan.slabs), plan.ledger.log))
    mass = _kept(show_mass(sum(s.weight for s in plan.slabs), system))
    most = _kept(show_mass(sum(s.weight_high for s in plan.slabs), system, up=True))
    pace = f"{show_area(plan.area, system)} of cut, about {hours} h {minutes:02d} min at the saw"
    told = [
        f"{len(plan.slabs)} slabs by {len(plan.cuts)} cuts, {pace}",
        f"{tally(plan, plan.tally)} by {plan.aims.tally.value}{_range(plan, plan.tally_spread, money=False)}",
        f"Wood in slabs {held} of {log} under bark; slabs weigh {mass}, at most {most}, green",
    ]
    if plan.rates.currency:
        told.append(f"Net {amount(plan, plan.net)}{_range(plan, plan.net_spread, money=True)}")
    if plan.tally_spread or (plan.net_spread and plan.rates.currency):
        told.append("Ranges: 10 to 90 % from measuring error, with these same cuts.")
    if plan.doubts:
        first = plan.doubts[0]
        told.append(
            f"Assumed: {first.field} {first.value}; if {first.low} or {first.high}, the net may be off "
            f"by {amount(plan, first.swing)}. Measure it first."
        )
    # For less nobody walks back with the tape.
    again = next((r for r in plan.retakes if r.regret > NOTABLE * abs(plan.net)), None)
    if again is not None:
        told.append(
            f"Measure again: {field_words(again.field)} {again.value} ± {again.error}; "
            f"not knowing it better costs {amount(plan, again.regret)} on average."
        )
    return told


def late(plan: Plan) -> str:
    """Up to which cut a minute earns most, and which slabs carry the value."""
    stop = best_stop(plan)
    if stop is None:
        return "Nothing to saw."
    best = sorted(plan.slabs, key=lambda s: -s.value)[:3]
    names = ", ".join(str(s.number) for s in best)
    worth = sum(s.value for s in plan.slabs if s.number in stop.slabs) / plan.value if plan.value else 0.0
    dearest = f"Worth most: slab{'s' if len(best) > 1 else ''} {names}."
    if stop.cut == plan.cuts[-1].number:
        return (
            f"Each cut earns more per minute than those before it, so stop as late as light allows. {dearest}"
        )
    return (
        f"A minute earns most up to cut {stop.cut}: {worth * 100:.0f} % of the value "
        f"in {stop.minutes:.0f} min. Stop there rather than half-way below it. {dearest}"
    )


def heads(plan: Plan, system: System) -> list[list[Any]]:
    """Two lines of headings; the first gives how many columns it spans."""
    unit = length_unit(system)
    # What the bar passes: without bark where it comes off before the cut.
    bark = "over" if plan.aims.bark is BarkWay.ON else "under"
    mass = "kg" if system == "metric" else "lb"
    return [
        [["", 1], ["", 1], [f"face from pith, {unit}", 2], ["", 1], ["", 2], ["as measured", 3]],
        ["cut", "set mill to", "butt", "top", f"{bark} bark, {unit}", "frees", f"{mass} at most",
         "face butt", "face top", "width"],
    ]  # fmt: skip


def rows(plan: Plan, system: System) -> list[list[str]]:
    """One row of eight figures a cut, with a row of words where the log is turned over."""
    told: list[list[str]] = []
    side, turn = 1, TURN
    for cut in plan.cuts:
        if cut.side != side:
            side = cut.side
            told.append([turn if side == 2 else TURN_BACK])
            turn = TURN_AGAIN
        slabs = slabs_of(plan, cut)
        size = _kept(
            ", ".join(f"{s.aim.label} · {show_length(s.outline.thickness, system)} green" for s in slabs)
        )
        mass = " + ".join(_figure(show_mass(s.weight_high, system, up=True)) for s in slabs)
        faces = (_kept(above_pith(face, system)) for face in (cut.face_butt, cut.face_top))
        told.append(
            [str(cut.number), _kept(show_length(cut.set_to, system)), *faces,
             _kept(in_column(cut.width, system)), cut.frees, size, mass]
        )  # fmt: skip
    return told


def pieces(plan: Plan, system: System) -> list[str]:
    """What each slab is for, from the butt: one line a slab; empty where there are no uses."""
    told = []
    for slab in plan.slabs:
        if not slab.pieces:
            continue
        parts = [
            f"{p.use or 'tally'} {_kept(show_length(p.start, system, 'long'))} to "
            f"{_kept(show_length(p.end, system, 'long'))}"
            for p in slab.pieces
        ]
        pair = f", pair with {slab.pair_with}" if slab.pair_with else ""
        told.append(f"slab {slab.number}: {'; '.join(parts)}{pair}")
    return told


def orders(plan: Plan) -> list[str]:
    """What became of each order."""
    return [
        f"Order {o.name}: {o.cut} of {o.wanted} cut" + (f"; {o.missing}" if o.missing else "") + "."
        for o in plan.orders
    ]


def boxes() -> list[dict[str, Any]]:
    """The three boxes at the foot."""
    return [
        {"name": "Stop when", "lines": STOP_SIGNS},
        {"name": "With every slab", "lines": EACH_SLAB},
        {"name": "Come home whole", "lines": CAUTIONS},
    ]


def _range(plan: Plan, spread: Spread | None, *, money: bool) -> str:
    if spread is None:
        return ""
    told = amount if money else tally
    return f" ({told(plan, spread.p10)} to {told(plan, spread.p90)})"


def _from_to(values: list[float], system: System) -> str:
    low, high = show_length(min(values), system), show_length(max(values), system)
    return low if low == high else f"{low.removesuffix(' mm')} to {high}"


def _figure(told: str) -> str:
    """A mass without its unit, where the heading names it; tonnes keep theirs."""
    return told.removesuffix(" kg").removesuffix(" lb")


def _kept(told: str) -> str:
    """A figure that must not part from its unit at the end of a line."""
    return told.replace(" ", "\u00a0")
