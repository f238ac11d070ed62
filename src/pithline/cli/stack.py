"""``pithline stack``: how slabs lie in a stack for air drying, and what it weighs on its floor."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.dry.laying.stack import Stack
    from pithline.dry.laying.stood import Standing
    from pithline.dry.laying.written_stack import WrittenStack
    from pithline.units import System

__all__ = ["command"]


@click.command(
    "stack",
    epilog="""
\b
Examples:
  pithline stack demo/stack.toml
  pithline stack demo/stack.toml --keep-order --reach 1-4 --minutes --json
  pithline stack demo/stack.toml --by-floor --svg stack.svg --sheet stack.pdf

\b
Stacks tip, floors fail and slabs crush: brace, lift with help; ask a structural
engineer about a building's floor; local codes and licensed practice come first.
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--keep-order/--by-floor",
    "keep_order",
    default=None,
    help="Slabs of a log as they were sawn, or as few layers as can be; else as FILE lays them, or by floor.",
)
@click.option("--reach", metavar="SLAB", help="Which slabs are moved first to take this one out.")
@click.option("--minutes", is_flag=True, help="With --reach: what that takes, a guess.")
@click.option("--svg", type=click.Path(path_type=Path), metavar="FILE", help="Draw it from side and end.")
@click.option("--above", type=click.Path(path_type=Path), metavar="FILE", help="Draw each layer from above.")
@click.option(
    "--sheet", type=click.Path(path_type=Path), metavar="FILE", help="Write the stack's card (PDF)."
)
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), default="metric", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/stack/1).")
def command(
    file: Path,
    keep_order: bool | None,
    reach: str | None,
    minutes: bool,
    svg: Path | None,
    above: Path | None,
    sheet: Path | None,
    paper: str,
    system: System,
    as_json: bool,
) -> None:
    """Lay a stack for air drying: FILE holds the tables [ground], [sticks] and [[slab]].

    Heaviest at the bottom, sticks in line over timbers. Weights are at their upper end.
    """
    from pithline.cli.log_input import read_document
    from pithline.dry.laying.lifting import CAUTION as LIFTING
    from pithline.dry.laying.reaching import MINUTES_EACH, moved_first
    from pithline.dry.laying.standing import CAUTION, standing
    from pithline.dry.laying.written_stack import read_stack
    from pithline.errors import BadValue

    if minutes and reach is None:
        raise BadValue("--minutes", "alone", "given with --reach", "Add --reach 1-4.")
    written = read_stack(read_document(file))
    stack = _laid(written, keep_order)
    stood = standing(stack, written.known)
    first = moved_first(stack.layers, reach) if reach else ()
    guess = tuple(each * len(first) for each in MINUTES_EACH) if minutes else ()
    _write(stack, stood, {"--svg": svg, "--above": above, "--sheet": sheet}, paper, system)
    if as_json:
        import json

        from pithline.sheets.pile_json import pile_record

        record: dict[str, Any] = {"schema": "pithline/stack/1", **pile_record(stack, stood)}
        if reach:
            record["reach"] = {"slab": reach, "move_first": list(first)}
            if guess:
                record["reach"] |= {"minutes_low_min": guess[0], "minutes_high_min": guess[1]}
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
    else:
        _print(stack, stood, system)
        if reach:
            _print_reach(reach, first, guess)
    for told in (CAUTION, LIFTING):
        click.echo(told, err=True)


def _laid(written: WrittenStack, keep_order: bool | None) -> Stack:
    from pithline.dry.laying.stack import by_floor, by_hand, by_order

    if keep_order is None and written.places:
        return by_hand(written.slabs, written.places, written.ground, written.stickers)
    if keep_order:
        return by_order(written.slabs, written.sawn, written.ground, written.stickers)
    return by_floor(written.slabs, written.ground, written.stickers)


def _write(stack: Stack, stood: Standing, files: dict[str, Path | None], paper: str, system: System) -> None:
    from pithline.cli.plan_files import write_all

    title = f"Stack, {stack.how}"
    made: list[tuple[str, Path, bytes]] = []
    if path := files["--svg"]:
        from pithline.sheets.stack_sides import stack_sides

        made.append(("--svg", path, stack_sides(stack, stood, title, system).encode()))
    if path := files["--above"]:
        from pithline.sheets.layer_view import layer_view

        drawn = layer_view(stack.layers, stack.ground.floor, stack.stickers, title, system)
        made.append(("--above", path, drawn.encode()))
    if path := files["--sheet"]:
        from datetime import date

        from pithline.sheets.stack_card import stack_card

        dated = date.today().isoformat()  # noqa: DTZ011  (a card bears the date of its place)
        made.append(("--sheet", path, stack_card(stack, stood, title, paper, system, dated)))
    if made:
        write_all(made)
        for _, path, _ in made:
            click.echo(f"Wrote {path}.", err=True)


def _print(stack: Stack, stood: Standing, system: System) -> None:
    from pithline import units
    from pithline.sheets.stack_words import stack_words

    words = stack_words(stack, stood, system)
    click.echo(words.head)
    for n, layer in reversed(list(zip(stack.numbers, stack.layers, strict=True))):
        names = "   ".join(
            f"{laid.slab.name} {'butt far' if laid.turn.end_for_end else 'butt near'}"
            f"{', face down' if laid.turn.face_down else ''}, {units.show_length(laid.along, system)} in, "
            f"{units.show_length(laid.across, system)} from the left"
            for laid in layer.slabs
        )
        click.echo(f"  layer {n:>2}  {units.show_length(layer.thickness, system):>7}  {names}")
    for told in (*words.sticks, *words.loads, *words.lifts, *words.paces):
        click.echo(told)
    for one in stood.reminders:
        click.echo(f"- {one.told}" + (f" [{one.source}]" if one.source else ""))


def _print_reach(name: str, first: tuple[str, ...], guess: tuple[float, ...]) -> None:
    if not first:
        click.echo(f"To reach {name}: it lies free, move nothing.")
        return
    told = f"To reach {name} move {len(first)} first, in this order: {', '.join(first)}."
    if guess:
        told += f" {guess[0]:.0f} to {guess[1]:.0f} minutes with a crew and tools, a guess."
    click.echo(told)
