"""Forecasts of drying times kept in memory: pages are redrawn more often than their place changes."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np

    from pithline.money.offered.drying_time import DryingAir, DryingTime
    from pithline.wood.facts import Species

__all__ = ["kept_forecast"]

_MOST = 64
_kept: dict[tuple[Any, ...], DryingTime] = {}
_lock = threading.Lock()


def kept_forecast(
    wood: Species, greens: Sequence[float], air: DryingAir, rng: np.random.Generator
) -> DryingTime:
    """As `forecast_time`, once for each wood, range of thickness, place, day and dryness."""
    from pithline.money.offered.drying_time import forecast_time

    months = air.months
    year = (months.temperature.tobytes(), months.emc.tobytes(), months.bias_emc, months.name)
    key = (wood.name, min(greens), max(greens), air.stacked, air.to, *year)
    with _lock:
        found = _kept.get(key)
    if found is None:
        found = forecast_time(wood, greens, air, rng)
        with _lock:
            if len(_kept) >= _MOST:
                _kept.clear()
            _kept[key] = found
    return found
