"""Logs: what was offered, what was agreed, where it lies, and each log's life."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.web.files import attached
from pithline.web.forms import Form, form_of, submit
from pithline.web.logs.life import next_step, steps
from pithline.web.logs.shelf import STATES, journal, logs_in, notes
from pithline.web.names import contacts, places, woods
from pithline.yard.ids import new_id
from pithline.yard.kinds import Done
from pithline.yard.models import Log

__all__ = ["answer", "change", "index", "log", "new", "note"]

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

    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return _log_page(request, found, status, answer=form)

    form = _answer_form(found)
    if request.method == "POST":
        return submit(request, form, page, _log_page_of, "The answer is kept.")
    return page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, number: int) -> HttpResponse:
    """Put right what is written about a log."""
    found = _find(number)

    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return _log_page(request, found, status, change=form)

    form = _change_form(found)
    if request.method == "POST":
        return submit(request, form, page, _log_page_of, "Kept.")
    return page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
def note(request: HttpRequest, number: int) -> HttpResponse:
    """Write a note about a log."""
    found = _find(number)

    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return _log_page(request, found, status, note=form)

    form = _note_form(found)
    if request.method == "POST":
        return submit(request, form, page, reverse("logs:log", args=[number]), "The note is kept.")
    return page(request, form)


def _log_page_of(done: Done) -> str:
    return reverse("logs:log", args=[done.subject.number])  # type: ignore[union-attr]


def _new_page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
    return render(request, "logs/new.html", {"form": form}, status=status)


def _answer_form(found: Log) -> Form:
    return form_of(
        "decide_log",
        reverse("logs:answer", args=[found.number]),
        button="Keep this answer",
        fixed={"log": str(found.number)},
        said=_terms(found),
        changes=True,
        offers={"place": places(), "owner_contact": contacts()},
    )


def _change_form(found: Log) -> Form:
    said = _terms(found) | {
        "name": found.name,
        "offered_on": found.offered_on or "",
        "felled_on": found.felled_on or "",
    }
    return form_of(
        "change_log",
        reverse("logs:change", args=[found.number]),
        button="Keep these terms",
        fixed={"log": str(found.number)},
        said=said,
        changes=True,
        offers={"place": places(), "owner_contact": contacts()},
    )


def _note_form(found: Log) -> Form:
    fixed = {"about": f"log {found.number}"}
    return form_of(
        "write_note", reverse("logs:note", args=[found.number]), button="Keep the note", fixed=fixed
    )


def _terms(found: Log) -> dict[str, str]:
    """The terms as they stand, as one would type them."""
    return {
        "owner": found.owner,
        "owner_contact": found.owner_contact.name if found.owner_contact else "",
        "owner_share": "" if found.owner_share is None else f"{found.owner_share * 100:g} %",
        "place": found.place.name if found.place else "",
        **{name: str(getattr(found, name) or "") for name in _TERMS},
    }


def _log_page(
    request: HttpRequest, found: Log, status: int = 200, *, answer: Form | None = None,
    change: Form | None = None, note: Form | None = None,
) -> HttpResponse:  # fmt: skip
    offered = found.state in (Log.State.OFFERED, Log.State.DECLINED)
    known = {
        "log": found,
        "steps": steps(found),
        "next": next_step(found),
        "answer": answer or (_answer_form(found) if offered else None),
        "answering": answer is not None or found.state == Log.State.OFFERED,
        "change": change or _change_form(found),
        "changing": change is not None,
        "note": note or _note_form(found),
        "notes": notes(found),
        "photos": attached(found.pk),
        "about": f"log {found.number}",
        "plans": found.plans.defer("answer", "inputs").select_related("sheet"),
        "slabs": found.slabs.filter(suffix="").count(),
        "journal": journal(found),
        "fresh": new_id,
    }
    return render(request, "logs/log.html", known, status=status)


def _find(number: int) -> Log:
    found = Log.objects.select_related("place", "owner_contact").filter(number=number).first()
    if found is None:
        raise Http404(f"There is no log {number} in the book.")
    return found
