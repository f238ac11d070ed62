"""One log, many slabs: how what was spent on the log is shared over what came of it.

Every way adds back to the same sum. A share is for the value of the stock and for a floor
price; whether to dry or flatten a slab further compares only what that brings and costs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

from pithline.errors import BadValue

__all__ = ["WAYS", "Piece", "Shares", "gain_of_going_on", "gross_margin", "share_joint_cost"]

WAYS = ("volume", "split-off", "net realisable", "constant margin")


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece that came of the joint work.

    Attributes
    ----------
    name : str
    volume : float
        In any one unit.
    green : float
        What it would bring as it comes off the saw. [money]
    final : float
        What it will bring once finished. [money]
    own_cost : float
        Still to be spent on it alone: drying, flattening, selling. [money]
    """

    name: str
    volume: float
    green: float = 0.0
    final: float = 0.0
    own_cost: float = 0.0

    @classmethod
    def of(
        cls, name: str, volume: float, green: float = 0.0, final: float = 0.0, own_cost: float = 0.0
    ) -> Self:
        """Check.

        Raises
        ------
        BadValue
            A figure below 0.
        """
        for field, value in (("volume", volume), ("green", green), ("final", final), ("own cost", own_cost)):
            if not value >= 0:
                raise BadValue(f"{name} {field}", value, "0 or more")
        return cls(name, volume, green, final, own_cost)


@dataclass(frozen=True, slots=True)
class Shares:
    """One way of sharing.

    Attributes
    ----------
    way : str
        One of `WAYS`.
    shares : tuple of float
        In the order of the pieces; () where the way cannot be gone. [money]
    remark : str
        Why not, or what is odd about it.
    """

    way: str
    shares: tuple[float, ...]
    remark: str = ""


def share_joint_cost(joint: float, pieces: Sequence[Piece], by_products: float = 0.0) -> tuple[Shares, ...]:
    """Share the joint cost in all four ways.

    Parameters
    ----------
    joint : float
        Log, felling, access, set-up, sawing, hauling of the whole log. [money]
    pieces : sequence of Piece
    by_products : float
        What firewood, blanks and sawdust bring after their own cost; taken off first. [money]

    Returns
    -------
    tuple of Shares
        In the order of `WAYS`.

    Raises
    ------
    BadValue
        Nothing to share over.

    Notes
    -----
    By volume: V/sum V. By sales value at split-off: green/sum. By net realisable value:
    (final - own)/sum; a piece whose own cost eats it up takes no share. By constant margin:
    final (1 - GM) - own with GM = (sum final - joint - sum own)/sum final; may be negative.
    Textbook forms (for instance Horngren, *Cost Accounting*; from memory).
    """
    if not pieces:
        raise BadValue("pieces", "none", "one or more")
    if not joint >= 0:
        raise BadValue("joint cost", joint, "0 or more")
    net = joint - by_products
    left = [max(p.final - p.own_cost, 0.0) for p in pieces]
    eaten = [p.name for p in pieces if p.final < p.own_cost]
    ways = [
        _by("volume", net, [p.volume for p in pieces], "no volumes"),
        _by("split-off", net, [p.green for p in pieces], "no green values"),
        _by("net realisable", net, left, "no final values"),
    ]
    if eaten and ways[2].shares:
        # The finished value does not cover even their own cost: better sold green or burnt.
        ways[2] = Shares(ways[2].way, ways[2].shares, f"takes no share: {', '.join(eaten)}")
    if sum(p.final for p in pieces) > 0:
        margin = gross_margin(net, pieces)
        shares = tuple(p.final * (1 - margin) - p.own_cost for p in pieces)
        below = [p.name for p, share in zip(pieces, shares, strict=True) if share < 0]
        ways.append(Shares("constant margin", shares, f"below 0: {', '.join(below)}" if below else ""))
    else:
        ways.append(Shares("constant margin", (), "no final values"))
    return tuple(ways)


def gross_margin(net_joint: float, pieces: Sequence[Piece]) -> float:
    """What is left of all final values after all costs, as a share of them. [fraction]"""
    final = sum(p.final for p in pieces)
    if not final > 0:
        raise BadValue("final values", final, "more than 0 in sum")
    return (final - net_joint - sum(p.own_cost for p in pieces)) / final


def gain_of_going_on(extra_value: float, extra_cost: float) -> float:
    """Whether to work on a piece: what that adds less what that costs; the joint cost is spent. [money]"""
    return extra_value - extra_cost


def _by(way: str, net: float, weights: Sequence[float], without: str) -> Shares:
    whole = sum(weights)
    if not whole > 0:
        return Shares(way, (), without)
    return Shares(way, tuple(net * weight / whole for weight in weights))
