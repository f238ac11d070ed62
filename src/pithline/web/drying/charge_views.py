"""How a kiln load lies: asked for, reckoned beside the server, looked at, entered by one press."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from pithline.errors import BadValue, Refused
from pithline.web.drying.charge import cost_in_book, pays, shown
from pithline.web.drying.load_views import find
from pithline.web.forms import leave, sent_identity, who
from pithline.web.inputs import Asking, asked, place_of
from pithline.web.words import words
from pithline.yard import jobs
from pithline.yard.charge_facts import candidates, laying, laying_table, room_sources
from pithline.yard.charge_kept import WORK, charge_kept, entered, last_job, still_holds
from pithline.yard.ids import new_id
from pithline.yard.kinds import perform
from pithline.yard.models import Entry, Job, KilnLoad
from pithline.yard.money import amount, currency
from pithline.yard.preferences import setting

__all__ = ["charge", "work"]

_OPEN = (Job.State.WAITING, Job.State.RUNNING)
_CHANGED = "Slabs, sizes or the kiln have changed since this was reckoned: lay it anew."


@require_http_methods(["GET", "HEAD", "POST"])
def charge(request: HttpRequest, number: int) -> HttpResponse:
    """The load as it was laid, and the form to lay it; posted, a plan of it is begun."""
    found = find(number)
    if request.method != "POST":
        return _page(request, found, _begun(found, request.GET.get("like", "")))
    table = laying_table(found)
    said: dict[str, Any] = {
        "words": words(table, request.POST),
        "slabs": request.POST.getlist("slab"),
        "must": request.POST.getlist("must"),
    }
    try:
        if found.ended_at is not None:
            raise BadValue("load", str(found.number), "one that has not ended", "Undo its end to lay it.")
        laying(found, said["words"], said["slabs"], said["must"])
    except Refused as problem:
        return _page(request, found, said, problem)
    job = jobs.begin(WORK, {"load": found.number, **said})
    return leave(request, reverse("drying:charge-work", args=[number, job.pk]))


@require_http_methods(["GET", "HEAD", "POST"])
def work(request: HttpRequest, number: int, key: uuid.UUID) -> HttpResponse:
    """How far a plan of the load is, and the plan; posted, it is stopped, or entered."""
    found = find(number)
    job = get_object_or_404(Job, pk=key, kind=WORK, said__load=number)
    problem = ""
    if request.method == "POST" and request.POST.get("do") == "stop":
        jobs.stop(job)
        return HttpResponseRedirect(reverse("drying:charge-work", args=[number, key]))
    job = jobs.look(key)
    known: dict[str, Any] = {
        "load": found,
        "job": job,
        "open": job.state in _OPEN,
        "percent": round(100 * job.done),
        "entry": new_id(),
    }
    if job.state == Job.State.DONE:
        from pithline.sheets.charge_back import charge_of

        assert job.result is not None
        made = charge_of(job.result["layout"])
        if request.method == "POST":
            entry = sent_identity(request)
            if entry and Entry.objects.filter(id=entry, kind="change_load").exists():
                return leave(request, reverse("drying:charge", args=[number]))  # pressed twice
            try:
                if not still_holds(job):
                    raise BadValue("load", str(number), "as it was when it was laid", _CHANGED)
                said = entered(found, job.result["layout"])
                perform("change_load", said, who=who(request), id=entry)
                messages.success(request, f"{str(found).capitalize()} is laid so. The journal undoes it.")
                return leave(request, reverse("drying:charge", args=[number]))
            except Refused as refused:
                problem = str(refused)
        known |= _told(found, made, None) | {"remarks": job.result["remarks"], "holds": still_holds(job)}
    known["problem"] = problem
    name = "drying/_charge_work.html" if request.htmx else "drying/charge_work.html"
    return render(request, name, known, status=422 if problem else 200)


def _begun(found: KilnLoad, like: str) -> dict[str, Any]:
    """What the form begins with: an earlier asking, else the load as it is."""
    try:
        job = Job.objects.filter(pk=uuid.UUID(like), kind=WORK, said__load=found.number).first()
    except ValueError:
        job = None
    if job is not None:
        return {name: job.said[name] for name in ("words", "slabs", "must")}
    return {"words": {}, "slabs": [one.slab.label for one in candidates(found) if one.inside], "must": []}


def _page(
    request: HttpRequest, found: KilnLoad, said: Mapping[str, Any], problem: Refused | None = None
) -> HttpResponse:
    table, system = laying_table(found), setting("system")
    place = place_of(problem.field, table.name) if isinstance(problem, BadValue) else ""
    beside = place in [field.name for field in table.fields]
    how = Asking(
        problems={place: str(problem)} if beside else {},
        sources={
            **room_sources(found),
            "stick": "common practice, no source",
            "tolerance": "common practice, no source",
        },
    )
    known: dict[str, Any] = {
        "load": found,
        "system": system,
        "inputs": asked(table, said["words"], how),
        "slabs": [
            (one, one.slab.label in said["slabs"], one.slab.label in said["must"])
            for one in candidates(found)
        ],
        "guessed": [name for name, why in room_sources(found).items() if why.startswith("guessed")],
        "about_slabs": str(problem) if problem and not beside else "",
        "cost_said": request.GET.get("cost", ""),
    }
    status = 422 if problem else 200
    job = last_job(found)
    if job is not None and (job.state in _OPEN or _waits(job, found)):
        known |= {"job": job, "open": job.state in _OPEN}
    made = charge_kept(found)
    if made is not None:
        try:
            known |= _told(found, made, _cost(known["cost_said"]))
        except Refused as wrong:
            known |= _told(found, made, None) | {"cost_problem": str(wrong)}
            status = 422
    return render(request, "drying/charge.html", known, status=status)


def _waits(job: Job, found: KilnLoad) -> bool:
    """Whether a plan is there that was not entered."""
    return job.state == Job.State.DONE and (job.result or {}).get("layout") != found.layout


def _told(found: KilnLoad, made: Any, cost: tuple[float, str] | None) -> dict[str, Any]:
    """Words, drawing, shares."""
    kept = cost_in_book(found)
    money = cost or (None if kept is None else (kept, currency()))
    shares, air = pays(found, made, money[0] if money else None)
    return {
        "shown": shown(made, str(found).capitalize(), setting("system")),
        "shares": shares,
        "air": air,
        "money": money,
        "typed": cost is not None,
    }


def _cost(text: str) -> tuple[float, str] | None:
    if not text.strip():
        return None
    said = amount(text.strip(), "cost")
    return float(said.value), said.code or currency()
