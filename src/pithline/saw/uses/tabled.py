"""Refuses what is read from the tables of all counts where there are none."""

from __future__ import annotations

import math

from pithline.errors import BadValue
from pithline.saw.model import Model
from pithline.saw.uses.wants import MOST_STATES

__all__ = ["need_tables"]


def need_tables(model: Model, what: str) -> None:
    """Raise where a solver keeps the counts, so that no table says what is best below every face.

    Parameters
    ----------
    model : Model
    what : str
        Is asked for: "The field card".

    Raises
    ------
    BadValue
        With what to do.
    """
    if model.wants is None or not model.wants.by_solver:
        return
    states = math.prod(int(d) + 1 for d in model.wants.digits)
    raise BadValue(
        "rates.use",
        f"orders and capped uses of {states:,} combinations",
        f"at most {MOST_STATES:,} combinations. {what} is read from tables of them all",
        "Ask for fewer pieces, or leave caps away that the log cannot reach.",
    )
