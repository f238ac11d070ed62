"""An invented book to look round in: a wind-thrown oak across a creek hollow, and what came before it.

Every name, price and measure here is made up.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

from pithline.yard.demo_stock import dry_ridge_log, sell_ridge_log
from pithline.yard.kinds import Done, Who, perform
from pithline.yard.models import KilnLoad

__all__ = ["fill", "hollow_oak", "lay_it", "plan_it"]

_WHO = Who(name="demo", device="invented")


def hollow_oak() -> dict[str, Any]:
    """Tables of the demo log's record: log, lie, mill, aims, rates."""
    from pithline.fields import parse_toml

    inside = Path(str(files("pithline"))) / "demo" / "hollow-oak.toml"  # where an installed one has it
    beside = Path(__file__).parents[3] / "demo" / "hollow-oak.toml"
    place = inside if inside.exists() else beside
    return parse_toml(place.read_text(encoding="utf-8"), place.name)


def fill(today: datetime.date | None = None) -> None:
    """Fill an empty book with the demo, all but the plan; its dates lie about `today`.

    Everything is entered by the same kinds of entry that a person's words go through.

    Parameters
    ----------
    today : date, optional
        In UTC where left out.
    """
    first = today or datetime.datetime.now(datetime.UTC).date()

    def day(after: int) -> str:
        return (first + datetime.timedelta(days=after)).isoformat()

    tables = hollow_oak()
    _people_and_kit(tables)
    _ridge_log(day)
    _hollow_oak(day, tables)
    dry_ridge_log(_say, day)
    sell_ridge_log(_say, day)
    _say(
        "take_log",
        name="lane log",
        species="northern red oak",
        offered_on=day(-2),
        answer_by=day(5),
        owner="customer",
        owner_contact="Wren Aldous",
        agreed="Invented: asked for half of the slabs, dry.",
    )
    call = {"girth": "2.3 m", "length": "3.6 m to 4 m", "distance": "22 km", "quality": "ordinary"}
    _say("ask_worth", log="3", call=call)
    _say(
        "ask_for",
        what="table top",
        contact="Mara Quill",
        length="1.9 m",
        width="48 cm",
        thickness="40 mm",
        wanted_by=day(200),
        offer="900 USD",
        note="Invented.",
    )


def plan_it() -> None:
    """Plan the hollow oak: some seconds of reckoning, after a minute of compiling on a new machine."""
    _say("keep_plan", log="2", name="first plan", draws=100)


def lay_it() -> None:
    """Lay the planned kiln load, as its page does."""
    from pithline.yard.charge_kept import entered, reckon_charge

    load = KilnLoad.objects.get(number=1)
    slabs = [one.slab.label for one in load.loaded.select_related("slab__log")]
    said = {"load": load.number, "words": {}, "slabs": slabs, "must": []}
    _say("change_load", **entered(load, reckon_charge(said, lambda *_: None)["layout"]))


def _say(kind: str, /, **said: Any) -> Done:
    return perform(kind, said, who=_WHO)


def _people_and_kit(tables: dict[str, Any]) -> None:
    for name, note in (
        ("Wren Aldous", "Invented: owns the hollow and the lane."),
        ("Mara Quill", "Invented: makes tables."),
    ):
        _say("add_contact", name=name, note=note)
    _say(
        "add_place",
        name="creek hollow",
        kind="forest",
        contact="Wren Aldous",
        access="Invented: on foot from the ridge, gate shut at dusk.",
    )
    _say("add_place", name="barn bay", kind="shed")
    for kind, name in (("mill", "42 in bar on rails"), ("aims", "wide slabs"), ("rates", "invented prices")):
        _say("keep_profile", kind=kind, name=name, table=tables[kind], usual=True)


def _ridge_log(day: Callable[[int], str]) -> None:
    """A log sawn last spring: slabs on sticks, one cut up, a pair, prices."""
    _say(
        "take_log",
        name="ridge log",
        species="northern red oak",
        offered_on=day(-260),
        saw_on=day(-230),
        agreed="Invented: felled by us, wood is ours.",
    )
    _say("decide_log", log="1", decision="take")
    _say("build_stack", name="barn bay, left", place="barn bay", sticker="20 mm", built_on=day(-229))
    faces = [
        ("2 in", ["0 m: 24 cm / 36 cm", "2.9 m: 20 cm / 31 cm"]),
        ("80 mm", ["0 m: 38 cm / 46 cm", "1.5 m: 35 cm / 43 cm", "2.9 m: 32 cm / 41 cm"]),
        ("80 mm", ["0 m: 46 cm / 50 cm", "1.5 m: 44 cm / 47 cm", "2.9 m: 41 cm / 44 cm"]),
        ("80 mm", ["0 m: 47 cm / 51 cm", "1.5 m: 44 cm / 48 cm", "2.9 m: 40 cm / 45 cm"]),
        ("80 mm", ["0 m: 39 cm / 47 cm", "2.9 m: 33 cm / 42 cm"]),
        ("2 in", ["0 m: 25 cm / 37 cm", "2.9 m: 21 cm / 32 cm"]),
    ]
    for number, (thickness, widths) in enumerate(faces, 1):
        _say(
            "tally_slab",
            log="1",
            thickness=thickness,
            length="2.9 m",
            widths=widths,
            holds_pith=number in (3, 4),
            sawn_on=day(-230),
            stack="barn bay, left",
            layer=len(faces) + 1 - number,
            asking=f"{100 + 60 * min(number, 7 - number)} USD",
            note="Invented.",
        )
    _say("pair_slabs", first="1-3", second="1-4", note="neighbours on either side of the pith")
    _say("split_slab", slab="1-6", way="cross", at="1.4 m")


def _hollow_oak(day: Callable[[int], str], tables: dict[str, Any]) -> None:
    """The log of the next log day: agreed and measured."""
    _say(
        "take_log",
        name="hollow oak",
        species="northern red oak",
        offered_on=day(-21),
        felled_on=str(tables["log"]["felled"]),
        place="creek hollow",
        owner="shares",
        owner_contact="Wren Aldous",
        owner_share="25 %",
        consent_on=day(-18),
        agreed="Invented: a quarter of the slabs to the owner; brush stacked off the path.",
        saw_on=day(3),
    )
    _say("decide_log", log="2", decision="take")
    _say("measure_log", log="2", record={name: tables[name] for name in ("log", "lie")})
