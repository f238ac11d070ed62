"""How wrong a tape is: the same log as other, equally honest readings would give it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.log.record import LogRecord
from pithline.log.shape import LogShape
from pithline.log.size import Size

__all__ = ["DRAWS", "MeasuringError", "measuring_error", "perturbed"]

Floats = NDArray[np.float64]

DRAWS = 500
_BATCH = 50  # draws held in memory together; 41 stations of 120 points then fit the cache


@dataclass(frozen=True, slots=True, eq=False)
class MeasuringError:
    """Standard deviations of everything that makes up a log's shape.

    The tape's and the form's figures are judgement (common practice, no source): set
    your own with `dataclasses.replace` or by the arguments of `measuring_error`.

    Attributes
    ----------
    at : ndarray, shape (taped,)
        Taped sections, from the butt. [m]
    reach : ndarray, shape (taped, 4)
        Of the distance from the pith mark to the edge: right, up, left, down. [m]
    together : ndarray, shape (taped,)
        Of what all four share: one diameter or girth is wrong all round. [m]
    oval : ndarray, shape (taped,)
        Of the unseen ovalness where only a size was taped. [fraction of the radius]
    over_bark : ndarray of bool, shape (taped,)
        Where the tape lay on the bark: there the bark's error moves the wood's edge.
    bark : float
        [fraction of the thickness]
    mark : float
        Of setting a cut to a pith mark, across, at each end. [m]
    sweep : float
        Across, at mid-length. [m]
    length : float
        [m]
    form : float
        Between taped sections, at the middle of a gap. [fraction of the radius]
    """

    at: Floats
    reach: Floats
    together: Floats
    oval: Floats
    over_bark: NDArray[np.bool_]
    bark: float
    mark: float
    sweep: float
    length: float
    form: float


def measuring_error(
    record: LogRecord,
    reading: float = 0.004,
    bark: float = 0.15,
    mark: float = 0.004,
    sweep: float = 0.010,
    length: float = 0.010,
    form: float = 0.01,
) -> MeasuringError:
    """The error that fits how a log was measured; what was assumed is less sure.

    Parameters
    ----------
    record : LogRecord
    reading : float, optional
        One tape reading. [m]
    bark : float, optional
        Measured bark; the species' estimate takes two thirds of its own half range. [fraction]
    mark : float, optional
        [m]
    sweep : float, optional
        Measured sweep; twice as much where the log was taken as straight. [m]
    length : float, optional
        [m]
    form : float, optional
        With a width between the ends; three times as much without. [fraction]

    Notes
    -----
    A reading from the pith is wrong by `reading`, a diameter's radius by half, a girth's
    by 1/(2 pi). An end taped by one size only hides an ovalness and a pith off the middle.
    """
    sections = [
        (0.0, record.butt),
        *((s.at, s.size) for s in sorted(record.stations, key=lambda s: s.at)),
        (record.length, record.top),
    ]
    said = {a.field for a in record.assumptions}
    ends = {0, len(sections) - 1}
    return MeasuringError(
        at=np.array([z for z, _ in sections]),
        reach=np.array([_reach(s, reading, k in ends) for k, (_, s) in enumerate(sections)]),
        together=np.array([_together(s, reading) for _, s in sections]),
        oval=np.array([0.0 if s.whole else 0.02 for _, s in sections]),
        over_bark=np.array([s.over_bark for _, s in sections]),
        bark=bark if record.bark.measured else record.bark.spread * 2 / 3,
        mark=mark,
        sweep=2 * sweep if "log.sweep" in said else sweep,
        length=length,
        form=form if record.stations else 3 * form,
    )


def perturbed(
    shape: LogShape, error: MeasuringError, rng: np.random.Generator, n: int = DRAWS
) -> Iterator[LogShape]:
    """Draw logs that the same measuring could have come from.

    Parameters
    ----------
    shape : LogShape
        As reckoned from the readings, at the stations wanted.
    error : MeasuringError
    rng : numpy.random.Generator
    n : int
        Number of draws.

    Yields
    ------
    shape : LogShape
        In the coordinates of the marked pith line, as the cuts are set from the marks;
        with the stations of `shape` stretched to the drawn length. Zones stay in place.

    Notes
    -----
    All errors are normal and independent; between taped sections they run straight, and a
    form error is added that is nought at the sections and largest in the middle of a gap.
    No edge comes nearer to the middle than a tenth of its radius.
    """
    lead, gap = _weights(shape.z, error.at)
    middle = shape.outlines.mean(axis=1, keepdims=True)
    spokes = shape.outlines - middle
    radius = np.hypot(spokes[..., 0], spokes[..., 1])
    cos, sin = spokes[..., 0] / radius, spokes[..., 1] / radius
    # Basis of the edge's motion: reach right, up, left, down; all round; across (mark, sweep).
    sides = np.stack(
        [np.maximum(cos, 0), np.maximum(sin, 0), np.minimum(cos, 0), np.minimum(sin, 0)], axis=-1
    )
    t = shape.z / shape.length
    path = np.stack([1 - t, t, 4 * t * (1 - t)])  # marks at butt and top, sweep
    for start in range(0, n, _BATCH):
        count = min(_BATCH, n - start)
        bark_by = np.maximum(1 + error.bark * rng.standard_normal(count), 0.1)
        reach = rng.standard_normal((count, *error.reach.shape)) * error.reach
        round_by = rng.standard_normal((count, error.at.size)) * error.together
        oval = rng.standard_normal((count, error.at.size)) * error.oval
        bulge = rng.standard_normal((count, error.at.size - 1)) * error.form
        across = rng.standard_normal((count, 3, 2)) * np.array([error.mark, error.mark, error.sweep])[:, None]
        longer = 1 + error.length * rng.standard_normal(count) / shape.length

        # Bark too thick on paper, wood too thin: the tape's place is what was measured.
        bark_shift = -(bark_by - 1)[:, None] * (shape.bark * (lead @ error.over_bark.astype(float)))
        edge = (round_by @ lead.T + bark_shift)[..., None]
        swell = np.maximum(1 + (bulge @ gap.T)[..., None] + edge / radius, 0.1)
        ovals = (oval @ lead.T)[..., None]
        reach = np.einsum("nmd,sm->nsd", reach, lead)
        shift = np.einsum("nkd,ks->nsd", across, path)
        x = spokes[..., 0] * (swell + ovals) + middle[..., 0] + shift[..., :1]
        y = spokes[..., 1] * (swell - ovals) + middle[..., 1] + shift[..., 1:]
        x += np.matmul(reach[..., None, 0::2], sides[:, :, 0::2].transpose(0, 2, 1))[..., 0, :]
        y += np.matmul(reach[..., None, 1::2], sides[:, :, 1::2].transpose(0, 2, 1))[..., 0, :]
        outlines = np.stack([x, y], axis=-1)
        z = shape.z * longer[:, None]
        bark = shape.bark * bark_by[:, None]
        for array in (outlines, z, bark):
            array.setflags(write=False)
        for k in range(count):
            # The bare constructor: these numbers are ours, and 500 checks would take longer than the draws.
            yield LogShape(z[k], outlines[k], bark[k], shape.second_pith, shape.zones)


def _reach(size: Size, reading: float, end: bool) -> list[float]:
    if size.from_pith:
        return [reading] * 4
    # The pith of an end without readings was taken in the middle: off by some 2 % of the diameter.
    hidden = 0.02 * size.mean if end and not (size.pith_right or size.pith_up) else 0.0
    own = reading / 2 if size.across is not None or size.tall is not None else 0.0
    return [float(np.hypot(own, hidden))] * 4


def _together(size: Size, reading: float) -> float:
    if size.girth is not None:
        return float(reading / (2 * np.pi))
    return reading / 2 if size.diameter is not None else 0.0


def _weights(z: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Straight lines between sections and a hump over each gap: (stations, taped), (stations, gaps)."""
    lead = np.zeros((z.size, at.size))
    gap = np.zeros((z.size, at.size - 1))
    k = np.clip(np.searchsorted(at, z, side="right") - 1, 0, at.size - 2)
    f = np.clip((z - at[k]) / (at[k + 1] - at[k]), 0.0, 1.0)
    rows = np.arange(z.size)
    lead[rows, k], lead[rows, k + 1] = 1 - f, f
    gap[rows, k] = 4 * f * (1 - f)
    return lead, gap
