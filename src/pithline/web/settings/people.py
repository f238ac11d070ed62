"""Places and the people behind them."""

from __future__ import annotations

from typing import Any

from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.web.forms import Form, form_of, submit
from pithline.web.names import contacts
from pithline.yard.models import Contact, Place

__all__ = ["add_contact", "add_place", "contact", "place", "places"]


@require_safe
def places(request: HttpRequest) -> HttpResponse:
    """Every place and every contact."""
    known = {"places": Place.objects.select_related("contact"), "contacts": Contact.objects.all()}
    return render(request, "settings/places.html", known)


@require_http_methods(["GET", "HEAD", "POST"])
def add_place(request: HttpRequest) -> HttpResponse:
    """A place where logs lie or slabs are kept."""
    here = reverse("settings:place-add")
    return _answer(request, form_of("add_place", here, offers={"contact": contacts()}), "A place")


@require_http_methods(["GET", "HEAD", "POST"])
def add_contact(request: HttpRequest) -> HttpResponse:
    """A person."""
    return _answer(request, form_of("add_contact", reverse("settings:contact-add")), "A person")


@require_http_methods(["GET", "HEAD", "POST"])
def place(request: HttpRequest, pk: str) -> HttpResponse:
    """One place, and what lies there."""
    found = _one(Place, pk)
    said = {
        **{name: getattr(found, name) for name in ("name", "kind", "zone", "access")},
        "contact": found.contact.name if found.contact else "",
        "latitude": _degrees(found.latitude_deg),
        "longitude": _degrees(found.longitude_deg),
    }
    form = form_of(
        "change_place",
        reverse("settings:place", args=[pk]),
        fixed={"place": str(found.pk)},
        said=said,
        offers={"contact": contacts()},
        changes=True,
    )
    known = {"logs": found.logs.all(), "stacks": found.stacks.all()}
    return _answer(request, form, found.name, known)


@require_http_methods(["GET", "HEAD", "POST"])
def contact(request: HttpRequest, pk: str) -> HttpResponse:
    """One person, with their places and logs."""
    found = _one(Contact, pk)
    said = {name: getattr(found, name) for name in ("name", "phone", "email", "address", "note")}
    form = form_of(
        "change_contact",
        reverse("settings:contact", args=[pk]),
        fixed={"contact": str(found.pk)},
        said=said,
        changes=True,
    )
    known = {"logs": found.logs.all(), "places": found.places.all(), "wants": found.wants.all()}
    return _answer(request, form, found.name, known)


def _answer(request: HttpRequest, form: Form, title: str, more: dict[str, Any] | None = None) -> HttpResponse:
    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        known = {"form": form, "title": title, **(more or {})}
        return render(request, "settings/person.html", known, status=status)

    if request.method == "POST":
        return submit(request, form, page, reverse("settings:places"), "Kept.")
    return page(request, form)


def _one(model: type[Model], pk: str) -> Any:
    found = model._default_manager.filter(pk=pk).first()
    if found is None:
        raise Http404("There is no such record in the book.")
    return found


def _degrees(value: float | None) -> str:
    return "" if value is None else f"{value:.6f}".rstrip("0").rstrip(".")
