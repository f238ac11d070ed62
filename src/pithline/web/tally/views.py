"""The tally: slabs written down as they come off the log, one by one or many at once."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.db.models import Count, Q
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pithline.errors import BadValue
from pithline.web.forms import Form, form_of, submit
from pithline.web.inputs import Asking
from pithline.web.names import places, stacks
from pithline.web.tally.compare import compared, wood_chart, wood_of
from pithline.web.tally.next import kept_from_last, next_number
from pithline.web.tally.pasted import COLUMNS, UNITS, laid_out
from pithline.yard.kinds import Done
from pithline.yard.models import Log
from pithline.yard.preferences import setting
from pithline.yard.sizing import book_counting, rule_sentence

__all__ = ["grid", "index", "log", "pasted", "wood"]

_SAWABLE = (Log.State.TAKEN, Log.State.MEASURED, Log.State.PLANNED, Log.State.SAWN)


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """Which log?"""
    number = request.GET.get("log", "")
    if number.isascii() and number.isdigit():
        return HttpResponseRedirect(reverse("tally:log", args=[_find(int(number[:9])).number]))
    whole = Count("slabs", filter=Q(slabs__suffix=""))
    logs = Log.objects.filter(state__in=_SAWABLE).select_related("place").annotate(pieces=whole)[:200]
    return render(request, "tally/index.html", {"logs": logs})


@require_http_methods(["GET", "HEAD", "POST"])
def log(request: HttpRequest, number: int) -> HttpResponse:
    """One slab after the other."""
    found = _find(number)
    form = form_of(
        "tally_slab",
        reverse("tally:log", args=[number]),
        button="Write it down",
        fixed={"log": str(number)},
        said={"number": next_number(found), **kept_from_last(found)} if request.method != "POST" else {},
        offers={"stack": stacks(), "place": places()},
    )
    if request.method != "POST":
        return _log_page(request, found, form)
    return submit(
        request,
        form,
        lambda r, f, status: _log_page(r, found, f, status),
        reverse("tally:log", args=[number]),
        lambda done: f"Slab {done.subject} is in the book. Write {done.subject} on the wood.",
        lambda r, f, status: render(r, "tally/form.html", {"log": found, "form": f}, status=status),
    )


@require_safe
def wood(request: HttpRequest, number: int) -> HttpResponse:
    """Where the wood went: the drawing alone for htmx, else on the page."""
    found = _find(number)
    rows = compared(found)
    sums = wood_of(found, rows)
    known = {"log": found, "wood": sums, "chart": wood_chart(sums) if sums else None}
    part = request.htmx
    return render(request, "tally/wood.html" if part else "tally/wood_page.html", known)


@require_http_methods(["GET", "HEAD", "POST"])
def grid(request: HttpRequest, number: int) -> HttpResponse:
    """Many slabs at once."""
    found = _find(number)
    form = _grid_form(found, [])
    if request.method != "POST":
        return _grid_page(request, found, form)

    def told(done: Done) -> str:
        return f"The slabs are in the book: log {done.subject} has {found.slabs.filter(suffix='').count()}."

    return submit(
        request,
        form,
        lambda r, f, status: _grid_page(r, found, f, status),
        reverse("tally:log", args=[number]),
        told,
        lambda r, f, status: _rows(r, found, f, status),
    )


@require_POST
def pasted(request: HttpRequest, number: int) -> HttpResponse:
    """Lay pasted lines out in the grid; nothing is kept yet."""
    found = _find(number)
    paste = {name: request.POST.get(name, "") for name in ("lines", "unit", "length_unit")}
    try:
        form = _grid_form(found, laid_out(paste["lines"], paste["unit"] or "mm", paste["length_unit"] or "m"))
    except BadValue as wrong:
        form = replace(_grid_form(found, []), general=str(wrong))
        show: Any = _rows if request.htmx else _grid_page
        return show(request, found, form, 422, **({} if show is _rows else {"paste": paste}))
    if request.htmx:
        return _rows(request, found, form, 200)
    return _grid_page(request, found, form)


def _grid_form(found: Log, rows: list[dict[str, Any]]) -> Form:
    form = form_of(
        "tally_slabs",
        reverse("tally:grid", args=[found.number]),
        button="Write them all down",
        fixed={"log": str(found.number)},
        said={"slabs": rows},
    )
    return replace(form, asking=Asking(spare=0 if rows else 4))


def _columns(form: Form) -> dict[str, Any]:
    """The grid's headings, and its rows reduced to the columns that it shows."""
    part = form.by["slabs"]
    rows = [[group.by[name] for name in COLUMNS] for group in part.rows]  # type: ignore[union-attr]
    heads = [one.label for one in rows[0]] if rows else []
    return {"form": form, "heads": heads, "rows": rows, "problem": part.problem}


def _rows(request: HttpRequest, found: Log, form: Form, status: int) -> HttpResponse:
    return render(request, "tally/grid_form.html", {"log": found, **_columns(form)}, status=status)


def _grid_page(
    request: HttpRequest, found: Log, form: Form, status: int = 200, paste: dict[str, str] | None = None
) -> HttpResponse:
    usual = ("in", "ft") if setting("system") == "inch" else ("mm", "m")
    paste = paste or {"lines": "", "unit": usual[0], "length_unit": usual[1]}
    known = {"log": found, "paste": paste, "units": UNITS, "names": COLUMNS, **_columns(form)}
    return render(request, "tally/grid.html", known, status=status)


def _log_page(request: HttpRequest, found: Log, form: Form, status: int = 200) -> HttpResponse:
    rows = compared(found)
    number = form.said.get("number")
    planned = next((r.planned for r in rows if r.planned and r.number == number and not r.slab), None)
    known = {
        "log": found,
        "form": form,
        "rows": rows,
        "planned": planned,
        "wood": wood_of(found, rows),
        "system": setting("system"),
        "rule": rule_sentence(book_counting()),
    }
    return render(request, "tally/log.html", known, status=status)


def _find(number: int) -> Log:
    found = Log.objects.select_related("place").filter(number=number).first()
    if found is None:
        raise Http404(f"There is no log {number} in the book.")
    return found
