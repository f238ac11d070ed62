"""What every page knows about the book."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest

from pithline import __version__

__all__ = ["book"]

# Page, name in the navigation: our own words for the trade's places.
PAGES = (
    ("week", "This week"),
    ("logs", "Logs"),
    ("tally", "Tally"),
    ("rack", "Rack"),
    ("settings", "Settings"),
)


def book(request: HttpRequest) -> dict[str, Any]:
    """Navigation and version for the frame of every page."""
    match = request.resolver_match
    return {"pages": PAGES, "here": match.namespace if match else "", "version": __version__}
