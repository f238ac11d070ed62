"""What nobody said of mill and aims, and what it might be instead."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.written.assumed import Assumed

__all__ = ["Setting", "settings"]

Setting = tuple[str, Mill, Aims]
Change = Callable[[Mill, Aims], tuple[Mill, Aims]]


def _bar(bar: float) -> Change:
    return lambda mill, aims: (replace(mill, bar=bar), aims)


def _lost(lost: float) -> Change:
    return lambda mill, aims: (replace(mill, bar_lost=lost), aims)


def _kerf(kerf: float) -> Change:
    return lambda mill, aims: (replace(mill, kerf=kerf), aims)


def _trim(trim: float) -> Change:
    return lambda mill, aims: (mill, replace(aims, trim_butt=trim, trim_top=trim))


# common practice, no source; only what the place or the saw decides, not what is a wish
_OTHERWISE: dict[str, tuple[tuple[str, Change], tuple[str, Change]]] = {
    "mill.bar": (("75 cm", _bar(0.75)), ("105 cm", _bar(1.05))),
    "mill.bar_lost": (("18 cm", _lost(0.18)), ("10 cm", _lost(0.10))),
    "mill.kerf": (("10 mm", _kerf(0.010)), ("8 mm", _kerf(0.008))),
    "aims.sealed": (("no", _trim(0.15)), ("yes", _trim(0.05))),
}


def settings(
    assumed: Iterable[Assumed], mill: Mill, aims: Aims
) -> Iterator[tuple[Assumed, Setting, Setting]]:
    """Each default that could be tried out, with mill and aims as they might be.

    Parameters
    ----------
    assumed : iterable of Assumed
        What was left out of the tables; whatever nothing is known about is passed over.
    mill, aims : Mill, Aims
        As they were assumed.

    Yields
    ------
    assumed : Assumed
    low, high : (text, Mill, Aims)
    """
    for one in assumed:
        if one.field in _OTHERWISE:
            low, high = ((text, *change(mill, aims)) for text, change in _OTHERWISE[one.field])
            yield one, low, high
