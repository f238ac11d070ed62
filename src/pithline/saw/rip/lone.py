"""The best rip of a slab that no log stands behind: bought, or sawn long ago."""

from __future__ import annotations

from pithline.errors import BadValue
from pithline.saw.aims import Aims, SizeKind, ThicknessAim
from pithline.saw.menu import Choice
from pithline.saw.rip.boards import Boards, Rip
from pithline.saw.rip.ripping import rip_outline
from pithline.saw.rip.stock import stock_of
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyUnit
from pithline.units import BOARD_FOOT

__all__ = ["rip_lone"]


def rip_lone(outline: SlabOutline, boards: Boards, thickness: float) -> Rip:
    """Rip one slab the best way.

    Parameters
    ----------
    outline : SlabOutline
        From end to end all of it is used.
    boards : Boards
        Their rates are for a board foot of `thickness`.
    thickness : float
        That boards are sold by. [m]

    Returns
    -------
    Rip
        Without boards where none fits.

    Raises
    ------
    BadValue
        A thickness of 0 or less, an outline of fewer than two places.

    Notes
    -----
    Where the pith lay is not known: no board is marked down for it. What was taped is laid about a
    straight middle line, so rips parallel to the pith run parallel to that.
    """
    if not thickness > 0:
        raise BadValue("thickness", thickness, "more than 0")
    if outline.z.size < 2:
        raise BadValue("outline", f"{outline.z.size} places", "two places along the slab at least")
    aim = ThicknessAim("slab", SizeKind.GREEN, thickness)
    feet = thickness / BOARD_FOOT
    choice = Choice(aim, thickness, 1, thickness, feet, feet, 0.0)
    aims = Aims((aim,), unit=TallyUnit.BF_SAWN)
    start, end = float(outline.z[0]), float(outline.z[-1])
    stock = stock_of(boards, (choice,), aims, None, end - start)
    return rip_outline(outline, (start, end), (False, 0.0), boards, stock, 0)
