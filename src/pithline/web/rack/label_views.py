"""Labels for the slabs that were ticked, or for all that were asked for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.sheets.label_stock import STOCKS, LabelStock
from pithline.sheets.labels import Label, label_sheets
from pithline.units import show_length
from pithline.web.inputs import Asking, asked, place_of
from pithline.web.rack.asking import FILTER, wanted
from pithline.web.rack.shelf import in_order, offers, slabs_in
from pithline.web.words import words
from pithline.yard.finding import slab_of
from pithline.yard.models import Size, Slab
from pithline.yard.preferences import setting

__all__ = ["labels", "sheet"]

OWN = "my own, as measured below"
_L = Quantity.LENGTH
_HERE = ("localhost", "127.0.0.1", "::1")
SHEET = Table(
    "sheet",
    "The sheet that the printer is loaded with.",
    (
        Field("stock", Quantity.TEXT, "How its labels are cut.", choices=(*STOCKS, OWN)),
        Field(
            "first",
            Quantity.COUNT,
            "Where to begin on a part-used sheet, counted row by row.",
            default=1,
            least="1",
        ),
        Field("paper", Quantity.TEXT, "Of your own sheet.", default="a4", choices=("a4", "us-letter")),
        Field("columns", Quantity.COUNT, "Labels beside each other.", least="1"),
        Field("rows", Quantity.COUNT, "Labels below each other.", least="1"),
        Field("width", _L, "Of one label."),
        Field("height", _L, "Of one label."),
        Field("left", _L, "Paper's edge to the first label.", default="0 mm"),
        Field("top", _L, "Paper's edge to the first label.", default="0 mm"),
        Field("gap_across", _L, "Between two labels beside each other.", default="0 mm"),
        Field("gap_down", _L, "Between two labels below each other.", default="0 mm"),
    ),
)
_MOST = 2000


@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """Choose the sheet."""
    return _page(request)


@require_safe
def sheet(request: HttpRequest) -> HttpResponse:
    """The labels as a PDF, or the form again with the reason."""
    try:
        chosen = read(SHEET, words(SHEET, request.GET) or {"stock": _usual()})
        slabs = _slabs(request)
        pdf = label_sheets([_label(slab) for slab in slabs], _stock(chosen), chosen["first"])
    except BadValue as wrong:
        return _page(request, wrong)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return answer


def _page(request: HttpRequest, wrong: BadValue | None = None) -> HttpResponse:
    said = {"stock": _usual(), **words(SHEET, request.GET)}
    problems, general = {}, ""
    if wrong:
        name = place_of(wrong.field, SHEET.name).replace(" ", "_")
        names = {"first_label": "first", "across": "gap_across", "down": "gap_down"}
        name = names.get(name, name)
        if name in {f.name for f in SHEET.fields}:
            problems[name] = f"Must be {wrong.rule}. {wrong.remedy}".strip()
        else:
            general = str(wrong)
    parts = asked(SHEET, said, Asking(problems=problems))
    slabs = [] if wrong and wrong.field in ("slab", "labels") else _slabs(request)
    known = {
        "parts": parts[:2],
        "own": parts[2:],
        "own_open": said.get("stock") == OWN,
        "general": general,
        "slabs": slabs,
        "ticked": request.GET.getlist("slab"),
        "filter": [(k, v) for k, v in request.GET.items() if k in {f.name for f in FILTER.fields}],
        "base": setting("base_address"),
        "only_here": urlsplit(setting("base_address")).hostname in _HERE,
    }
    return render(request, "rack/labels.html", known, status=422 if wrong else 200)


def _usual() -> str:
    """The sheet of the settings, where it is one of the known ones; else the first for the book's paper."""
    stock = setting("label_stock")
    if stock in STOCKS:
        return str(stock)
    return next(name for name, s in STOCKS.items() if s.paper == setting("paper") and s.columns == 3)


def _stock(chosen: Mapping[str, Any]) -> LabelStock:
    name = chosen["stock"] or _usual()
    if name != OWN:
        return STOCKS[name]
    for needed in ("columns", "rows", "width", "height"):
        if chosen[needed] is None:
            raise BadValue(needed, "missing", "given for your own sheet", "Measure the sheet with a ruler.")
    lengths = ("width", "height", "left", "top", "gap_across", "gap_down")
    millimetres = [round(1000 * chosen[side], 3) for side in lengths]
    return LabelStock.of(chosen["paper"], chosen["columns"], chosen["rows"], *millimetres)


def _slabs(request: HttpRequest) -> list[Slab]:
    now = Prefetch("sizes", Size.objects.filter(current=True).defer("outline"), to_attr="now")
    ticked = request.GET.getlist("slab")[:_MOST]
    if ticked:
        pks = [slab_of(label, "slab").pk for label in ticked]
        found = Slab.objects.filter(pk__in=pks)
        order = in_order(found, "number")
    else:
        asked_for = wanted(request.GET, offers())
        order = in_order(slabs_in(asked_for.values), asked_for.values["sort"])
    return list(order.select_related("log").prefetch_related(now)[:_MOST])


def _label(slab: Slab) -> Label:
    size = slab.now[0] if slab.now else None
    system = setting("system")
    lines = [slab.species]
    if size and size.length_m and size.thickness_m:
        told = [show_length(size.length_m, system, "long")]
        told += [show_length(m, system) for m in (size.mean_width_m, size.thickness_m) if m]
        lines += [" × ".join(part.replace(" ", "\u00a0") for part in told)]
    about = [
        part for part in (slab.nominal, size.get_state_display() if size else "", setting("yard")) if part
    ]
    lines.append(" · ".join(about))
    address = setting("base_address") + reverse("rack:code", args=[slab.pk])
    return Label(slab.label, tuple(line for line in lines if line), address)
