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
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from pithline.errors import BadValue, Question, Refused
from pithline.fields import Field, Quantity, Table
from pithline.web.inputs import Asking, Group, Input, Rows, asked, by_name, place_of
from pithline.web.words import words
from pithline.yard.ids import new_id
from pithline.yard.kinds import KINDS, Clash, Done, Who, perform
from pithline.yard.preferences import setting

__all__ = ["Form", "form_of", "leave", "refused", "sent_identity", "submit", "who"]

ENTRY, MORE = "_entry", "_more"
_ALWAYS = {"decision"}  # said anew each time, also where it is as before
_SENT_BEFORE = (
    "This form was sent before with other words, and that entry stands. Send again to enter this one too."
)
Page = Callable[[HttpRequest, "Form", int], HttpResponse]


@dataclass(frozen=True, slots=True)
class Form:
    """One entry being made.

    Attributes
    ----------
    kind : str
        Of the entry.
    table : Table
        What it asks for.
    action : str
        The address it is sent to.
    button : str
        What the person does by it.
    said, before : mapping
        Words so far; words as they stood before the post.
    fixed : mapping
        Words that the page knows itself, such as which log it is about.
    skip : names that are not asked for
    entry : UUID
        Made when the form was first shown: sent twice, it is one entry.
    general : str
        A refusal that belongs to no single field.
    changes : bool
        It puts right what is written: only what differs is sent, and a text made empty clears.
    entered : callable (words as asked) -> words of the kind
        Where a page asks for an entry in another shape than the kind has.
    """

    kind: str
    table: Table
    action: str
    button: str
    said: Mapping[str, Any] = field(default_factory=dict)
    fixed: Mapping[str, Any] = field(default_factory=dict)
    skip: tuple[str, ...] = ()
    entry: uuid.UUID = field(default_factory=new_id)
    asking: Asking = field(default_factory=Asking)
    before: Mapping[str, Any] = field(default_factory=dict)
    general: str = ""
    files: bool = False
    changes: bool = False
    entered: Callable[[Mapping[str, Any]], Mapping[str, Any]] = dict

    @property
    def by(self) -> dict[str, Input | Group | Rows]:
        """Each part by its own name, for a page that lays them out itself."""
        return by_name(self.parts)

    @property
    def parts(self) -> tuple[Input | Group | Rows, ...]:
        """Everything to fill in."""
        how = replace(self.asking, mark=str(self.entry)[-6:])
        return asked(self.table, self.said, how, {*self.skip, *self.fixed})

    @property
    def id(self) -> str:
        """Of the element; two forms of one kind may stand on a page."""
        return f"form-{self.kind.replace('_', '-')}-{str(self.entry)[-6:]}"

    def sent(self, request: HttpRequest) -> Form:
        """The same form with the words that were posted."""
        skip = {*self.skip, *self.fixed}
        said = words(self.table, request.POST, skip)
        if self.changes:
            said |= {name: "" for name in _emptied(self, said) if name in request.POST}
        return replace(
            self, said=said, before=self.said, entry=_identity(request.POST.get(ENTRY, "")) or self.entry
        )

    @property
    def to_enter(self) -> dict[str, Any]:
        """The words of the entry."""
        said = self.said
        if self.changes:
            said = {k: v for k, v in said.items() if k in _ALWAYS or str(v) != str(self.before.get(k, ""))}
        return {**self.entered(said), **self.fixed}

    def with_problem(self, problem: Refused) -> Form:
        """The same form with a refusal beside the field it speaks of."""
        if not isinstance(problem, BadValue):
            text = problem.question if isinstance(problem, Question) else str(problem)
            return replace(self, general=text)
        place = place_of(problem.field, self.kind)
        names = set(_names(self.parts))
        while place and place not in names:
            place = place.rpartition(".")[0]
        if not place:
            return replace(self, general=str(problem))
        return replace(self, asking=replace(self.asking, problems={place: _reason(problem)}))


def form_of(
    kind: str,
    action: str,
    *,
    button: str = "",
    said: Mapping[str, Any] | None = None,
    fixed: Mapping[str, Any] | None = None,
    only: Sequence[str] = (),
    skip: Sequence[str] = (),
    offers: Mapping[str, Sequence[str]] | None = None,
    sources: Mapping[str, str] | None = None,
    files: bool = False,
    changes: bool = False,
) -> Form:
    """An empty form for one kind of entry.

    Parameters
    ----------
    kind : str
        Its name in the registry.
    action : str
        Address it is sent to.
    button : str, optional
        The kind's title where left out.
    said, fixed : mapping, optional
        Words to begin with; words that are not asked for.
    only, skip : sequence of str, optional
        Names to ask for alone, or not to ask for.
    offers : mapping, optional
        Field name to names that it may take, offered while typing.
    sources : mapping, optional
        Field name to where its default comes from.
    files : bool, optional
        The form carries files.
    changes : bool, optional
        See `Form`.
    """
    known = KINDS[kind]
    left_out = tuple(f.name for f in known.table.fields if only and f.name not in only) + tuple(skip)
    return Form(
        kind,
        known.table,
        action,
        button or known.title,
        said or {},
        fixed or {},
        left_out,
        asking=Asking(offers=offers or {}, sources=sources or {}),
        files=files,
        changes=changes,
    )


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
    if MORE in request.POST:
        more = replace(form.asking, more=request.POST[MORE])
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
    return _identity(request.POST.get(ENTRY, ""))


def _emptied(form: Form, said: Mapping[str, Any]) -> list[str]:
    """Texts that stood there and were taken away; a date or a size is only ever replaced."""
    return [
        f.name
        for f in form.table.fields
        if isinstance(f, Field) and f.quantity is Quantity.TEXT and not f.choices
        if form.said.get(f.name) and f.name not in said
    ]


def _names(parts: Sequence[Input | Group | Rows]) -> list[str]:
    found = []
    for part in parts:
        found.append(part.name)
        inner = part.parts if isinstance(part, Group) else part.rows if isinstance(part, Rows) else ()
        found += _names(inner)
    return found


def _reason(problem: BadValue) -> str:
    """Rule and remedy without the field's name: it stands beside the field."""
    if problem.rule == "given":  # the remedy tells how a file says it, which is no help on a page
        return "This is needed."
    return f"Must be {problem.rule}. {problem.remedy}".strip()


def _identity(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None
