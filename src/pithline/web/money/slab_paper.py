"""The price of one slab as its paper says it: the page's words, gathered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pithline import units
from pithline.sheets.hold_words import said_day
from pithline.sheets.price_sheet import Hold, PriceSheet
from pithline.sheets.slab_outline import slab_outline
from pithline.units import System
from pithline.yard.models import Slab
from pithline.yard.money import shown
from pithline.yard.sizing import outline_of

if TYPE_CHECKING:
    from pithline.web.money.slab_view import View

__all__ = ["slab_paper"]

_WIDE, _TALL, _TEXT = 92.0, 40.0, 2.8  # of the drawing [mm]


def slab_paper(found: Slab, known: dict[str, Any], system: System) -> PriceSheet:
    """Gather what the slab's page knows.

    Parameters
    ----------
    found : Slab
    known : dict
        Of the page: `view`, and of its waiting `rows`, `held`, `learned_from`.
    system : {"metric", "inch"}
    """
    view: View = known["view"]
    size = found.sizes.filter(current=True).first()
    outline = outline_of(size) if size else None
    drawing = ""
    if outline is not None:
        drawing = slab_outline(outline, system, width=_WIDE, tallest=_TALL, text=_TEXT)
    told = [view.argued] if view.argued else []
    if not view.is_now:
        told.insert(0, f"Priced as {view.piece.dried}, which it is not yet.")
    if view.lines is None:
        told.append(f"Nothing like it was sold. {view.priced.problem}")
    if known.get("problem"):
        told.append(known["problem"])
    remarks = () if view.sum is None else tuple(f"{one[:1].upper()}{one[1:]}." for one in view.sum.remarks)
    return PriceSheet(
        title=f"What to ask for slab {found.label}",
        facts=_facts(found, size, system, known["code"]),
        drawing=drawing,
        cost=view.cost,
        cost_told=(*_ways(view), *remarks),
        lines=view.lines,
        whence=view.priced.whence,
        price_told=tuple(told),
        hold=_hold(known),
    )


def _facts(found: Slab, size: Any, system: System, code: str) -> tuple[tuple[str, str], ...]:
    wood = found.species + (f", {found.nominal}" if found.nominal else "")
    rows = [("Wood", wood), ("State", found.get_state_display())]
    if size is not None:
        parts = (
            units.show_length(size.length_m, system, "long") if size.length_m else "",
            units.show_length(size.mean_width_m, system) if size.mean_width_m else "",
            units.show_length(size.thickness_m, system) if size.thickness_m else "",
        )
        rows.append((f"Size, {size.get_state_display()}", " × ".join(filter(None, parts))))
        if size.tally is not None:
            rows.append(("Tally", f"{size.tally:.4g} {size.tally_unit} ({size.tally_rule})"))
        if size.weight_kg:
            rows.append(("Weight", units.show_mass(size.weight_kg, system, up=True)))
    rows.append(("Moisture", _moisture(found, size, system)))
    marks = (found.figure, "holds the pith" if found.holds_pith else "", found.flaws)
    if any(marks):
        rows.append(("Marks", "; ".join(filter(None, marks))))
    where = found.stack or found.place
    if where:
        rows.append(("Lies in", str(where)))
    if found.asking_minor:
        rows.append(("Asked now", shown(found.asking_minor, code)))
    return tuple(rows)


def _moisture(found: Slab, size: Any, system: System) -> str:
    """The last figure of a meter as it was shown, else what was written with its size."""
    reading = found.readings.order_by("-read_on", "-created_at").first()
    if reading is not None:
        showed = (
            reading.get_beyond_display() if reading.shown_percent is None else f"{reading.shown_percent:g} %"
        )
        depth = f" at {units.show_length(reading.depth_m, system)}" if reading.depth_m else ""
        return f"meter {showed}{depth}, uncorrected, {said_day(reading.read_on)}"
    if size is not None and size.moisture_percent is not None:
        return f"{size.moisture_percent:.0f} %"
    return "not measured"


def _ways(view: View) -> tuple[str, ...]:
    if view.sum is None:
        return ("Its cost needs the five answers: what an hour costs.",)
    shares = ", ".join(
        f"{way} {'–' if amount is None else f'{amount:.2f}'}" for way, amount in view.sum.by_ways
    )
    return (f"Its share of the log in every way: {shares}.",)


def _hold(known: dict[str, Any]) -> Hold | None:
    made = known.get("held")
    if made is None:
        return None
    tags = tuple(
        (said_day(tag.day), *(f"{each:.0f}" for each in tag.asked))  # 10 %, ask, 90 %
        for tag in made.tags
    )
    return Hold(tuple(known["rows"]), tags, said_day(made.by), (known["learned_from"],))  # type: ignore[arg-type]
