"""A log, a mill and a wish list, made ready for the planner.

Everything that does not depend on roll and pitch is worked out once here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import Aims, BarkWay, PithRule
from pithline.saw.menu import Choice, lines_in, menu
from pithline.saw.mill import Mill
from pithline.saw.rates import Rates
from pithline.saw.tables import Pay, Reach, Wood
from pithline.saw.timber import Timber
from pithline.saw.uses.wants import Wants, wants_of
from pithline.slab.tally import TallyRule, TallyUnit

__all__ = ["STATIONS", "Model", "grounds", "prepare", "sharp_edges", "stations", "wood_of"]

Floats = NDArray[np.float64]

_SHARP = 0.001  # from sound wood to spoilt, along the log [m]
STATIONS = 41
_RAIL_CLEAR = 0.01  # rail above the highest bark [m]
_CROSSCUT = 0.01  # wood that cutting a slab in two takes [m]
_NOSE_CLEAR = 0.01  # least height of any cut above the ground [m]
_RULES = (TallyRule.NARROW, TallyRule.MEAN, TallyRule.WIDE, TallyRule.SOLID)  # as value_kernel numbers them
_PITH_RULES = (PithRule.FREE, PithRule.BOX, PithRule.THROUGH)


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """What the kernels need, and the choices that their numbers stand for."""

    wood: Wood
    reach: Reach
    pay: Pay
    choices: tuple[Choice, ...]
    wants: Wants | None = None  # None where slabs are sold by the tally alone
    most_slabs: int = 0  # more than the log can hold
    use_names: tuple[str, ...] = ()  # as `wants` numbers them


def prepare(shape: LogShape, mill: Mill, aims: Aims, rates: Rates, timber: Timber) -> Model:
    """Put a log, a mill, aims and rates into the planner's terms.

    Raises
    ------
    BadValue
        End trims that leave no usable length, or a thickness the mill cannot saw.
    """
    choices = menu(aims, rates, timber, mill)
    step, kerf = mill.step, lines_in(mill.kerf, mill.step)
    depth = math.floor(mill.depth_max / step + 1e-6)
    waste = kerf if aims.least_waste is None else lines_in(aims.least_waste, step)
    # The mill must be able to set it: waste is sawn off like a slab.
    waste = max(1, waste, lines_in(mill.depth_min, step))
    reach = Reach(
        step=step,
        kerf=kerf,
        bar=mill.usable - mill.clearance,
        rail_clear=_RAIL_CLEAR,
        depth_max=depth,
        least_waste=waste,
        most_waste=depth - kerf,
        cut_cost=float(rates.per_cut_area),
    )
    _own_names(aims, rates)
    uses = (*aims.orders, *rates.uses)
    has_figure = any(q.kind is ZoneKind.FIGURE for q in shape.zones)
    has_figure = has_figure or (shape.second_pith is not None and aims.feather > 0)
    pay = Pay(
        thick=np.array([c.lines for c in choices], dtype=np.int64),
        sold=np.array([c.sold for c in choices]),
        rates=np.array([float(c.rate) for c in choices]),
        finished=np.array([c.aim.size if c.aim.kind == "finished" else 0.0 for c in choices]),
        rule=_RULES.index(aims.tally),
        rounded=aims.unit is TallyUnit.BF_NOMINAL,
        least_length=aims.least_length,
        width_steps=_steps(rates.width, aims.least_width),
        length_steps=_steps(rates.length, 0.0),
        figure_premium=float(rates.figure) if has_figure else 0.0,
        shows=has_figure and (rates.figure > 0 or any(u.figure > 0 for u in uses)),
        pith_rule=_PITH_RULES.index(aims.pith),
        skips=np.array(aims.skips, dtype=np.float64).reshape(-1, 2),
        deduction=aims.pith_deduction,
        slab_cost=float(rates.per_slab),
        per_volume=np.array([_per_volume(c.green, rates, timber) for c in choices]),
        radial=timber.radial,
        tangential=timber.tangential,
        flattening=np.array(aims.flattening, dtype=np.float64),
        variation=aims.sawing_variation,
    )
    wood = wood_of(shape, aims)
    across = 2 * float(np.sqrt((wood.outlines**2).sum(axis=2)).max())
    most_slabs = math.floor(across / min(c.green for c in choices)) + 1
    wants = wants_of(
        uses,
        choices,
        pay,
        most_slabs=most_slabs,
        most_value=most_slabs * across * shape.length * _dearest(pay, choices),
        crosscut=_CROSSCUT,
        flat_below=aims.flat_below,
        quarter_above=aims.quarter_above,
    )
    return Model(wood, reach, pay, choices, wants, most_slabs, tuple(u.name for u in uses))


def _own_names(aims: Aims, rates: Rates) -> None:
    """Field card and parts of a log count by name: an order and a use of one name would be one."""
    used = {use.name for use in rates.uses}
    for order in aims.orders:
        if order.name in used:
            raise BadValue(
                "aims.order.name", order.name, "another name than any use has", "Name it for whom it is."
            )


def _dearest(pay: Pay, choices: tuple[Choice, ...]) -> float:
    """No square metre of counted face brings more, with all premiums."""
    premiums = (1 + pay.width_steps[-1, 1]) * (1 + pay.length_steps[-1, 1]) * (1 + pay.figure_premium)
    return float(max(c.per_area * float(c.rate) for c in choices) * premiums)


def _per_volume(green: float, rates: Rates, timber: Timber) -> float:
    """What carrying and drying cost for each cubic metre of slab: thicker stock dries longer."""
    return rates.per_kg * timber.density + rates.per_month * rates.drying_months(green)


def _steps(premiums: tuple, least: float) -> Floats:  # type: ignore[type-arg]
    """Premium steps as rising rows (size, premium), the first at `least` with the premium due there."""
    reached = [float(s.premium) for s in premiums if s.least <= least]
    rows = [(least, max(reached, default=0.0))]
    # Only rising premiums matter: a wide slab may always be sold as a narrower one.
    for s in sorted(premiums, key=lambda s: s.least):
        if s.least > least and s.premium > rows[-1][1]:
            rows.append((float(s.least), float(s.premium)))
    return np.array(rows)


def stations(shape: LogShape, trim_butt: float, trim_top: float, count: int = STATIONS) -> Floats:
    """Places along the log where the plan looks at it, shape (about `count`,). [m]

    Evenly spread between the end trims, plus both ends; the nearest one moves onto
    each measured station, so that a kink in the log is a kink in the plan. The two about
    each end of rot or a split move up to it, so that no wood beyond it is sold.
    """
    length = shape.length
    if trim_butt + trim_top >= length:
        raise BadValue(
            "aims.end_trim",
            f"{trim_butt:.3g} m + {trim_top:.3g} m",
            f"less than the log's length, {length:.3g} m",
            "Seal the ends and trim less.",
        )
    ends = [e for e in (0.0, length) if (trim_butt if e == 0.0 else trim_top) > 0]
    inner = np.linspace(trim_butt, length - trim_top, count - len(ends))
    spacing = inner[1] - inner[0]
    taken = {0, inner.size - 1}
    for z in shape.z[1:-1]:
        at = int(np.argmin(np.abs(inner - z)))
        if at not in taken and abs(inner[at] - z) < spacing:
            inner[at] = z
            taken.add(at)
    for edge in sharp_edges(shape.zones):
        at = int(np.searchsorted(inner, max(edge)))
        for k, z in zip((at - 1, at), sorted(edge), strict=True):
            if not inner[0] < z < inner[-1]:
                continue
            if k not in taken and inner[k - 1] < z < inner[k + 1]:
                inner[k] = z
                taken.add(k)
            elif np.abs(inner - z).min() > 1e-6:
                ends.append(z)
    return np.unique(np.concatenate([inner, ends]))


def sharp_edges(zones: Iterable[Zone]) -> list[tuple[float, float]]:
    """Where rot and splits begin and end: the last sound place there and the first spoilt one. [m]"""
    spoilt = [zone for zone in zones if zone.kind in (ZoneKind.ROT, ZoneKind.SPLIT)]
    return [pair for q in spoilt for pair in ((q.start - _SHARP, q.start), (q.end + _SHARP, q.end))]


def wood_of(shape: LogShape, aims: Aims, count: int = STATIONS) -> Wood:
    """The log at the plan's stations, as the kernels read it."""
    z = stations(shape, aims.trim_butt, aims.trim_top, count)
    at = shape.at(z)
    usable_from, usable_to = int(aims.trim_butt > 0), z.size - int(aims.trim_top > 0)
    # Bark that is off no longer lifts the rail.
    over_bark = at.over_bark() if aims.bark is not BarkWay.OFF else np.array(at.outlines)
    zones = shape.zones
    second = np.zeros((0, 2)) if at.second_pith is None else np.array(at.second_pith)
    feather = aims.feather if second.size else 0.0
    figured = np.zeros(z.size, dtype=np.bool_)
    if feather > 0:
        figured = np.isfinite(second[:, 0])
    present = np.array([_reached(z, q) for q in zones], dtype=np.bool_).reshape(-1, z.size)
    spoils = np.array([q.kind is not ZoneKind.FIGURE for q in zones], dtype=np.bool_)
    return Wood(
        outlines=np.ascontiguousarray(at.outlines),
        bar_outlines=over_bark if aims.bark is BarkWay.ON else np.ascontiguousarray(at.outlines),
        over_bark=over_bark,
        z=z,
        usable_from=usable_from,
        usable_to=usable_to,
        zones=np.array([(q.x, q.y, q.radius) for q in zones], dtype=np.float64).reshape(-1, 3),
        present=present,
        spoils=spoils,
        metal=np.array([q.kind is ZoneKind.METAL for q in zones], dtype=np.bool_),
        spoilt=np.any(present & spoils[:, None], axis=0),
        figured=figured | np.any(present & ~spoils[:, None], axis=0),
        second=second,
        feather=float(feather),
    )


def _reached(z: Floats, zone: Zone) -> NDArray[np.bool_]:
    """Stations at which a zone counts; a staple that lies between two counts at both."""
    inside = (z >= zone.start - 1e-9) & (z <= zone.end + 1e-9)
    if not inside.any():
        after = int(np.searchsorted(z, zone.start))
        inside[max(after - 1, 0) : after + 1] = True
    return np.asarray(inside, dtype=np.bool_)


def grounds(shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rolls: Floats) -> Floats:
    """Lowest side that a kerf may have at each end, for each roll.

    Parameters
    ----------
    rolls : ndarray, shape (rolls,)
        0 is the log as it lies; a rolled log rests on the same bearers. [rad]

    Returns
    -------
    ndarray, shape (rolls, 2)
        Above the pith line, at butt and top; -inf where the log will be turned over. [m]
    """
    if aims.both_sides:
        return np.full((rolls.size, 2), -math.inf)
    ends = shape.over_bark()[[0, -1]]  # (2, points, 2)
    up = (
        ends[None, :, :, 0] * np.sin(rolls)[:, None, None]
        + ends[None, :, :, 1] * np.cos(rolls)[:, None, None]
    )
    across = (
        ends[None, :, :, 0] * np.cos(rolls)[:, None, None]
        - ends[None, :, :, 1] * np.sin(rolls)[:, None, None]
    )
    height = np.array([lie.bearer_butt, lie.bearer_top]) - up.min(axis=2)
    height[np.abs(rolls) < 1e-12] = (lie.pith_butt, lie.pith_top)
    half = 0.5 * (across.max(axis=2) - across.min(axis=2))
    # The powerhead hangs beside the log: rising ground there lifts the last cut.
    needed = mill.below_bar + lie.side_slope * half - lie.powerhead_room
    return np.asarray(np.maximum(needed, _NOSE_CLEAR) - height, dtype=np.float64)
