"""How large drawings are made for the rack's pages: small paper, so that a phone shows readable numbers."""

from __future__ import annotations

__all__ = ["TEXT", "WIDTH"]

WIDTH = 115.0  # of the drawing; a phone shows it some 90 mm wide [mm]
TEXT = 4.2  # height of the numbers [mm]
