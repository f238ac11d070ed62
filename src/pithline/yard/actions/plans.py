"""Plans: reckoned and kept whole, chosen; cuts as they were made."""

from __future__ import annotations

import datetime
import zoneinfo
from collections.abc import Mapping
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.desk import Desk
from pithline.yard.finding import log_of, plan_of
from pithline.yard.kinds import entry
from pithline.yard.models import Cut, Log, Plan, StoredFile
from pithline.yard.money import Amount, digits, minor_units

__all__ = ["choose_plan", "keep_plan", "note_cut"]

_T, _L = Quantity.TEXT, Quantity.LENGTH


def _name_or_table(raw: Any, path: str) -> Any:
    if isinstance(raw, str | Mapping):
        return raw
    raise BadValue(path, raw, "a name, or the table itself")


def _reckoned(said: dict[str, Any]) -> dict[str, Any]:
    """What takes its time, ahead of the transaction: plan, document, sheet on the disk."""
    from pithline.sheets.cut_sheet import cut_sheet
    from pithline.sheets.plan_json import plan_document
    from pithline.yard.files import keep
    from pithline.yard.planning import inputs_of, reckon, tables_of
    from pithline.yard.preferences import setting

    log = log_of(said["log"])
    inputs = inputs_of(tables_of(log, said))
    found = reckon(inputs, draws=said["draws"], moved=said["moved"])
    document = plan_document(found)
    document["assumed"] = [{"field": a.field, "value": a.text, "why": a.why} for a in inputs.assumed]
    document["questions"] = inputs.record.questions()
    zone = zoneinfo.ZoneInfo((log.place.zone if log.place else "") or setting("zone"))
    dated = datetime.datetime.now(zone).date().isoformat()
    title = f"{log} · {inputs.record.species.name}"
    sheet = cut_sheet(found, title, setting("paper"), setting("system"), dated)
    return {
        "tables": inputs.tables | ({"moved": said["moved"]} if said["moved"] else {}),
        "found": found,
        "document": document,
        "sheet": keep(sheet, "application/pdf"),
    }


@entry(
    Table(
        "keep_plan",
        "Reckon the best plan of a log and keep it whole, with its sheet as printed.",
        (
            Field("log", _T, "Its number.", required=True),
            Field("name", _T, "What you call this plan.", default=""),
            Field("mill", _T, "A mill by name, or its table; else the usual.", parse=_name_or_table),
            Field("aims", _T, "Aims by name, or their table; else the usual.", parse=_name_or_table),
            Field("rates", _T, "Rates by name, or their table; else the usual.", parse=_name_or_table),
            Field(
                "moved",
                _T,
                'Cuts by your own hand, in metres above the pith: "follow 0.214"; empty is the best plan.',
                default="",
            ),
            Field(
                "draws",
                Quantity.COUNT,
                "Logs drawn within the measuring error, for the ranges.",
                default=200,
                least="0",
                most="5000",
            ),
            Field("choose", Quantity.FLAG, "This is the plan to saw by.", default=True),
        ),
    ),
    "Keep a plan",
    before=_reckoned,
)
def keep_plan(desk: Desk, said: dict[str, Any]) -> Plan:
    """Keep a plan with its inputs, the version of the reckoning and the printed sheet."""
    from pithline import __version__

    log, found, document = log_of(said["log"]), said["found"], said["document"]
    net, code = None, found.rates.currency
    if code:
        net = _net(Decimal(repr(found.net)), code)
    if said["choose"]:
        _let_go(desk, log)
    return desk.create(
        Plan,
        log=log,
        chosen=said["choose"],
        number=desk.next_number(f"plans of {log.pk}"),
        name=said["name"],
        inputs=said["tables"],
        answer=document,
        version=__version__,
        sheet=StoredFile.objects.get(pk=said["sheet"].pk),
        tally=found.tally,
        tally_unit=document["tally_unit"],
        net_minor=net,
        currency=code,
    )


@entry(
    Table("choose_plan", "The plan to saw by.", (Field("plan", _T, "Such as 14/2.", required=True),)),
    "Choose a plan",
)
def choose_plan(desk: Desk, said: dict[str, Any]) -> Plan:
    """Make a kept plan the one to saw by."""
    plan = plan_of(said["plan"])
    _let_go(desk, plan.log)
    return desk.change(plan, chosen=True)


@entry(
    Table(
        "note_cut",
        "What was measured after a cut. The same cut again puts it right.",
        (
            Field("log", _T, "Its number.", required=True),
            Field("cut", Quantity.COUNT, "Its number in the order of sawing.", required=True, least="1"),
            Field(
                "face_butt",
                _L,
                "Sawn face above the pith mark at the butt; below it with a minus.",
                signed=True,
                least="-3 m",
                most="3 m",
            ),
            Field("face_top", _L, "The same at the top.", signed=True, least="-3 m", most="3 m"),
            Field("thickness_butt", _L, "Of the slab that came off, at the butt.", most="1 m"),
            Field("thickness_top", _L, "The same at the top.", most="1 m"),
            Field("took", Quantity.DURATION, "How long it took."),
            Field("sawn_on", Quantity.DATE, "The day."),
            Field("note", _T, "Whatever else: hit metal, ran off, chain changed."),
        ),
    ),
    "After a cut",
)
def note_cut(desk: Desk, said: dict[str, Any]) -> Cut:
    """Keep what was measured after a cut; what is not said stays as it was."""
    log = log_of(said["log"])
    values = {
        column: said[name]
        for name, column in (
            ("face_butt", "face_butt_m"),
            ("face_top", "face_top_m"),
            ("thickness_butt", "thickness_butt_m"),
            ("thickness_top", "thickness_top_m"),
            ("took", "minutes"),
            ("sawn_on", "sawn_on"),
            ("note", "note"),
        )
        if said[name] is not None
    }
    known = Cut.objects.filter(log=log, number=said["cut"]).first()
    if known:
        return desk.change(known, **values)
    plan = Plan.objects.filter(log=log, chosen=True).first()
    return desk.create(Cut, log=log, plan=plan, number=said["cut"], **values)


def _let_go(desk: Desk, log: Log) -> None:
    """Choose no plan of a log: only one may be chosen at any time."""
    for other in Plan.objects.filter(log=log, chosen=True):
        desk.change(other, chosen=False)
    if log.state == Log.State.MEASURED:
        desk.change(log, state=Log.State.PLANNED)


def _net(value: Decimal, code: str) -> int | None:
    # Sums of rates are not whole coins: rounded once, here.
    rounded = value.quantize(Decimal(1).scaleb(-digits(code)), ROUND_HALF_EVEN)
    return minor_units(Amount(rounded, code, "rates.currency", f"{rounded}"))
