"""Refusals of ``pithline grow`` by the option that was typed, not by the figure of the formula."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["by_option"]


@contextmanager
def by_option(**typed: tuple[str, object]) -> Iterator[None]:
    """Name option and value as typed where a formula refuses one of its figures.

    Parameters
    ----------
    **typed
        By the figure's name, words joined by ``_``: option and value.
    """
    from pithline.errors import BadValue

    try:
        yield
    except BadValue as wrong:
        found = typed.get(wrong.field.replace(" ", "_"))
        if found is None:
            raise
        raise BadValue(*found, wrong.rule, wrong.remedy) from None
