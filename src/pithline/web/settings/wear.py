"""A mill's hours, and its parts that wear: how long each has run and how long it usually lasts."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from pithline.web.forms import Form, form_of, submit
from pithline.yard.models import Part, Profile

__all__ = ["Wear", "hours", "hours_form", "part", "part_form", "parts_of"]


@dataclass(frozen=True, slots=True)
class Wear:
    """A part and what is left of it. Hours; None where nobody said."""

    part: Part
    run: float | None
    left: float | None


def parts_of(mill: Profile) -> list[Wear]:
    """Every part of a mill, with the hours it has run since it was fitted."""
    found = []
    for part in mill.parts.all():
        run = None if part.fitted_at_hours is None else (mill.hours or 0.0) - part.fitted_at_hours
        left = None if run is None or part.life_hours is None else part.life_hours - run
        found.append(Wear(part, run, left))
    return found


def part_form(mill: Profile) -> Form:
    """Fit a part, or count its spares."""
    here = reverse("settings:part", args=[mill.pk])
    return form_of("fit_part", here, button="Note the part", fixed={"mill": str(mill.name)})


def hours_form(mill: Profile) -> Form:
    """Hours run."""
    here = reverse("settings:hours", args=[mill.pk])
    return form_of("run_hours", here, button="Add the hours", fixed={"mill": str(mill.name)})


@require_http_methods(["GET", "HEAD", "POST"])
def part(request: HttpRequest, pk: str) -> HttpResponse:
    """A part that was fitted."""
    mill = _find(pk)
    return _answer(request, mill, part_form(mill), "A part of")


@require_http_methods(["GET", "HEAD", "POST"])
def hours(request: HttpRequest, pk: str) -> HttpResponse:
    """Hours that a mill ran."""
    mill = _find(pk)
    return _answer(request, mill, hours_form(mill), "Hours of")


def _answer(request: HttpRequest, mill: Profile, form: Form, what: str) -> HttpResponse:
    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        known = {"form": form, "title": f"{what} {mill.name}"}
        return render(request, "settings/person.html", known, status=status)

    if request.method == "POST":
        return submit(request, form, page, reverse("settings:profile", args=["mill", mill.pk]), "Kept.")
    return page(request, form)


def _find(pk: str) -> Profile:
    mill = Profile.objects.filter(kind=Profile.Kind.MILL, pk=pk).first()
    if mill is None:
        raise Http404("There is no such mill in the book.")
    return mill
