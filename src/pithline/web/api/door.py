"""Who may use the API, how often, and in what wrapping."""

from __future__ import annotations

import json
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from ninja.errors import HttpError
from ninja.parser import Parser
from ninja.throttling import BaseThrottle, SimpleRateThrottle

from pithline.web.door import trusted
from pithline.yard.tokens import token_of

__all__ = ["OnlyJson", "Pace", "let_in"]


def let_in(request: HttpRequest) -> str | None:
    """Name of whoever asks, or None: by a token, or as the pages are let in.

    That a request without a token comes from our own pages is `web.guard`'s to see to:
    it stands before every address of the book.
    """
    kind, _, text = request.headers.get("Authorization", "").partition(" ")
    if kind.lower() == "bearer":
        token = token_of(text.strip())
        return token.name if token else None
    return "a page" if trusted(request) else None


class OnlyJson(Parser):
    """Take a body only when it is called JSON and is JSON.

    A form or text/plain is what another site's page can send without asking first;
    and NaN is no number that a database holds.
    """

    def parse_body(self, request: HttpRequest) -> Any:
        """The body's value, or a refusal; ninja hides it in a plain 400, whence `refusals` digs it out."""
        if request.content_type != "application/json":
            raise HttpError(415, "Send the body as application/json.")
        try:
            return json.loads(request.body, parse_constant=_no_number)
        except (ValueError, RecursionError) as problem:
            raise HttpError(400, f"The body is not JSON: {problem}.") from None


def _no_number(text: str) -> Any:
    raise ValueError(f"{text} is not a number of JSON")


class Pace(BaseThrottle):
    """How often one caller may ask; a phone that hands over a day's entries stays far below."""

    def allow_request(self, request: HttpRequest) -> bool:
        """Whether this one is within the rate."""
        # A new count each time: ninja's keeps the request's state in itself, and threads share it.
        return _Count(getattr(settings, "PITHLINE_API_RATE", "1200/min")).allow_request(request)

    def wait(self) -> float:
        """Until the next try. [s]"""
        return 60.0


class _Count(SimpleRateThrottle):
    def get_cache_key(self, request: HttpRequest) -> str:
        """By token name and address."""
        caller = f"{getattr(request, 'auth', '')} {request.META.get('REMOTE_ADDR', '')}"
        return f"api-{caller.encode().hex()}"
