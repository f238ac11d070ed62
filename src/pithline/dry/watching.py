"""What to look after in a stack: when to weigh and turn it, and what may go wrong with it now."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.errors import BadValue

__all__ = [
    "FUNGI_ABOVE",
    "SLOW",
    "TURN_EVERY",
    "Warned",
    "fungus_window",
    "pace_warning",
    "slow_warning",
    "weigh_every",
]

# A stack is looked through and restacked every two months or so (common practice, no source). [days]
TURN_EVERY = 60.0
# Below about 20 % nothing rots or stains (Wood Handbook, FPL-GTR-282, ch. 14, from memory). [fraction]
FUNGI_ABOVE = 0.20
# Decay is slow under 10 and over 35 °C, fastest between 24 and 32 (the same, from memory). [°C]
_WARMTH = (10.0, 35.0)
# A drying rate this far under what was expected has a cause worth looking for (a guess, 0.5 to 0.8).
SLOW = 0.67
_WET = 0.30


@dataclass(frozen=True, slots=True)
class Warned:
    """One thing to see to.

    Attributes
    ----------
    kind : {"too fast", "too wet", "fungi", "insects"}
    told : str
        What is, and what to do.
    source : str
        With its mark.
    """

    kind: str
    told: str
    source: str


def weigh_every(moisture: float) -> float:
    """Days between two weighings of a witness block in a stack.

    Parameters
    ----------
    moisture : float
        Mean now, or as last known. [fraction]

    Returns
    -------
    days : float
        Common practice, no source: a week while above 60 %, two down to 30 %, then four.

    Raises
    ------
    BadValue
        Not a moisture.
    """
    if not 0 <= moisture < 4:  # NaN fails here too
        raise BadValue("moisture", moisture, "a fraction from 0 up (35 % is 0.35)", 'Write "35 %".')
    return 7.0 if moisture > 0.60 else 14.0 if moisture > _WET else 28.0


def pace_warning(loss: float, safe: float, likely: float, moisture: float) -> Warned | None:
    """Whether wet wood loses moisture faster than is safe.

    Parameters
    ----------
    loss : float
        Of the mean in a day. [fraction/day]
    safe, likely : float
        The cautious and the middle figure of `safe_loss`. [fraction/day]
    moisture : float
        Mean then; below 30 % practically no new check is made. [fraction]
    """
    if moisture <= _WET or loss <= safe:
        return None
    how = "too fast" if loss > likely else "near the limit"
    told = (
        f"{how}: {loss * 100:.2f} % a day, safe are {safe * 100:.2f} %. Shade it, shut it against the wind, "
        "wet nothing; look at the ends and faces for checks."
    )
    return Warned("too fast", told, "largest safe daily loss, FPL-GTR-118, 2000 [from memory]")


def slow_warning(rate: float, moisture: float, covered: bool) -> Warned | None:
    """Whether readings say that it dries much slower than its wood and air should.

    Parameters
    ----------
    rate : float
        Drying-rate factor that nine in ten draws are below, after the readings; 1 is as expected.
    moisture : float
        Mean now. [fraction]
    covered : bool
        Something lies on the stack against rain.
    """
    if rate >= SLOW or moisture <= FUNGI_ABOVE:
        return None
    under = "under its cover" if covered else "in its place"
    told = (
        f"too wet {under}: it dries at {rate:.2f} of the expected rate at most. "
        "Let air through: longer sides open, thicker stickers, cover off the wood."
    )
    return Warned("too wet", told, f"under {SLOW:.2f}: a guess, 0.5 to 0.8")


def fungus_window(outside: float, temperature: float) -> Warned | None:
    """Whether stain, mould and rot can grow on it now.

    Parameters
    ----------
    outside : float
        Moisture near the face. [fraction]
    temperature : float
        Mean of the air. [°C]
    """
    if outside <= FUNGI_ABOVE or not _WARMTH[0] <= temperature <= _WARMTH[1]:
        return None
    told = (
        f"fungi can grow: {outside * 100:.0f} % near its faces at {temperature:.0f} °C. Give it air, "
        "sweep off sawdust, look for stain under the stickers; mask on, mould harms lungs."
    )
    return Warned("fungi", told, "Wood Handbook, FPL-GTR-282, ch. 14 [from memory]")
