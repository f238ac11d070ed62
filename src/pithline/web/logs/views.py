"""Logs: what was offered, what was agreed, where it lies, and each log's life."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.web.forms import Form, form_of, submit
from pithline.web.logs.life import next_step, steps
from pithline.web.logs.shelf import STATES, journal, logs_in
from pithline.web.names import contacts, places, woods
from pithline.yard.kinds import Done
from pithline.yard.models import Log

__all__ = ["answer", "index", "log", "new"]

_TERMS = ("consent_on", "answer_by", "saw_on", "agreed", "note")


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """List every log, or those of one state."""
    state = request.GET.get("state", "")
    return render(request, "logs/index.html", {"logs": logs_in(state), "states": STATES, "state": state})


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Enter a log that was offered."""
    form = form_of(
        "take_log",
        reverse("logs:new"),
        button="Enter this log",
        offers={"place": places(), "owner_contact": contacts(), "species": woods()},
    )
    if request.method == "POST":
        told = "It is in the book. Write its number on the wood."
        return submit(request, form, _new_page, _log_page_of, told)
    return _new_page(request, form)


@require_safe
def log(request: HttpRequest, number: int) -> HttpResponse:
    """One log, the next thing to do on top."""
    return _log_page(request, _find(number))


@require_http_methods(["GET", "HEAD", "POST"])
def answer(request: HttpRequest, number: int) -> HttpResponse:
    """Take an offered log or decline it."""
    found = _find(number)
    form = _answer_form(found)
    if request.method == "POST":
        return submit(
            request,
            form,
            lambda r, f, status: _log_page(r, found, f, status),
            _log_page_of,
            lambda done: f"Log {done.subject} is {done.subject.get_state_display()}.",
        )
    return _log_page(request, found, form)


def _log_page_of(done: Done) -> str:
    return reverse("logs:log", args=[done.subject.number])  # type: ignore[union-attr]


def _new_page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
    return render(request, "logs/new.html", {"form": form}, status=status)


def _answer_form(found: Log) -> Form:
    said = {
        "owner": found.owner,
        "owner_contact": found.owner_contact.name if found.owner_contact else "",
        "place": found.place.name if found.place else "",
        **{name: getattr(found, name) or "" for name in _TERMS},
    }
    if found.owner_share is not None:
        said["owner_share"] = f"{found.owner_share * 100:g} %"
    return form_of(
        "decide_log",
        reverse("logs:answer", args=[found.number]),
        button="Keep this answer",
        fixed={"log": str(found.number)},
        said=said,
        offers={"place": places(), "owner_contact": contacts()},
    )


def _log_page(request: HttpRequest, found: Log, form: Form | None = None, status: int = 200) -> HttpResponse:
    open_still = found.state in (Log.State.OFFERED, Log.State.TAKEN, Log.State.DECLINED)
    known = {
        "log": found,
        "steps": steps(found),
        "next": next_step(found),
        "answer": form or (_answer_form(found) if open_still else None),
        "answering": form is not None or found.state == Log.State.OFFERED,
        "journal": journal(found),
    }
    return render(request, "logs/log.html", known, status=status)


def _find(number: int) -> Log:
    found = Log.objects.select_related("place", "owner_contact").filter(number=number).first()
    if found is None:
        raise Http404(f"There is no log {number} in the book.")
    return found
