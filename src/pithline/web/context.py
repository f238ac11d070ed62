"""What every page knows about the book."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from pithline import __version__
from pithline.web.door import near

__all__ = ["book"]

# Page, name in the navigation: our own words for the trade's places.
PAGES = (
    ("week", "This week"),
    ("logs", "Logs"),
    ("tally", "Tally"),
    ("rack", "Rack"),
    ("drying", "Drying"),
    ("money", "Money"),
    ("settings", "Settings"),
)
# Rooms that are reached through another page.
_UNDER = {"measure": "logs", "plan": "logs"}


def book(request: HttpRequest) -> dict[str, Any]:
    """Navigation, version and whose book it is, for the frame of every page."""
    match = request.resolver_match
    here = match.namespace if match else ""
    return {
        "pages": PAGES,
        "here": _UNDER.get(here, here),
        "version": __version__,
        "demo": getattr(settings, "PITHLINE_DEMO", False),
        "signed_in": not near(request),
    }
