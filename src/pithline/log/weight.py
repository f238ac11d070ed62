"""What a log weighs as it lies."""

from __future__ import annotations

from pithline.log.shape import LogShape
from pithline.log.volume import bark_volume, volume_by_integration
from pithline.wood.density import green_density
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species

__all__ = ["BARK_DENSITY", "green_weight"]

# Green bark of broadleaved trees, low, middle, high. [kg/m3] from memory; wide on purpose.
BARK_DENSITY = (600.0, 850.0, 1100.0)


def green_weight(shape: LogShape, species: Species) -> Estimate:
    """Weight of the freshly felled log with its bark.

    Parameters
    ----------
    shape : LogShape
    species : Species

    Returns
    -------
    weight : Estimate
        [kg]; the range is that of the densities alone, not of the measuring.

    Raises
    ------
    BadValue
        Where nothing is known about the wood's density.

    Notes
    -----
    Wood by `green_density`, bark by `BARK_DENSITY` (from memory). Lows and highs are
    added, as the safe side asks. For lifting, rolling and loads take `high`, weigh where
    you can, and keep to the gear's rated load, the maker's manual and local rules.
    """
    wood, bark = volume_by_integration(shape), bark_volume(shape)
    density = green_density(species)
    low, mid, high = BARK_DENSITY
    return Estimate(
        wood * density.low + bark * low,
        wood * density.mid + bark * mid,
        wood * density.high + bark * high,
        density.guess,
        (*density.basis, "green bark 600 to 1100 kg/m3 [from memory]"),
    )
