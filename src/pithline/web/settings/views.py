"""The page settings."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

__all__ = ["index"]


def index(request: HttpRequest) -> HttpResponse:
    """Show the page."""
    return render(request, "settings/index.html")
