"""The door: finds the command, and turns whatever goes wrong into words and an exit code."""

from __future__ import annotations

import difflib
import importlib
import os
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from pithline import __version__
from pithline.errors import Question, Refused

__all__ = ["COMMANDS", "main", "module_of", "pithline"]

# Name -> what it does. Each lives in a module of pithline.cli (see `module_of`) as `command`,
# and is imported only when typed, so that help answers at once.
COMMANDS = {
    "serve": "Open the book in the browser: logs, plans, slabs, where they lie.",
    "backup": "The whole book in one archive.",
    "restore": "A book from its backup.",
    "export": "The book as plain tables: CSV, JSON or XLSX.",
    "import": "Tables from a spreadsheet, shown first, then entered.",
    "token": "Let a program or a phone use the book.",
    "plan": "The best cuts for a log, how to set the rail, and the cut sheet.",
    "buck": "Where to cut a long stem across, with the plan of every piece.",
    "halve": "A log too wide for the bar: halves or quarters first, beside the whole.",
    "rip": "Slabs, square-edged boards or both mixed, compared on the same log.",
    "log": "What a log holds: volume, log scales, weight, and what was assumed.",
    "species": "What is known about a wood: density, shrinkage, bark, and the sources.",
    "shrink": "The size of a piece after drying, with a range.",
    "dry": "How fast a slab dries, and the day it is ready, with ranges.",
    "kiln": "A kiln run: which schedule, what to set, how long, how much water and power.",
    "charge": "Which slabs go into the next kiln load, and how they lie.",
    "stack": "How slabs lie in a stack for air drying, its loads, what to move first.",
    "emc": "The moisture that wood comes to rest at in given air.",
    "reading": "A moisture reading put right; what a stack's readings teach.",
    "drysize": "A slab's size, cup and flat thickness once dry; all slabs of a log.",
    "price": "What a slab may be asked, and why, line by line.",
    "hold": "What to ask for a slab, how long to wait, when to let it go.",
    "worth": "Whether a log on offer is worth it, and what may be paid for it.",
    "cost": "What an hour, a log, a slab and a month of waiting cost, step by step.",
    "grow": "Whether the next step pays: a mill, a kiln, more stock; the narrowest stage.",
    "sum": "One sum at a time: sizes, volumes, log scales, thickness, grain, tally.",
}

DONE, OUR_FAULT, REFUSED, INTERRUPTED, PIPE_CLOSED = 0, 1, 2, 130, 141


def module_of(name: str) -> str:
    """Where a command lives; `import` is a word of Python's own, so its module is called otherwise."""
    return f"pithline.cli.{'import_book' if name == 'import' else name}"


class _Rooms(click.Group):
    """A group whose commands are imported on use."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        found = importlib.import_module(module_of(cmd_name)).command
        assert isinstance(found, click.Command)
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in COMMANDS:
            near = difflib.get_close_matches(args[0], COMMANDS, n=1)
            hint = f'did you mean "{near[0]}"?' if near else f"there are: {', '.join(COMMANDS)}."
            raise click.UsageError(f'There is no command "{args[0]}"; {hint}', ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        # Told from the table above: asking each command would import them all.
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=_Rooms,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="""
\b
Examples:
  pithline serve --check
  pithline backup yard.zip
  pithline restore yard.zip --book restored
  pithline export yard.xlsx
  pithline import demo/offers.csv
  pithline token "barn tablet"
  pithline plan demo/hollow-oak.toml --sheet hollow-oak.pdf
  pithline buck demo/hollow-oak-stem.toml --cut-step "50 cm"
  pithline rip demo/hollow-oak.toml --with demo/boards.toml
  pithline halve demo/hollow-oak.toml --bar "60 cm"
  pithline log demo/hollow-oak.toml
  pithline species "red oak"
  pithline shrink "red oak" --size "600 mm" --to "8 %"
  pithline dry "red oak" --thickness 12/4 --place Pittsburgh --begin 2026-04-01
  pithline kiln load demo/kiln.toml
  pithline charge demo/charge.toml
  pithline stack demo/stack.toml
  pithline emc --temperature "70 F" --humidity "65 %"
  pithline reading meter "22 %" --species "red oak" --temperature "5 C" --depth "16 mm"
  pithline drysize slab "red oak" --thickness "80 mm" --left "28 cm" --right "30 cm" --height "12 cm"
  pithline price premiums demo/sales.toml
  pithline hold price --buyers "2 per month" --pays "400 USD" --holding 6
  pithline worth demo/phone-call.toml
  pithline cost hour --costs demo/costs.toml
  pithline grow invest --flow "-20000,4500,5600,5600,5600,10600" --rate "10 %"
  pithline sum thickness 12/4 --species "red oak"

\b
Every size carries its unit: "80 mm", "2.4 m", '3 1/8"', 12/4, "8'6\\"".
Results go to standard output, remarks to standard error.
Exit code 0: done. 2: refused, and the message says what to change. 1: our fault.

Chainsaw mills, rolling logs and lifting can kill: a plan says where to saw, not
that it is safe to; follow local codes, the maker's manual and licensed practice.
""",
)
@click.version_option(__version__, "--version", prog_name="pithline", message="%(prog)s %(version)s")
def pithline() -> None:
    """From a log measured with a tape to a sawing plan and one sheet to carry to it.

    Say the log, the mill and the slabs you want; get the cuts that are worth
    most, the height of the rail at both ends for each, and where the wood went.
    """


def main(args: Sequence[str] | None = None) -> int:
    """Run one command line and return its exit code.

    Parameters
    ----------
    args : sequence of str, optional
        The words after ``pithline``; those of the process if left out.

    Returns
    -------
    code : int
        0 done, 2 refused, 1 our own fault; as any Unix command, 130 when
        interrupted and 141 when the reader of the output went away.
    """
    words = list(sys.argv[1:] if args is None else args)
    try:
        with pithline.make_context("pithline", words) as context:
            pithline.invoke(context)
        # Here and not at interpreter exit, where a closed pipe could not be caught.
        sys.stdout.flush()
    except click.exceptions.Exit as end:
        return end.exit_code if _flushed() else PIPE_CLOSED
    except click.ClickException as wrong:
        wrong.show()
        return REFUSED
    except Question as question:
        return _say(f"Question: {question}", REFUSED)
    except Refused as refusal:
        return _say(f"Refused: {refusal}", REFUSED)
    except BrokenPipeError:
        _drop_stdout()
        return PIPE_CLOSED
    except (KeyboardInterrupt, click.Abort):
        return _say("Stopped.", INTERRUPTED)
    except OSError as fault:
        if fault.filename is None or _is_ours(fault.filename):
            return _our_fault(fault)
        return _say(
            f"Refused: {fault.filename} cannot be used: {fault.strerror}. "
            "Check the path and that you may read or write there.",
            REFUSED,
        )
    except Exception as fault:  # noqa: BLE001 - the last door: say it is us, not them
        return _our_fault(fault)
    return DONE


def _our_fault(fault: BaseException) -> int:
    if os.environ.get("PITHLINE_TRACEBACK") == "1":
        import traceback

        traceback.print_exception(fault)
    told = " ".join(f"{type(fault).__name__}: {fault}".split())
    return _say(
        f"Pithline failed, and that is our fault, not yours ({told}).\n"
        "Please report it with the command you typed and its files; "
        "with PITHLINE_TRACEBACK=1 before the command it shows where.",
        OUR_FAULT,
    )


def _say(text: str, code: int) -> int:
    click.echo(text, err=True)
    return code


def _is_ours(filename: object) -> bool:
    """A file of the package itself: that it is missing is not the user's doing."""
    package = Path(__file__).resolve().parents[1]
    return package in Path(str(filename)).resolve().parents


def _flushed() -> bool:
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _drop_stdout()
        return False
    return True


def _drop_stdout() -> None:
    # Python flushes once more when it ends and would complain about the same pipe.
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
