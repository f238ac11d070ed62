"""What fits into a slab: the largest rectangle, a given size, and a pair's top.

Rectangles are exact. Between two given stations of its ends a rectangle's length and
its width are both concave in where the ends lie, so the area's logarithm is too and a
search by sections cannot be caught by a smaller maximum; every pair of stations that
could hold the best one is searched. Only the turning of a rectangle against the slab
goes by steps: each angle is exact, a better one may lie between two of them.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.slab.clear import Band, on_stations

__all__ = ["Fit", "Form", "largest_rectangle", "pair_of", "pair_top", "rectangle_of"]

Floats = NDArray[np.float64]
_GOLDEN = (math.sqrt(5) - 1) / 2
_HAIR = 1e-9  # [m]
_DUST = 1e-12  # of binary fractions [m]


class Form(StrEnum):
    """What a buyer asks for."""

    RECTANGLE = "rectangle"
    OVAL = "oval"
    ROUND = "round"


@dataclass(frozen=True, slots=True)
class Fit:
    """A form that lies wholly in clear wood.

    Attributes
    ----------
    form : Form
    length, width : float
        [m]; of a round both are its diameter.
    z, across : float
        Its middle, from the butt and from the pith line. [m]
    turned : float
        Its length against the slab's, positive towards the right. [rad]
    """

    form: Form
    length: float
    width: float
    z: float
    across: float
    turned: float = 0.0

    @property
    def area(self) -> float:
        """[m2]."""
        return self.length * self.width * (1.0 if self.form is Form.RECTANGLE else math.pi / 4)


def largest_rectangle(bands: Sequence[Band], turned: Sequence[float] = (0.0,)) -> Fit | None:
    """The rectangle of the largest area in clear wood.

    Parameters
    ----------
    bands : sequence of Band
    turned : sequence of float
        Angles against the slab that may be tried. [rad]

    Returns
    -------
    Fit or None
        None where there is no wood.
    """
    found = (_best(band, angle) for band in bands for angle in turned)
    return max((f for f in found if f), key=lambda f: f.area, default=None)


def rectangle_of(
    bands: Sequence[Band], length: float, width: float, turned: Sequence[float] = (0.0,)
) -> Fit | None:
    """Where a rectangle of a given length lies widest, if it is at least so wide.

    Parameters
    ----------
    bands : sequence of Band
    length, width : float
        [m]
    turned : sequence of float
        Tried in this order; the first that holds it is taken. [rad]

    Returns
    -------
    Fit or None
        As wide as there is room for; None where no angle holds it.

    Raises
    ------
    BadValue
        A size of 0 or less.
    """
    _check(length, width)
    steepest = max((abs(angle) for angle in turned), default=0.0)
    # However it is turned, between its slanting ends it crosses the slab by at least its width.
    run = length * math.cos(steepest) - width * math.sin(steepest)
    bands = [band for band in bands if run <= 0 or _reaches(band, width, run)]
    for angle in turned:
        for band in bands:
            fit = _widest(band, length, angle)
            if fit and fit.width >= width - _HAIR:
                return fit
    return None


def pair_top(first: Sequence[Band], second: Sequence[Band]) -> tuple[Fit, Fit] | None:
    """Two rectangles from the same place along two slabs, largest together when glued edge to edge.

    The joint is a straight line along each slab; both pieces are equally long and come
    from the same stations, so that the figure meets.

    Parameters
    ----------
    first, second : sequence of Band
        Of the two slabs, from the same butt.

    Returns
    -------
    (Fit, Fit) or None
        None where they have no clear wood beside each other.
    """
    best: tuple[float, float, float, list[Band]] | None = None
    for couple in itertools.product(first, second):
        bands = on_stations(couple)
        if bands:
            found = _best_run(bands)
            if found and (best is None or found[0] > best[0]):
                best = (*found, bands)
    if best is None:
        return None
    _, a, b, bands = best
    one, two = (_rectangle(band, a, b) for band in bands)
    return one, two


def pair_of(
    first: Sequence[Band], second: Sequence[Band], length: float, width: float
) -> tuple[Fit, Fit] | None:
    """Two rectangles of one length as in `pair_top`, together at least so wide.

    Parameters
    ----------
    first, second : sequence of Band
    length, width : float
        Of the top glued of both. [m]

    Returns
    -------
    (Fit, Fit) or None
        Where they are widest together.

    Raises
    ------
    BadValue
        A size of 0 or less.
    """
    _check(length, width)
    for couple in itertools.product(first, second):
        if sum(float((band.high - band.low).max()) for band in couple) < width - _HAIR:
            continue
        bands = on_stations(couple)
        found = _widest_run(bands, length) if bands else None
        if found and found[1] >= width - _HAIR:
            one, two = (_rectangle(band, found[0], found[0] + length) for band in bands)
            return one, two
    return None


def _check(length: float, width: float) -> None:
    for name, size in (("length", length), ("width", width)):
        if not 0 < size < math.inf:
            raise BadValue(name, size, "more than 0 m")


def _best(band: Band, angle: float) -> Fit | None:
    aside = turned_band(band, angle)
    found = _best_run([aside]) if aside else None
    return _back(_rectangle(aside, found[1], found[2]), angle) if aside and found else None


def _widest(band: Band, length: float, angle: float) -> Fit | None:
    aside = turned_band(band, angle)
    found = _widest_run([aside], length) if aside else None
    return _back(_rectangle(aside, found[0], found[0] + length), angle) if aside and found else None


def _widest_run(bands: Sequence[Band], length: float) -> tuple[float, float] | None:
    """Start and width of the widest piece of a length; of several bands the sum of their widths.

    Between two events (an end of the piece passes a station) every width is concave in
    where it starts.
    """
    z = bands[0].z
    if z[-1] - z[0] < length - _HAIR:
        return None
    room = max(z[-1] - length, z[0])
    starts = np.unique(np.concatenate([z, z - length, [room]]))
    starts = starts[(starts >= z[0]) & (starts <= room)]

    low, high = (starts[:-1], starts[1:]) if starts.size > 1 else (starts, starts)
    middle = 0.5 * (low + high)[:, None]
    inside = (z > middle) & (
        z < middle + length
    )  # the stations passed over stay the same from event to event
    limits = [
        (np.where(inside, b.high, np.inf).min(axis=1), np.where(inside, b.low, -np.inf).max(axis=1))
        for b in bands
    ]

    def width(a: Floats) -> Floats:
        every = np.stack(
            [
                np.minimum(np.minimum(np.interp(a, z, b.high), np.interp(a + length, z, b.high)), roof)
                - np.maximum(np.maximum(np.interp(a, z, b.low), np.interp(a + length, z, b.low)), floor)
                for b, (roof, floor) in zip(bands, limits, strict=True)
            ]
        )
        least = every.min(axis=0)
        # Below 0 the least of them leads back to where there is wood.
        return np.asarray(np.where(least >= -_DUST, every.sum(axis=0), least))

    at, widths = _section(width, low, high, 40)
    best = int(widths.argmax())
    return (float(at[best]), float(widths[best])) if widths[best] > 0 else None


def _reaches(band: Band, width: float, run: float) -> bool:
    """Whether the band is so wide over a run without a break."""
    spare, z = band.high - band.low - width + _HAIR, band.z
    longest, start = -math.inf, None
    for k in range(z.size):
        if spare[k] >= 0:
            if start is None:
                a = spare[k - 1] if k else 0.0
                start = float(z[k] - (z[k] - z[k - 1]) * spare[k] / (spare[k] - a)) if a < 0 else float(z[k])
            longest = max(longest, float(z[k]) - start)
        elif start is not None:
            a = spare[k - 1]
            longest = max(longest, float(z[k - 1] + (z[k] - z[k - 1]) * a / (a - spare[k])) - start)
            start = None
    return longest >= run - _HAIR


def _span(band: Band, a: float, b: float) -> tuple[float, float]:
    """Lower side and width of the rectangle between two stations."""
    b = min(b, band.z[-1])
    inside = (band.z > a) & (band.z < b)
    low = max(band.low[inside].max(initial=-np.inf), *np.interp([a, b], band.z, band.low))
    high = min(band.high[inside].min(initial=np.inf), *np.interp([a, b], band.z, band.high))
    return float(low), float(high - low)


def _rectangle(band: Band, a: float, b: float) -> Fit:
    low, width = _span(band, a, b)
    return Fit(Form.RECTANGLE, float(b - a), width, float(a + b) / 2, low + width / 2)


def turned_band(band: Band, angle: float) -> Band | None:
    """The band looked at along a turned line; None where its edges then fold back."""
    if angle == 0:
        return band
    c, s = math.cos(angle), math.sin(angle)
    ring = band.ring @ np.array([[c, -s], [s, c]])
    left, right = int(ring[:, 0].argmin()), int(ring[:, 0].argmax())
    n = len(ring)
    low = ring[[(left + k) % n for k in range((right - left) % n + 1)]]
    high = ring[[(left - k) % n for k in range((left - right) % n + 1)]]
    for chain in (low, high):
        if (np.diff(chain[:, 0]) < -_HAIR).any():
            return None
    z = np.unique(np.concatenate([low[:, 0], high[:, 0]]))
    z = z[np.concatenate([np.diff(z) > _HAIR, [True]])]
    if z.size < 2:
        return None
    below, above = np.interp(z, low[:, 0], low[:, 1]), np.interp(z, high[:, 0], high[:, 1])
    return Band(z, below, np.maximum(above, below))


def _back(fit: Fit, angle: float) -> Fit:
    c, s = math.cos(angle), math.sin(angle)
    z, across = fit.z * c - fit.across * s, fit.z * s + fit.across * c
    return Fit(fit.form, fit.length, fit.width, z, across, angle)


def _best_run(bands: Sequence[Band]) -> tuple[float, float, float] | None:
    """Largest (b - a) x (sum of the widths between a and b), with a and b."""
    z = bands[0].z
    low, high = np.stack([b.low for b in bands]), np.stack([b.high for b in bands])
    pairs = [(i, j) for i in range(z.size - 1) for j in range(i, z.size - 1)]
    i, j = np.array(pairs).T
    # Stations strictly inside: none where both ends lie in one field.
    roof = np.array([high[:, a + 1 : b + 1].min(axis=1, initial=np.inf) for a, b in pairs]).T
    floor = np.array([low[:, a + 1 : b + 1].max(axis=1, initial=-np.inf) for a, b in pairs]).T
    ends = [np.minimum(side[:, k], side[:, k + 1]) for side in (low,) for k in (i, j)]
    tops = [np.maximum(high[:, k], high[:, k + 1]) for k in (i, j)]
    most = np.minimum(roof, np.minimum(*tops)) - np.maximum(floor, np.maximum(*ends))
    bound = np.where((most > 0).all(axis=0), most.sum(axis=0) * (z[j + 1] - z[i]), 0.0)
    # What whole fields give is a floor that spares most pairs their search.
    whole = np.minimum(roof, np.minimum(high[:, i], high[:, j + 1]))
    whole = whole - np.maximum(floor, np.maximum(low[:, i], low[:, j + 1]))
    sure = float(np.where((whole > 0).all(axis=0), whole.sum(axis=0) * (z[j + 1] - z[i]), 0.0).max())
    kept = (bound > 0) & (bound >= sure)
    if not kept.any():
        return None
    i, j, roof, floor = i[kept], j[kept], roof[:, kept], floor[:, kept]

    def right_end(a: Floats) -> tuple[Floats, Floats]:
        """Best b for each a, exactly: between events the area is a parabola in b."""
        part = (a - z[i]) / (z[i + 1] - z[i])
        top = np.minimum(roof, high[:, i] + part * (high[:, i + 1] - high[:, i]))
        foot = np.maximum(floor, low[:, i] + part * (low[:, i + 1] - low[:, i]))
        run = z[j + 1] - z[j]
        rise, fall = (high[:, j + 1] - high[:, j]) / run, (low[:, j + 1] - low[:, j]) / run
        lines = [(high[:, j] - rise * z[j], rise), (top, 0 * rise)]
        under = [(low[:, j] - fall * z[j], fall), (foot, 0 * fall)]
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            tries = [z[j], z[j + 1]]
            tries += [*((top - lines[0][0]) / rise), *((foot - under[0][0]) / fall)]
            # Each band's width follows one of four lines: at + slope b.
            widths = [[(up[0][k] - down[0][k], up[1][k] - down[1][k]) for up in lines for down in under]
                      for k in range(len(bands))]  # fmt: skip
            for ways in itertools.product(*widths):
                at, slope = sum(w[0] for w in ways), sum(w[1] for w in ways)
                tries.append((a * slope - at) / (2 * slope))
                if len(ways) == 2:  # the narrower of two changes: leads back to where both have wood
                    tries.append((ways[1][0] - ways[0][0]) / (ways[0][1] - ways[1][1]))
            tries += [-at / slope for lines_of_one in widths for at, slope in lines_of_one]
        b = np.clip(np.nan_to_num(np.stack(tries), posinf=np.inf, neginf=-np.inf), z[j], z[j + 1])
        wide = np.minimum(top[:, None], lines[0][0][:, None] + rise[:, None] * b)
        wide = wide - np.maximum(foot[:, None], under[0][0][:, None] + fall[:, None] * b)
        least = np.minimum(wide.min(axis=0), b - a)
        # Below 0 the least of them leads back to where there is wood.
        area = np.where(least >= -_DUST, (b - a) * wide.sum(axis=0), least)
        best = area.argmax(axis=0)
        every = np.arange(a.size)
        return b[best, every], area[best, every]

    a, area = _section(lambda x: right_end(x)[1], z[i], z[i + 1], 60)
    best = int(area.argmax())
    return (float(area[best]), float(a[best]), float(right_end(a)[0][best])) if area[best] > 0 else None


def _section(value, low: Floats, high: Floats, steps: int) -> tuple[Floats, Floats]:  # type: ignore[no-untyped-def]
    """Golden sections on many intervals at once; ends are looked at too."""
    ends = [(low, value(low)), (high, value(high))]
    p, q = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_p, at_q = value(p), value(q)
    for _ in range(steps):
        left = at_p > at_q
        high, low = np.where(left, q, high), np.where(left, low, p)
        new = np.where(left, high - _GOLDEN * (high - low), low + _GOLDEN * (high - low))
        at_new = value(new)
        p, q = np.where(left, new, q), np.where(left, p, new)
        at_p, at_q = np.where(left, at_new, at_q), np.where(left, at_p, at_new)
    tries = [*ends, (p, at_p), (q, at_q)]
    x, v = np.stack([t[0] for t in tries]), np.stack([t[1] for t in tries])
    best = v.argmax(axis=0)
    every = np.arange(best.size)
    return x[best, every], v[best, every]
