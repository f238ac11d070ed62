"""Bring a table in: hand it in, say what its columns are, see what would happen, let it happen."""

from __future__ import annotations

import uuid
from dataclasses import astuple
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from pithline.errors import BadValue, Refused
from pithline.web.bring.mapping import UNITS, Mapped, mapped
from pithline.web.forms import who
from pithline.yard import jobs
from pithline.yard.files import put
from pithline.yard.importing import Outcome, do_import, try_import
from pithline.yard.models import Job
from pithline.yard.sheets_in import MOST_BYTES, Sheet, sheets_of

__all__ = ["index", "table", "working"]

_AT_ONCE = 200  # rows; more are entered beside the server
_SHOWN = 100


@require_http_methods(["GET", "HEAD", "POST"])
def index(request: HttpRequest) -> HttpResponse:
    """Take a table."""
    if request.method != "POST":
        return render(request, "bring/index.html")
    try:
        sent = request.FILES.get("table")
        if sent is None or sent.size is None:
            raise BadValue("table", "missing", "given", "Choose a file.")
        if sent.size > MOST_BYTES:
            raise BadValue("table", f"{sent.size / 1e6:.0f} MB", f"at most {MOST_BYTES / 1e6:.0f} MB")
        data, name = sent.read(), str(sent.name or "table.csv").replace("\x00", "")[-120:]
        sheets_of(data, name)
    except Refused as problem:
        return render(request, "bring/index.html", {"problem": str(problem)}, status=422)
    said = {"name": name} | ({"log": request.POST["log"]} if request.POST.get("log") else {})
    return HttpResponseRedirect(f"{reverse('bring:table', args=[put(data)])}?{urlencode(said)}")


@require_http_methods(["GET", "HEAD", "POST"])
def table(request: HttpRequest, sha256: str) -> HttpResponse:
    """Map the columns and see what would happen; posted, it happens."""
    said = request.POST if request.method == "POST" else request.GET
    try:
        told = mapped(sha256, said)
    except Refused as problem:
        return render(request, "bring/index.html", {"problem": str(problem)}, status=422)
    if request.method != "POST":
        return _page(request, told, sha256)
    if len(told.sheet.rows) > _AT_ONCE:
        words = {
            "file": sha256,
            "name": told.name,
            "sheet": told.number,
            "kind": told.kind,
            "columns": [astuple(column) for column in told.columns],
            "fixed": told.fixed,
            "who": who(request).name,
        }
        return HttpResponseRedirect(reverse("bring:work", args=[jobs.begin("import", words).pk]))
    try:
        outcomes = do_import(told.sheet, told.kind, told.columns, told.fixed, who(request))
    except Refused as problem:
        return _page(request, told, sha256, str(problem))
    messages.success(request, _summary(outcomes))
    return HttpResponseRedirect(reverse("week:index"))


@require_http_methods(["GET", "HEAD", "POST"])
def working(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """How a large import stands; posted, it is stopped."""
    job = get_object_or_404(Job, pk=key)
    if job.kind != "import":
        raise Http404("This is another kind of work.")
    if request.method == "POST":
        jobs.stop(job)
        return HttpResponseRedirect(reverse("bring:work", args=[key]))
    job = jobs.look(key)
    part = request.htmx
    known = {
        "job": job,
        "open": job.state in (Job.State.WAITING, Job.State.RUNNING),
        "percent": round(100 * job.done),
    }
    return render(request, "bring/standing.html" if part else "bring/work.html", known)


def _page(request: HttpRequest, told: Mapped, sha256: str, problem: str = "") -> HttpResponse:
    first = Sheet(told.sheet.name, told.sheet.headings, told.sheet.rows[:_SHOWN])
    outcomes: list[Outcome] = []
    try:
        outcomes = try_import(first, told.kind, told.columns, told.fixed)
    except Refused as refusal:
        problem = problem or str(refusal)
    refused = sum(o.fate == "refused" for o in outcomes)
    known = {
        "told": told,
        "sha256": sha256,
        "columns": [
            (column, next((row[n] for row in told.sheet.rows if row[n]), ""))
            for n, column in enumerate(told.columns)
        ],
        "units": UNITS,
        "outcomes": outcomes,
        "rows": len(told.sheet.rows),
        "refused": refused,
        "may": bool(outcomes) and not refused,
        "problem": problem,
    }
    return render(request, "bring/table.html", known, status=422 if problem else 200)


def _summary(outcomes: list[Outcome]) -> str:
    count = {fate: sum(o.fate == fate for o in outcomes) for fate in ("done", "known", "left out")}
    words = f"{count['done']} rows are in the book."
    if count["known"]:
        words += f" {count['known']} were in it before."
    return words + (f" {count['left out']} were left out." if count["left out"] else "")
