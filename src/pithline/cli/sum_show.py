"""How a single sum is shown: words beside figures, or one JSON object."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import click

__all__ = ["show_sum"]


def show_sum(name: str, record: Mapping[str, Any], lines: Iterable[tuple[str, str]], as_json: bool) -> None:
    """Print `record` as JSON under the schema ``pithline/sum-<name>/1``, else the lines.

    Parameters
    ----------
    name : str
    record : mapping
        Keys with their units.
    lines : iterable of (what, figure)
    as_json : bool
    """
    if as_json:
        import json

        click.echo(json.dumps({"schema": f"pithline/sum-{name}/1", **record}, indent=2, ensure_ascii=False))
        return
    lines = list(lines)
    wide = max(len(what) for what, _ in lines)
    for what, figure in lines:
        click.echo(f"{what:<{wide}}  {figure}")
