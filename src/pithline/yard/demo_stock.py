"""Drying, work and prices of the demo book. Every name, price, weight and reading here is made up."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

__all__ = ["dry_ridge_log", "sell_ridge_log"]

Say = Callable[..., Any]
Day = Callable[[int], str]


def dry_ridge_log(say: Say, day: Day) -> None:
    """The ridge log's stack: its air, a witness block, readings, a kiln for later."""
    say("set_months", place="barn bay", like="Pittsburgh")
    say("begin_phase", stack="barn bay, left", kind="shed", begins_on=day(-229), note="Invented.")
    say("cover_stack", stack="barn bay, left", ends="shaded", done_on=day(-229))
    say("seal_ends", slabs=["1-2", "1-3", "1-4", "1-5"], sealed_on=day(-230))
    say("lay_stack", stack="barn bay, left", sticker_places=["20 cm", "80 cm", "140 cm", "200 cm", "270 cm"],
        sticker_width="40 mm", bolster="15 cm", top_weight="250 kg", laid_on=day(-229))  # fmt: skip
    say("cut_sample", name="W1", slab="1-3", width="46 cm", length="30 cm", weight="11.20 kg",
        start="82 %", cut_on=day(-230), note="Invented.")  # fmt: skip
    for after, weight in ((-200, "10.60 kg"), (-140, "9.75 kg"), (-80, "9.20 kg"), (-20, "8.85 kg")):
        say("weigh_piece", sample="W1", weight=weight, weighed_on=day(after), scale="10 g", note="Invented.")
    held = {"slab": "1-2", "meter": "insulated pin", "wood_temperature": "14 C", "set_to": "northern red oak"}
    say("read_meter", **held, shown="23 %", depth="8 mm", read_on=day(-20), note="Invented.")
    say("read_meter", **held, beyond="wet", depth="38 mm", read_on=day(-20), note="Invented.")
    say("keep_profile", kind="kiln", name="box in the barn", table={"like": "small dehumidifier"}, usual=True)
    say(
        "load_kiln",
        name="winter load",
        slabs=[{"slab": "1-3"}, {"slab": "1-4"}],
        target="8 %",
        note="Invented.",
    )


def sell_ridge_log(say: Say, day: Day) -> None:
    """What the ridge log took, what is asked for its slabs, what was offered and paid; prices seen."""
    costs = {
        "saw": "2400 USD",
        "chain": "36 USD",
        "fuel": "2.20 per l",
        "km": "0.55 per km",
        "wage": "210 per day",
    }
    say("keep_profile", kind="costs", name="invented costs", table=costs, usual=True)
    say(
        "note_work",
        kind="drive",
        about="log 1",
        hours="50 min",
        people=2,
        distance="34 km",
        done_on=day(-230),
    )
    say("note_work", kind="set up", about="log 1", hours="1 h 30 min", people=2, done_on=day(-230))
    say("note_work", kind="cut", about="log 1", hours="4 h", people=2, saw="2 h 20 min", fuel="7.5 l",
        done_on=day(-230), note="Invented.")  # fmt: skip
    say("note_work", kind="carry", about="log 1", hours="3 h", people=2, done_on=day(-229))
    say("note_work", kind="dry", about="stack barn bay, left", hours="2 h", done_on=day(-229))
    say("note_spending", what="wood of the ridge log", amount="120 USD", kind="wood", about="log 1",
        spent_on=day(-235), note="Invented.")  # fmt: skip
    say("note_spending", what="stickers and end sealer", amount="45 USD", kind="stack",
        about="stack barn bay, left", spent_on=day(-229))  # fmt: skip
    # What was said of the ridge log before it was sawn; its by-products come off its cost.
    say("ask_worth", log="1", call={"girth": "1.9 m", "length": "3.2 m", "distance": "14 km",
                                    "opening": "15 USD", "blanks": 1, "blank_price": "20 USD"})  # fmt: skip
    say("note_spending", what="insurance", amount="240 USD", kind="overhead", months=12, spent_on=day(-120))
    for after, price in ((-150, "260 USD"), (-60, "230 USD")):
        say(
            "list_slab",
            slab="1-2",
            asking=price,
            where="board at the gate",
            reference="240 USD",
            from_on=day(after),
        )
    say(
        "list_slab",
        slab="1-5",
        asking="250 USD",
        where="board at the gate",
        reference="250 USD",
        from_on=day(-150),
    )
    say("sell_slab", slab="1-5", price="235 USD", sold_on=day(-40), buyer="Mara Quill", dried="air dried",
        use="table", note="Invented.")  # fmt: skip
    say("note_offer", slab="1-2", amount="190 USD", contact="Mara Quill", made_on=day(-4), good_until=day(10))
    say("note_comparable", source="invented: a yard two valleys on", price="520 USD", what="kiln-dried slab",
        species="northern red oak", thickness="10/4", width="50 cm", length="2.6 m", dried="kiln dried",
        seen_on=day(-30))  # fmt: skip
    say("note_comparable", source="invented: a neighbour's note", price="185 USD", paid=True,
        what="green slab", species="northern red oak", thickness="80 mm", width="44 cm", length="2.8 m",
        dried="green", seen_on=day(-60))  # fmt: skip
    say("note_lumber", species="northern red oak", thickness="8/4", rate="6.10 USD per bf",
        source="invented: a lumber yard", seen_on=day(-30))  # fmt: skip
