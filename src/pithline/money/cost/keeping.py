"""What it costs that wood lies and waits: room, money tied up, a kiln load shared."""

from __future__ import annotations

from collections.abc import Sequence

from pithline.errors import BadValue

__all__ = ["month_cost", "room_cost", "share_load", "tied_up"]


def room_cost(volume: float, months: float, per_volume_month: float) -> float:
    """Rent of the room that a slab takes while it dries or waits.

    Parameters
    ----------
    volume : float
        Of the wood; what stickers and aisles take besides is in the rent. [m3]
    months : float
    per_volume_month : float
        [money/m3 and month]

    Returns
    -------
    cost : float
        [money]
    """
    return volume * months * per_volume_month


def tied_up(money: float, yearly: float, months: float) -> float:
    """What money that lies in wood would have earned, or costs, meanwhile.

    Parameters
    ----------
    money : float
        Laid out at the start. [money]
    yearly : float
        Interest. [fraction/year]
    months : float

    Returns
    -------
    interest : float
        Compounded: money ((1 + i)^(months/12) - 1). [money]

    >>> round(tied_up(1000, 0.08, 12), 9)
    80.0
    """
    return float(money * ((1 + yearly) ** (months / 12) - 1))


def month_cost(worth: float, volume: float, share: float, per_volume_month: float) -> float:
    """What one further month costs.

    Parameters
    ----------
    worth : float
        What lies in the wood: what it would bring today, or what it cost where nobody knows. [money]
    volume : float
        [m3]
    share : float
        Interest and loss. [fraction/month]
    per_volume_month : float
        [money/m3 and month]

    Returns
    -------
    cost : float
        [money/month]
    """
    return worth * share + volume * per_volume_month


def share_load(cost: float, volumes: Sequence[float], days: Sequence[float]) -> tuple[float, ...]:
    """Share a kiln load's cost over its slabs by the room that each took and for how long.

    Parameters
    ----------
    cost : float
        Energy, wear and work of the load. [money]
    volumes : sequence of float
        [m3], or shares of the kiln.
    days : sequence of float
        In the kiln.

    Returns
    -------
    shares : tuple of float
        They add up to `cost`: what stood empty is paid by what stood in it. [money]

    Raises
    ------
    BadValue
        No slabs, or none that took room.
    """
    taken = [volume * stay for volume, stay in zip(volumes, days, strict=True)]
    whole = sum(taken)
    if not whole > 0 or any(each < 0 for each in taken):
        raise BadValue("slabs of the load", taken, "0 or more m3 days, and not all 0")
    return tuple(cost * each / whole for each in taken)
