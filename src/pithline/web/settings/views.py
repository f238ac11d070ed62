"""Settings: everything that shapes a result, each with its default and where that comes from."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pithline.web import passphrase
from pithline.web.door import near
from pithline.web.settings.preferences import rows
from pithline.web.settings.profiles import SORTS
from pithline.yard.models import Contact, Place, Profile

__all__ = ["index"]


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """What is set, and what may be."""
    profiles = list(Profile.objects.all())
    known = {
        "rows": rows(),
        "sorts": [(kind, title, [p for p in profiles if p.kind == kind]) for kind, title in SORTS.items()],
        "places": Place.objects.count(),
        "contacts": Contact.objects.count(),
        "locked": passphrase.is_set(),
        "near": near(request),
        "who": request.session.get("who", ""),
    }
    return render(request, "settings/index.html", known)
