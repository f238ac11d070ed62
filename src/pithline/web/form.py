"""A form being filled in: an entry kind, the words so far, and what was refused of them."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from django.http import HttpRequest

from pithline.errors import BadValue, Question, Refused
from pithline.fields import Field, Quantity, Table
from pithline.web.inputs import Asking, Group, Input, Rows, asked, by_name, place_of
from pithline.web.words import words
from pithline.yard.ids import new_id
from pithline.yard.kinds import KINDS

__all__ = ["ENTRY", "Form", "form_of", "identity"]

ENTRY = "_entry"
_SENTENCE = re.compile(r"(?<=[.?]) ")
_ALWAYS = {"decision"}  # said anew each time, also where it is as before


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
            self, said=said, before=self.said, entry=identity(request.POST.get(ENTRY, "")) or self.entry
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
        return replace(
            self, asking=replace(self.asking, problems={place: _reason(problem, _typed(self.said, place))})
        )


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


def _typed(said: Any, place: str) -> Any:
    """What was typed at a place of the form."""
    for name in place.split("."):
        if isinstance(said, Mapping):
            said = said.get(name)
        elif isinstance(said, list) and name.isdigit() and int(name) < len(said):
            said = said[int(name)]
        else:
            return None
    return said


def _reason(problem: BadValue, typed: Any = None) -> str:
    """Rule and remedy without the field's name: it stands beside the field. Of many lines it says which."""
    if problem.rule == "given":  # the remedy tells how a file says it, which is no help on a page
        return "This is needed."
    # What to type in a terminal is no help on a page.
    remedy = " ".join(s for s in _SENTENCE.split(problem.remedy) if "pithline " not in s)
    many = isinstance(typed, list) and len(typed) > 1
    which = many and any(str(problem.value) in str(line) for line in typed)
    must = f'"{problem.value}" must' if which else "Must"
    return f"{must} be {problem.rule}. {remedy}".strip()


def identity(text: str) -> uuid.UUID | None:
    """The identity that a form carried; None where it is none."""
    try:
        return uuid.UUID(text)
    except ValueError:
        return None
