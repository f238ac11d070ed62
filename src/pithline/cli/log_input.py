"""How a command line gets its log: from a file, from a few options, or from both."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.errors import BadFile, Question

if TYPE_CHECKING:
    from pithline.log.record import LogRecord

__all__ = ["LOG_OPTIONS", "log_options", "read_document", "record_of"]

LOG_OPTIONS = ("species", "length", "butt", "top", "stations", "bark", "sweep", "bearers", "name")
"""Names under which `log_options` hands its texts to the command."""

_SIZE = (
    '"64 cm", "82 x 76 cm" (across x tall), "girth 2.1 m", or "up 40 cm, down 37 cm, left 40 cm, right 42 cm"'
)


def log_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the record file and the options that say or overrule it, and `top_is_wider`."""
    options = [
        click.argument(
            "file", required=False, type=click.Path(path_type=Path, allow_dash=True), metavar="[FILE]"
        ),
        click.option("--species", metavar="NAME", help='What tree it is: "red oak".'),
        click.option("--length", metavar="LENGTH", help='Butt to top: "4.2 m".'),
        click.option("--butt", metavar="SIZE", help=f"Butt end under bark: {_SIZE}."),
        click.option("--top", metavar="SIZE", help="Top end under bark, likewise."),
        click.option(
            "--station",
            "stations",
            multiple=True,
            metavar="PLACE: SIZE",
            help='A width between the ends, over bark: "0.9 m: 61 cm". May be repeated.',
        ),
        click.option("--bark", metavar="LENGTH", help='Bark thickness, one side: "18 mm".'),
        click.option("--sweep", metavar="HOW", help='Bend of the log: "35 mm towards 2 o\'clock".'),
        click.option(
            "--bearers", metavar="LENGTH", help='Height of the underside above the ground: "20 cm".'
        ),
        click.option("--name", metavar="NAME", help="What you call the log."),
        click.option("--top-is-wider", is_flag=True, help="Confirm that the top is wider than the butt."),
    ]
    for option in reversed(options):
        command = option(command)
    return command


def read_document(file: Path | None) -> dict[str, Any]:
    """Tables of a TOML (or JSON) file; of standard input for ``-``; none without a file.

    Raises
    ------
    BadFile
        Not there, not text, or not TOML; names line and column.
    """
    from pithline.fields import parse_toml

    if file is None:
        return {}
    name = "standard input" if str(file) == "-" else str(file)
    try:
        data = sys.stdin.buffer.read() if str(file) == "-" else file.read_bytes()
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        column = problem.start - (data.rfind(b"\n", 0, problem.start) + 1) + 1
        raise BadFile(
            f"{name}, line {line}, column {column}: this is not UTF-8 text. Save the file as UTF-8."
        ) from None
    except OSError as problem:
        raise BadFile(f"{name} cannot be read: {problem.strerror}. Look at the path.") from None
    return _json(text, name) if name.endswith(".json") else parse_toml(text, name)


def record_of(document: Mapping[str, Any], options: Mapping[str, Any]) -> LogRecord:
    """The log of a document, overruled by options.

    Parameters
    ----------
    document : mapping
        See `read_document`.
    options : mapping
        By the names of `LOG_OPTIONS`, and ``top_is_wider``; other keys are passed over.

    Raises
    ------
    BadValue, Question
        As `from_table`. On a terminal a question is asked there.
    """
    from pithline.log.options import table_from_options
    from pithline.log.written import TOP_IS_WIDER, from_table

    said = table_from_options(**{name: options[name] for name in LOG_OPTIONS if options.get(name)})
    if not document and not said:
        raise click.UsageError(
            "No log. Give a record FILE, or at least --species, --length, --butt and --top; "
            'for instance: --species "red oak" --length "4.2 m" --butt "82 cm" --top "64 cm"'
        )
    tables = dict(document)
    for name, table in said.items():
        written = tables.get(name, {})
        tables[name] = {**written, **table} if isinstance(written, Mapping) else written
    confirmed = {TOP_IS_WIDER} if options.get("top_is_wider") else set()
    try:
        return from_table(tables, confirmed)
    except Question as question:
        if not (sys.stdin.isatty() and sys.stderr.isatty()):
            raise
        if not click.confirm(f"{question.question} Is it so?", err=True):
            raise
        return from_table(tables, {*confirmed, question.option})


def _json(text: str, name: str) -> dict[str, Any]:
    import json

    try:
        document = json.loads(text)
    except json.JSONDecodeError as problem:
        raise BadFile(
            f"{name}, line {problem.lineno}, column {problem.colno}: this is not JSON: {problem.msg}."
        ) from None
    if not isinstance(document, dict):
        raise BadFile(f'{name}, line 1, column 1: this is not a record; it begins with "{{".')
    return document
