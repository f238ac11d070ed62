"""Addresses of the API; its description is /api/openapi.json."""

from __future__ import annotations

from django.urls import path
from ninja import NinjaAPI

from pithline import __version__
from pithline.web.api import entries, kept, reading
from pithline.web.api.door import OnlyJson, Pace, let_in
from pithline.web.api.refusals import answer_refusals

__all__ = ["api", "urlpatterns"]

api = NinjaAPI(
    title="Pithline",
    version=__version__,
    description=(
        "The yard book for programs. Whatever is written is an entry of a kind from /api/kinds, in the words "
        "a person would type, under an identity (UUID) that the sender makes: sent twice, it is done once. "
        "Lengths are in metres; other units stand in the names."
    ),
    urls_namespace="api",
    docs_url=None,  # its page would want scripts from the internet
    auth=let_in,
    throttle=[Pace()],
    parser=OnlyJson(),
)
answer_refusals(api)
api.add_router("", reading.router, tags=["read"])
api.add_router("", kept.router, tags=["read"])
api.add_router("", entries.router, tags=["entries"])

urlpatterns = [path("", api.urls)]
