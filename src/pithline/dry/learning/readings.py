"""One thing that was read in a stack, with its own doubts."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from pithline.dry.learning.meters import DIELECTRIC_DEPTH, Corrected, Meter, Pins
from pithline.dry.learning.weighing import Weights, weigh
from pithline.errors import BadValue

__all__ = ["Beyond", "Reading", "Sees", "from_meter", "from_weights"]

# How far a slab's mean may be off beside what rate and start explain: a guess. [fraction]
MODEL_MEAN = 0.008
# How far the wood at one spot may be from the wood at that depth (rings, knots, sapwood) and the model from
# both, once the profile may be flatter or steeper (`likelihood.SHAPE`): benchmarks/depth_doubt.py leaves
# 0.1 to 1 % of moisture. Of one reading, and again of all that a meter read. [fraction]
MODEL_AT_DEPTH = 0.010
# Tips of insulated pins are some millimetres long and a sawn face is rough; what a plate sees has no
# sharp end. Guesses. [m]
TIP_DOUBT, PLATE_DOUBT = 0.0015, 0.005


class Sees(StrEnum):
    """What part of the thickness a reading is about."""

    DEPTH = "depth"  # tips of insulated pins
    WETTEST = "wettest"  # bare pins: the wettest layer down to the tips
    OUTER = "outer"  # a meter without pins
    MEAN = "mean"  # a weight with a known oven-dry weight
    SHARE = "share"  # a weight against the green one


class Beyond(StrEnum):
    """Whether a value is a value, or only a bound."""

    NO = ""
    WETTER = "wetter"
    DRIER = "drier"


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that was read in a stack.

    Attributes
    ----------
    day : float
        Since the course began.
    sees : Sees
    value : float
        Moisture [fraction]; of `Sees.SHARE` the weight over the green one.
    noise : float
        Standard deviation of this reading alone, in the same measure.
    bias : float
        Of what it shares with the readings of the same `source`.
    source : str
        The meter in this wood, the block, the slab.
    depth : float
        Of the tips, or of what is seen. [m]
    beyond : Beyond
    depth_doubt : float
        Standard deviation of `depth`: near the face a millimetre is 1 to 4 % of moisture. [m]
    """

    day: float
    sees: Sees
    value: float
    noise: float
    bias: float = 0.0
    source: str = ""
    depth: float = 0.0
    beyond: Beyond = Beyond.NO
    depth_doubt: float = 0.0


def from_meter(day: float, found: Corrected, meter: Meter, depth: float, source: str = "meter") -> Reading:
    """A corrected meter reading as it is set against the model.

    Parameters
    ----------
    day : float
    found : Corrected
    meter : Meter
    depth : float
        Of the tips below the face; not asked of a meter without pins. [m]
    source : str

    Raises
    ------
    BadValue
        Pins without a depth: a reading that could be anywhere between face and core.
    """
    doubt = TIP_DOUBT
    if meter.pins is Pins.PINLESS:
        sees, depth, doubt = Sees.OUTER, DIELECTRIC_DEPTH, PLATE_DOUBT
    elif depth > 0:
        sees = Sees.DEPTH if meter.pins is Pins.INSULATED else Sees.WETTEST
    else:
        raise BadValue("depth", depth, "how deep the tips were", 'Write "15 mm"; a fifth of the thickness.')
    beyond = Beyond.WETTER if found.wet else Beyond.DRIER if found.dry else Beyond.NO
    noise, bias = (math.hypot(each, MODEL_AT_DEPTH) for each in (found.noise, found.bias))
    return Reading(day, sees, found.moisture, noise, bias, source, depth, beyond, doubt)


def from_weights(piece: Weights) -> tuple[Reading, ...]:
    """Each weighing of a piece as it is set against the model; refusals as in `weigh`.

    Where the oven-dry weight is known, the green weight is a reading too: it tells the start, even
    of a piece that was never weighed again.
    """
    if piece.dry is None:
        found = weigh(piece)
    else:
        found = weigh(replace(piece, days=(0.0, *piece.days), weights=(piece.green, *piece.weights)))
    readings = []
    for each in found:
        known = each.moisture is not None
        # Of the green weight, moisture is less than a whole: about half in wet wood.
        model = MODEL_MEAN if known else MODEL_MEAN / 1.5
        readings.append(
            Reading(
                each.day,
                Sees.MEAN if known else Sees.SHARE,
                each.moisture if each.moisture is not None else each.share,
                math.hypot(each.noise, model),
                math.hypot(each.bias, model),
                piece.name,
            )
        )
    return tuple(readings)
