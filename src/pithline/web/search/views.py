"""Search over everything."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pithline.web.search.finding import search

__all__ = ["index"]

_LONGEST = 200


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """What was found."""
    text = request.GET.get("q", "").strip()[:_LONGEST]
    return render(request, "search/index.html", {"searched": text, "found": search(text)})
