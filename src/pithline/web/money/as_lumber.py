"""A slab of the book as plain lumber: ripped once for every outline, and kept in memory."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from pithline.web.plan.warming import warmed

if TYPE_CHECKING:
    from pithline.money.price.piece import Piece
    from pithline.money.price.plain import Plain
    from pithline.slab.outline import SlabOutline

__all__ = ["as_lumber"]

_WAIT = 2.0  # [s] kept kernels are read in about a second; longer means that they are being compiled


def as_lumber(piece: Piece, outline: SlabOutline | None, rate: float) -> Plain:
    """The same slab as square-edged lumber.

    Parameters
    ----------
    piece : Piece
    outline : SlabOutline or None
        None where only a mean width is known: then the share left by edging is a guess.
    rate : float
        [money/bf]

    Notes
    -----
    While the kernels of ripping are still being compiled the guess stands in: a page does not wait for
    them.
    """
    from pithline.money.price.plain import by_share

    if outline is None or not warmed(_WAIT, everything=True):
        return by_share(piece, rate)
    columns = outline.z, outline.upper, outline.lower
    z, upper, lower = (tuple(each.ravel().tolist()) for each in columns)
    return _ripped(piece, z, upper, lower, rate)


@lru_cache(maxsize=512)
def _ripped(
    piece: Piece, z: tuple[float, ...], upper: tuple[float, ...], lower: tuple[float, ...], rate: float
) -> Plain:
    import numpy as np

    from pithline.money.price.plain import ripped
    from pithline.slab.outline import SlabOutline

    one, other = (np.array(each, dtype=np.float64).reshape(-1, 2) for each in (upper, lower))
    return ripped(piece, SlabOutline(np.array(z), one, other, piece.thickness), rate)
