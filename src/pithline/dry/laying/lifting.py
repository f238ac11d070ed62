"""How many people a slab asks for, before hands are the wrong tool."""

from __future__ import annotations

from pithline.errors import BadValue

__all__ = ["ALONE", "CAUTION", "most_for", "people_for"]

ALONE = 23.0
"""Most for one person under the best conditions: close to the body, at hip height, no twist. [kg]

The load constant of the revised lifting equation (Waters and others, Ergonomics 36, 1993, from memory).
"""

# A team carries less than the sum of its members: two thirds as two, half as three (guidance on manual
# handling, L23, from memory); half as four is a guess on the same line.
_SHARE = {1: 1.0, 2: 2 / 3, 3: 0.5, 4: 0.5}

CAUTION = (
    "Lifting slabs injures backs, hands and feet: the figures are for the best conditions, wet wood and "
    "rough ground allow less; follow local guidance on manual handling, and use a hoist, a cart or rollers."
)


def most_for(people: int) -> float:
    """Most that so many may lift together, under the best conditions. [kg]"""
    if people not in _SHARE:
        raise BadValue("people", people, "from 1 to 4", "More than four get in each other's way.")
    return people * _SHARE[people] * ALONE


def people_for(mass: float) -> int | None:
    """Fewest people that may lift a slab, or None where it is no load for hands.

    Parameters
    ----------
    mass : float
        [kg]

    Raises
    ------
    BadValue
        Not a mass.
    """
    if not 0 < mass < 1e5:  # NaN fails here too
        raise BadValue("mass", mass, "more than 0 and under 100 t", 'Write "85 kg" or "190 lb".')
    return next((n for n in sorted(_SHARE) if mass <= most_for(n) + 1e-9), None)
