"""The page measure."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

__all__ = ["index"]


def index(request: HttpRequest, number: int = 0) -> HttpResponse:
    """Show the page."""
    return render(request, "measure/index.html", {"number": number})
