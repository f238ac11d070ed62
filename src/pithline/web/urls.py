"""Every room under its own name; the week is the front door."""

from __future__ import annotations

from django.urls import include, path

from pithline.web import demo, door
from pithline.web.site import ROOMS

__all__ = ["urlpatterns"]

urlpatterns = [
    path("enter/", door.enter, name="enter"),
    path("leave/", door.sign_out, name="sign-out"),
    path("files/", include("pithline.web.files")),
    path("demo/", demo.look_round, name="demo"),
    path("api/", include("pithline.web.api.urls")),
    *(path("" if room == "week" else f"{room}/", include(f"pithline.web.{room}.urls")) for room in ROOMS),
]
