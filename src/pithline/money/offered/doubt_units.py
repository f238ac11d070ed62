"""In which unit each doubtful figure of an offer stands, for whoever shows it."""

from __future__ import annotations

__all__ = ["UNITS"]

UNITS = {
    "girth": "m",
    "length": "m",
    "taper": "m/m",
    "size": "fraction",
    "quality": "fraction",
    "realised yield": "fraction",
    "price level": "fraction",
    "downgraded in drying": "fraction",
    "sawing time": "fraction",
    "time between cuts": "fraction",
    "set-up": "h",
    "handling a trip": "h",
    "drying time": "month",
    "time to sell": "month",
    "other hours": "fraction",
}
"""By the name of the figure, see `log_sum.doubtful` and `OfferedLog.sizes`."""
