"""Square-edged boards as the market takes them, at one price a board foot."""

from __future__ import annotations

from pithline.saw.rip.boards import Along, Boards
from pithline.slab.tally import TallyUnit
from pithline.slab.tallying import volume_unit
from pithline.units import BOARD_FOOT, INCH

__all__ = ["market_boards"]

# Lumber is sold by the board foot in random widths and lengths; common practice, no source.
_WIDTHS = tuple(n * INCH for n in range(3, 13))
_SHORTEST = 4 * 12 * INCH
_STEP = 0.004  # rips lie on whole steps from the pith line


def market_boards(price: float, unit: TallyUnit) -> Boards:
    """Boards as the market takes them, at one price.

    Parameters
    ----------
    price : float
        [money/bf]
    unit : TallyUnit
        That the slabs are tallied in.

    Returns
    -------
    Boards
        3 to 12 in wide by whole inches, green; 4 ft and longer; rips parallel to the pith, 4 mm kerf.
    """
    return Boards(
        widths=_WIDTHS,
        least_length=_SHORTEST,
        along=Along.PITH,
        step=_STEP,
        otherwise=price * volume_unit(unit) / BOARD_FOOT,
    )
