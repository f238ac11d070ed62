"""How much of a planned tally is really tallied: a prior, and what one's own logs make of it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pithline.errors import BadValue
from pithline.money.likely import Likely

__all__ = ["PRIOR", "realised_yield"]

# Rot, metal, checks, a saw that wandered: a plan knows none of them. Common practice, no source.
PRIOR = Likely(0.65, 0.75, 0.85, 0.0, 1.1, "65 to 85 % of a plan: common practice, no source")

_TENTH = 1.2815515655446004
# How many logs of one's own weigh as much as the prior. A judgement.
_PRIOR_LOGS = 2


def realised_yield(pairs: Sequence[tuple[float, float]] = ()) -> Likely:
    """Tally over plan for the next log.

    Parameters
    ----------
    pairs : sequence of (planned, tallied)
        Of logs that are sawn, in any one unit.

    Returns
    -------
    Likely
        For one further log, not for the mean. [fraction]

    Raises
    ------
    BadValue
        A plan of nothing, or a tally below 0.

    Notes
    -----
    The prior counts as two logs: mean (2 m0 + sum r)/(2 + n), variance
    (2 (s0^2 + (m0 - m)^2) + sum (r - m)^2)/(2 + n), widened by (1 + 1/(2 + n)) for the
    mean's own doubt: the conjugate normal model in plain sums (textbook form, from memory).
    """
    for planned, tallied in pairs:
        if not (planned > 0 and tallied >= 0):
            raise BadValue("plan and tally", (planned, tallied), "a plan above 0 and a tally of 0 or more")
    if not pairs:
        return PRIOR
    ratios = [tallied / planned for planned, tallied in pairs]
    deviation = (PRIOR.high - PRIOR.low) / 2 / _TENTH
    weight = _PRIOR_LOGS + len(ratios)
    mean = (_PRIOR_LOGS * PRIOR.mid + sum(ratios)) / weight
    squares = _PRIOR_LOGS * (deviation**2 + (PRIOR.mid - mean) ** 2) + sum((r - mean) ** 2 for r in ratios)
    half = _TENTH * math.sqrt(squares / weight * (1 + 1 / weight))
    logs = "log" if len(ratios) == 1 else "logs"
    return Likely(
        max(mean - half, 0.0),
        mean,
        mean + half,
        PRIOR.least,
        max(PRIOR.most, max(ratios)),
        f"your own {len(ratios)} {logs} and the prior of 65 to 85 %, which counts as {_PRIOR_LOGS}",
    )
