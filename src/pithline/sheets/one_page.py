"""The largest print at which a paper keeps to one page."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping, Sequence
from importlib.resources import files
from typing import Any

__all__ = ["SIZES", "one_page"]

SIZES = (11.5, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.6)
"""From roomy to tight; less cannot be read at arm's length. [pt]"""

_LONG, _PARTS, _BREAK = re.compile(r"\S{25,}"), re.compile(r".{1,12}"), "\u200b"


def one_page(
    template: str, content: Callable[[float], Mapping[str, Any]], sizes: Sequence[float] = SIZES
) -> bytes:
    """Lay a paper out.

    Parameters
    ----------
    template : str
        A file of this room; it marks where it ends: ``#context [#metadata(here().page()) <end>]``.
    content : callable
        From the size of print [pt] to what goes on the paper.
    sizes : sequence of float
        To try, the largest first. [pt]

    Returns
    -------
    bytes
        A PDF; of two pages only where the least print does not do.
    """
    import typst

    source = files("pithline.sheets").joinpath(template).read_bytes()

    def inputs_at(size: float) -> dict[str, str]:
        return {"sheet": json.dumps({**_breakable(content(size)), "size": size})}

    def fits(inputs: dict[str, str]) -> bool:
        last = typst.query(
            source, "<end>", field="value", one=True, ignore_system_fonts=True, sys_inputs=inputs
        )
        return bool(json.loads(last) == 1)

    # Less print fits better: halve what is left to try.
    low, high = 0, len(sizes) - 1
    found = inputs_at(sizes[high])
    while low < high:
        middle = (low + high) // 2
        tried = inputs_at(sizes[middle])
        if fits(tried):
            found, high = tried, middle
        else:
            low = middle + 1
    return bytes(typst.compile(source, format="pdf", ignore_system_fonts=True, sys_inputs=found))


def _breakable(told: Any) -> Any:
    """The same, with places to break in words that are wider than a column: names of slabs and stacks."""
    if isinstance(told, Mapping):
        return {name: _breakable(each) for name, each in told.items()}
    if isinstance(told, list | tuple):
        return [_breakable(each) for each in told]
    if not isinstance(told, str) or told.lstrip().startswith("<"):  # a drawing
        return told
    return _LONG.sub(lambda word: _BREAK.join(_PARTS.findall(word[0])), told)
