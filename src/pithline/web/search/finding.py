"""Search over everything: what holds all the words, wherever they stand."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.db.models import Model, Q, QuerySet
from django.urls import reverse

from pithline.yard.models import Contact, Log, Note, Place, Plan, Slab, Stack, Want

__all__ = ["Found", "search"]

_MOST = 30  # of each sort


@dataclass(frozen=True, slots=True)
class Found:
    """One sort of record that was found."""

    title: str
    rows: tuple[tuple[str, str, str], ...]  # words, more words, address
    more: bool


def search(text: str) -> list[Found]:
    """Everything in the book that holds every word of the text; a number finds log and slab.

    Parameters
    ----------
    text : str
        Words in any order and case; "14-3" is a slab.
    """
    words = text.replace("\x00", "").split()[:8]
    if not words:
        return []
    sorts: tuple[tuple[str, QuerySet[Any], tuple[str, ...], Callable[[Any], tuple[str, str, str]]], ...] = (
        (
            "Logs",
            Log.objects.select_related("place"),
            ("name", "species", "agreed", "note", "number", "place__name", "owner_contact__name"),
            lambda log: (str(log), f"{log.species}, {log.get_state_display()}", _log(log)),
        ),
        (
            "Slabs",
            Slab.objects.select_related("log", "place", "stack"),
            ("species", "figure", "note", "log__name", "place__name", "stack__name"),
            lambda slab: (slab.label, f"{slab.species}, {slab.get_state_display()}", _slab(slab)),
        ),
        (
            "Plans",
            Plan.objects.select_related("log").defer("answer", "inputs"),
            ("name", "log__name"),
            lambda plan: (f"Plan {plan.number} of log {plan.log}", plan.name, _plan(plan)),
        ),
        (
            "Places",
            Place.objects.all(),
            ("name", "access"),
            lambda place: (place.name, place.get_kind_display(), _people("place", place)),
        ),
        (
            "Contacts",
            Contact.objects.all(),
            ("name", "phone", "email", "note"),
            lambda contact: (contact.name, contact.phone, _people("contact", contact)),
        ),
        (
            "Stacks",
            Stack.objects.select_related("place"),
            ("name", "note", "place__name"),
            lambda stack: (stack.name, str(stack.place or ""), reverse("rack:index")),
        ),
        (
            "Asked for",
            Want.objects.select_related("contact"),
            ("what", "species", "note", "contact__name"),
            lambda want: (want.what, str(want.contact or ""), reverse("rack:index")),
        ),
        ("Notes", Note.objects.all(), ("text",), lambda note: (note.text[:160], "", _subject(note))),
    )
    found = []
    for title, rows, columns, told in sorts:
        hit = rows.filter(_all_words(words, columns))
        if title == "Slabs":
            hit = rows.filter(_all_words(words, columns) | _numbered(text))
        some = list(hit[: _MOST + 1])
        if some:
            found.append(Found(title, tuple(told(row) for row in some[:_MOST]), len(some) > _MOST))
    return found


def _all_words(words: list[str], columns: tuple[str, ...]) -> Q:
    every = Q()
    for word in words:
        anywhere = Q()
        for column in columns:
            if column == "number":
                if word.isascii() and word.isdigit() and len(word) < 10:
                    anywhere |= Q(number=int(word))
            else:
                anywhere |= Q(**{f"{column}__icontains": word})
        every &= anywhere
    return every


def _numbered(text: str) -> Q:
    """The slab with this number on the wood, or none."""
    written = re.fullmatch(r"(\d{1,9})-(\d{1,9})([a-z]*)", text.strip().lower())
    if not written:
        return Q(pk__in=())
    one = Q(log__number=int(written[1]), number=int(written[2]))
    return one & Q(suffix=written[3]) if written[3] else one


def _log(log: Log) -> str:
    return reverse("logs:log", args=[log.number])


def _plan(plan: Plan) -> str:
    return f"{reverse('plan:index')}{plan.log.number}/"


def _slab(slab: Slab) -> str:
    return f"{reverse('rack:index')}{slab.label}/"


def _people(sort: str, row: Model) -> str:
    return reverse(f"settings:{sort}", args=[row.pk])


def _subject(note: Note) -> str:
    if note.subject_kind == "Log":
        log = Log.objects.filter(pk=note.subject).first()
        return _log(log) if log else reverse("logs:index")
    if note.subject_kind == "Slab":
        slab = Slab.objects.select_related("log").filter(pk=note.subject).first()
        return _slab(slab) if slab else reverse("rack:index")
    return reverse("logs:index")
