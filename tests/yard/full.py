"""A small book with a row in every table."""

from __future__ import annotations

import datetime

from tests.book import demo_log, demo_tables, done, enter

__all__ = ["fill"]

_ROW = {"thickness": "80 mm", "length": "3 m", "widths": ["60 cm / 64 cm", "50 cm / 54 cm"]}


def fill() -> None:
    """Enter something of every kind."""
    from pithline.yard.files import keep
    from pithline.yard.models import Job, Token

    enter("add_contact", name="Landowner Ø", phone="555 0100", note='says "no gravel";\nno phone at night')
    enter("add_place", name="Creek hollow", contact="landowner ø", latitude="42.5", zone="America/New_York")
    enter("add_place", name="Long shed", kind="shed")
    demo_log()
    enter("change_log", log="1", owner="shares", owner_contact="Landowner Ø", owner_share="33 %")
    for kind, table in demo_tables().items():
        if kind in ("mill", "aims", "rates"):
            enter("keep_profile", kind=kind, name=f"my {kind}", table=table)
    enter("run_hours", mill="my mill", reads="101.5 h")
    enter("fit_part", mill="my mill", part="chain", life="12 h", spares=2)
    enter("keep_plan", log="1", draws=10)
    enter("note_cut", log="1", cut=1, face_butt="-12 mm", face_top="-11 mm")
    enter("tally_slabs", log="1", slabs=[_ROW | {"cost": "40 USD", "weight": "71 lb"}, _ROW, _ROW, _ROW])
    enter("build_stack", name="A", place="long shed", sticker="25 mm", slabs=["1-1", "1-2"])
    enter("pair_slabs", first="1-1", second="1-2")
    enter("split_slab", slab="1-3", way="cross", at=["1.2 m"])
    enter("resize_slab", slab="1-1", state="dry", thickness="75 mm", moisture="9 %")
    file = keep(b"%PDF-1.4 a sheet", "application/pdf")
    enter("attach_photo", about="slab 1-1", file=file.sha256, kind="sheet")
    enter("write_note", about="log 1", text="gate is locked after six")
    enter("ask_for", what="bar top", length="2.4 m", width="60 cm", offer="900 USD", contact="landowner ø")
    enter("set_preference", name="zone", value="America/New_York")
    _drying()
    _money()
    line = done("tally_slab", log="1", **_ROW).entry
    enter("undo_entry", entry=str(line.order))
    Job.objects.create(kind="import", state="done", done=1.0, result={"rows": 3, "said": None})
    Token.objects.create(
        name="weather station", digest="0" * 64, last_used_at=datetime.datetime.now(datetime.UTC)
    )


def _drying() -> None:
    from pithline.yard.files import keep

    row = {"month": 3, "temperature": "41 F", "humidity": "68 %"}
    enter("set_months", place="long shed", months=[row], basis="measured", source="own thermometer")
    lines = ("time,temperature C,humidity %", "2026-03-02 00:00,4,80", "2026-03-02 06:00,3,84")
    file = keep("\n".join(lines).encode(), "text/csv")
    enter("keep_logger", name="post", file=file.sha256, place="long shed")
    enter("begin_phase", stack="A", kind="shed", begins_on="2026-03-02")
    enter("seal_ends", slabs=["1-1"], sealed_on="2026-03-01")
    enter("cut_sample", name="W1", slab="1-2", weight="4.1 kg", cut_on="2026-03-01")
    enter("weigh_piece", sample="W1", weight="3.6 kg", weighed_on="2026-04-01")
    enter("read_meter", slab="1-1", meter="pin", shown="23 %", depth="10 mm", read_on="2026-04-01")
    enter("keep_profile", kind="kiln", name="box", table={"like": "small dehumidifier"})
    enter("load_kiln", slabs=[{"slab": "1-1", "layer": 1}], code="T3-B1", target="8 %")
    enter("start_load", load="1", started="2026-05-01 08:00")
    enter("set_kiln", load="1", set_at="2026-05-01 08:30", dry_bulb="43 C", wet_bulb="41 C")


def _money() -> None:
    enter("note_work", kind="cut", about="log 1", hours="5 h", fuel="6 l", done_on="2026-02-20")
    enter("note_spending", what="stickers", amount="40 USD", about="stack A", spent_on="2026-02-21")
    enter("list_slab", slab="1-4", asking="600 USD", where="board at the gate", from_on="2026-06-01")
    enter("note_offer", slab="1-4", amount="450 USD", made_on="2026-06-20", contact="landowner ø")
    enter("sell_slab", slab="1-4", price="520 USD", sold_on="2026-07-01", dried="green")
    size = {"species": "northern red oak", "thickness": "12/4", "width": "50 cm", "length": "2.4 m"}
    enter("note_comparable", source="invented", price="700 USD", seen_on="2026-06-01", **size)
    enter(
        "note_lumber",
        species="northern red oak",
        thickness="8/4",
        rate="5 USD per bf",
        source="invented",
        seen_on="2026-06-01",
    )


def everything() -> dict[str, list[dict[str, object]]]:
    """All rows of all tables, as a backup writes them."""
    from django.apps import apps

    from pithline.yard.archive import in_order
    from pithline.yard.desk import as_row

    return {m.__name__: [as_row(r) for r in m._default_manager.order_by("pk")] for m in in_order(apps)}
