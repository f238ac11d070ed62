"""What a log holds: every figure that follows from its shape alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pithline.errors import BadValue
from pithline.log import scales, volume
from pithline.log.lie import Lie
from pithline.log.outline import mean_diameter
from pithline.log.record import LogRecord
from pithline.log.shape import LogShape
from pithline.log.weight import green_weight
from pithline.units import FOOT, INCH
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species

__all__ = ["LogAccount", "account_for"]


@dataclass(frozen=True, slots=True, eq=False)
class LogAccount:
    """Volumes in m3 under bark but `over_bark` and `bark`; scales in board feet.

    Attributes
    ----------
    integrated : float
        Of the whole shape; the others see the ends or the middle only.
    hoppus_feet : float
        By the mid girth under bark.
    scale_diameter, scale_length : int
        As scaled: whole inches at the top under bark, whole feet.
    scribner : Scaled or None
        None where the table has no such log.
    weight : Estimate or None
        Green, with bark; None where the wood's density is not known. [kg]
    """

    record: LogRecord
    shape: LogShape
    lie: Lie
    questions: tuple[str, ...]
    butt_diameter: float
    middle_diameter: float
    top_diameter: float
    integrated: float
    over_bark: float
    bark: float
    smalian: float
    huber: float
    newton: float
    cone: float
    neiloid: float
    hoppus_feet: float
    scale_diameter: int
    scale_length: int
    doyle: float
    international: float
    scribner: scales.Scaled | None
    weight: Estimate | None


def account_for(record: LogRecord) -> LogAccount:
    """Reckon everything about one log that needs no mill.

    Parameters
    ----------
    record : LogRecord

    Raises
    ------
    BadValue
        As `LogRecord.to_shape`.

    Notes
    -----
    Scales take the diameter to the nearest inch and the length down to the whole foot, as
    their tables are used; Smalian and its kin take the measures as they are.
    """
    shape = record.to_shape()
    length = record.length
    butt, middle, top = volume.section_areas(shape, np.array([0.0, length / 2, length])).tolist()
    whole = volume.volume_by_integration(shape)
    inches, feet = scales.scale_diameter(math.sqrt(4 * top / math.pi)), scales.scale_length(length)
    scaled_as = (inches * INCH, feet * FOOT)
    return LogAccount(
        record=record,
        shape=shape,
        lie=record.lie(),
        questions=tuple(record.questions()),
        butt_diameter=mean_diameter(shape.outlines[0]),
        middle_diameter=math.sqrt(4 * middle / math.pi),
        top_diameter=mean_diameter(shape.outlines[-1]),
        integrated=whole,
        over_bark=whole + volume.bark_volume(shape),
        bark=volume.bark_volume(shape),
        smalian=volume.smalian(length, butt, top),
        huber=volume.huber(length, middle),
        newton=volume.newton(length, butt, middle, top),
        cone=volume.cone(length, butt, top),
        neiloid=volume.neiloid(length, butt, top),
        hoppus_feet=scales.hoppus(math.sqrt(4 * math.pi * middle), length),
        scale_diameter=inches,
        scale_length=feet,
        doyle=scales.doyle(*scaled_as),
        international=scales.international_quarter(*scaled_as),
        scribner=scales.scribner_decimal_c(inches, feet),
        weight=_weight(shape, record.species),
    )


def _weight(shape: LogShape, species: Species) -> Estimate | None:
    try:
        return green_weight(shape, species)
    except BadValue:  # of three woods nothing is known; their volume still is
        return None
