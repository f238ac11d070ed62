"""Every room under its own name; the week is the front door."""

from __future__ import annotations

from django.urls import include, path

from pithline.web.site import ROOMS

__all__ = ["urlpatterns"]

urlpatterns = [
    path("api/", include("pithline.web.api.urls")),
    *(path("" if room == "week" else f"{room}/", include(f"pithline.web.{room}.urls")) for room in ROOMS),
]
