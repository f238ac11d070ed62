"""Forms made from entry kinds: asked, kept, refused and done in one place.

A room says which kind it asks for and where to go when it is done::

    form = form_of("take_log", reverse("logs:new"), offers={"place": places()})
    if request.method == "POST":
        return submit(request, form, page, to=lambda done: reverse("logs:log", args=[done.subject.number]))
    return page(request, form)

and its page includes ``form/entry.html``, which is also what a refused form sent by
htmx gets back, with status 422.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from pithline.errors import Refused
from pithline.web.form import ENTRY, Form, form_of, identity
from pithline.yard.ids import new_id
from pithline.yard.kinds import Clash, Done, Who, perform
from pithline.yard.preferences import setting

__all__ = ["Form", "form_of", "leave", "refused", "sent_identity", "submit", "who"]

_MORE = "_more"
_SENT_BEFORE = (
    "This form was sent before with other words, and that entry stands. Send again to enter this one too."
)
Page = Callable[[HttpRequest, Form, int], HttpResponse]


def submit(
    request: HttpRequest,
    form: Form,
    page: Page,
    to: str | Callable[[Done], str],
    told: str | Callable[[Done], str] = "",
    fragment: Page | None = None,
) -> HttpResponse:
    """Do the posted entry, or show the form again with the reason.

    Parameters
    ----------
    request : HttpRequest
        The post.
    form : Form
        As it was shown; its words are read from the post.
    page : callable (request, form, status)
        Shows the whole page around the form, for who has no script.
    to : str or callable (Done) -> str
        Where to go then.
    told : str or callable (Done) -> str, optional
        What to say there.
    fragment : callable (request, form, status), optional
        Shows the form alone, for htmx; ``form/entry.html`` where left out.
    """
    form = form.sent(request)
    if _MORE in request.POST:
        more = replace(form.asking, more=request.POST[_MORE])
        return refused(request, replace(form, asking=more), page, 200, fragment)
    try:
        done = perform(form.kind, form.to_enter, who=who(request), id=form.entry)
    except Clash as clash:
        again = replace(form, entry=new_id(), general=_SENT_BEFORE)
        return refused(
            request, again if clash.field == "entry" else form.with_problem(clash), page, 422, fragment
        )
    except Refused as problem:
        return refused(request, form.with_problem(problem), page, 422, fragment)
    text = told(done) if callable(told) else told
    if text:
        messages.success(request, text)
    return leave(request, to(done) if callable(to) else to)


def refused(
    request: HttpRequest, form: Form, page: Page, status: int = 422, fragment: Page | None = None
) -> HttpResponse:
    """The form with what was typed: alone for htmx, else on its page."""
    if getattr(request, "htmx", False):
        if fragment:
            return fragment(request, form, status)
        return render(request, "form/entry.html", {"form": form}, status=status)
    return page(request, form, status)


def leave(request: HttpRequest, address: str) -> HttpResponse:
    """Go to another page after a post, with and without script."""
    if getattr(request, "htmx", False):
        return HttpResponse(status=200, headers={"HX-Redirect": address})
    answer = HttpResponseRedirect(address)
    answer.status_code = 303  # the browser goes on by GET, so that "back" and "reload" do not post again
    return answer


def who(request: HttpRequest) -> Who:
    """Who enters: the name set for this device under Settings, else the book's."""
    session = getattr(request, "session", {})
    return Who(name=session.get("who") or setting("person") or "", device=session.get("device", ""))


def sent_identity(request: HttpRequest) -> uuid.UUID | None:
    """The identity that a form carried, for buttons that are a form of their own."""
    return identity(request.POST.get(ENTRY, ""))
