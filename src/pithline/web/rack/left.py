"""What is left of a slab once it is dry and flat: the size that things are cut from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from pithline.errors import BadValue
from pithline.saw.aims import Aims
from pithline.saw.thickness import dry_thickness, flattening_for
from pithline.slab.clear import Allowance, Band, clear_bands
from pithline.slab.outline import SlabOutline
from pithline.units import show_share
from pithline.wood.shrinkage import fibre_saturation, shrinkage_to, totals
from pithline.yard.models import Size

__all__ = ["Left", "left_of", "left_of_planned"]


@dataclass(frozen=True, slots=True)
class Left:
    """A slab's outline and thickness once dry and flattened, and how we come to them.

    Attributes
    ----------
    bands : tuple of Band
        Clear wood.
    outline : SlabOutline
        Both faces at that size.
    thickness : float
        Finished. [m]
    why : tuple of str
    """

    bands: tuple[Band, ...]
    outline: SlabOutline
    thickness: float
    why: tuple[str, ...]


def left_of(
    outline: SlabOutline, state: Any, species: str, moisture: float, allowance: Allowance | None = None
) -> Left:
    """Clear wood and thickness of a measured slab.

    Parameters
    ----------
    outline : SlabOutline
        As it is in `state`.
    state : str
        Of its size: green, dry or flattened.
    species : str
    moisture : float
        It is dried to. [fraction]
    allowance : Allowance, optional
        Strips to leave; its shrinkage is worked out here.

    Notes
    -----
    A green slab is taken to shrink tangentially both ways, the most that wood does: a
    piece promised from a green slab must still be there when it is dry.
    """
    why: list[str] = []
    shrink = _shrinkage(species, moisture) if state == Size.State.GREEN else 0.0
    if shrink is None:
        shrink = 0.0
        why.append(f"No shrinkage is known for {species}: the size is as measured.")
    elif shrink:
        why.append(
            f"Shrunk by {show_share(shrink)}, the most across the grain from green to {show_share(moisture)}."
        )
    thickness = float(dry_thickness(outline.thickness, shrink))
    width = float(outline.wide_width.max()) * (1 - shrink)
    if state != Size.State.FLATTENED:
        off = float(flattening_for(width, Aims(()).flattening))
        thickness = max(thickness - off, 0.0)
        why.append(f"Flattening takes {off * 1000:.0f} mm off a slab so wide (common practice, no source).")
    allowance = replace(allowance or Allowance(), across=shrink)
    dry = SlabOutline(outline.z, outline.upper * (1 - shrink), outline.lower * (1 - shrink), thickness)
    return Left(clear_bands(outline, allowance), dry, thickness, tuple(why))


def left_of_planned(planned: dict, allowance: Allowance | None = None) -> Left | None:
    """Clear wood of a slab that is only planned, from its part of the plan's document; None without a run."""
    kept = planned["outline"]
    z, upper, lower = (np.asarray(kept[k], float) for k in ("z_m", "upper_edges_m", "lower_edges_m"))
    outline = SlabOutline(z, upper, lower, planned["green_m"])
    mean = planned["mean_width_m"]
    shrink = max(0.0, 1 - planned["dry_width_m"] / mean) if mean else 0.0
    allowance = allowance or Allowance()
    allowance = replace(
        allowance,
        across=min(shrink, 0.3),
        trim_butt=max(allowance.trim_butt, planned["run_start_m"] - float(z[0])),
        trim_top=max(allowance.trim_top, float(z[-1]) - planned["run_end_m"]),
    )
    bands = clear_bands(outline, allowance)
    if not bands:
        return None
    dry = SlabOutline(z, upper * (1 - shrink), lower * (1 - shrink), planned["finished_m"])
    return Left(bands, dry, planned["finished_m"], ())


@lru_cache(maxsize=256)
def _shrinkage(name: str, moisture: float) -> float | None:
    """Tangential shrinkage from green; None where the wood is not known. [fraction]"""
    from pithline.wood.species import species

    try:
        wood = species(name, "species")
    except BadValue:
        return None
    return float(shrinkage_to(totals(wood).tangential.mid, moisture, fibre_saturation(wood)))
