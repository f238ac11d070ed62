"""The bound on a deadline: what slabs would bring if buyers came like clockwork."""

from __future__ import annotations

import math

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers, Exponential
from pithline.money.hold.deadline import Deadline

__all__ = ["most_possible"]


def most_possible(deadline: Deadline, buyers: Buyers) -> float:
    """What the slabs would bring if buyers came like clockwork; no policy beats it.

    Returns
    -------
    bound : float
        Exponential limits, nothing spent: th n ln(L t/n) where n < L t/e, else th L t/e. [money]

    Raises
    ------
    BadValue
        For lognormal limits.

    References
    ----------
    Gallego and van Ryzin 1994, the deterministic bound (from memory).
    """
    if not isinstance(buyers.limits, Exponential):
        raise BadValue("limits", "lognormal", "exponential for this bound")
    come, n = buyers.per_month * deadline.months, deadline.count
    return buyers.limits.mean * (n * math.log(come / n) if n < come / math.e else come / math.e)
