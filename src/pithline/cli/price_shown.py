"""How a suggested price is shown: words with their reasons, or one JSON object."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Callable

    from pithline.money.hold.listing_range import Outlook
    from pithline.money.price.asking import Asking
    from pithline.money.price.like_sales import ByUse
    from pithline.money.price.piece import Piece
    from pithline.money.price.plain import Plain
    from pithline.units import System

__all__ = ["LIGHT", "Shown", "print_json", "print_words"]

LIGHT = "Far off, and counted for little: {}. Look at them again."
# Plausibility only; nothing is reckoned from it.
MARKET = (
    "Slabs are asked at up to twice figured square lumber of the same wood, by the best-known sellers at "
    "several times plain lumber (common practice, no source)."
)


@dataclass(frozen=True, slots=True)
class Shown:
    """All that is shown of one piece.

    `whence` says where the lumber rate is from; `argued` is the thickness factor that drying argues for.
    """

    currency: str
    piece: Piece
    found: Asking
    plain: Plain | None
    whence: str
    held: Outlook | None
    uses: list[ByUse]
    argued: float | None = None


def print_json(shown: Shown) -> None:
    """One JSON object."""
    piece, found, plain, held = shown.piece, shown.found, shown.plain, shown.held
    import json

    low, mid, high = found.brings
    feet = piece.board_feet
    record: dict[str, Any] = {
        "schema": "pithline/price-ask/1",
        "currency": shown.currency,
        "species": piece.species,
        "tally_bf": feet,
        "basis": found.basis,
        "like_sales": found.like,
        "asking_money": found.price,
        "asking_money_per_bf": found.price / feet,
        "at_floor": found.at_floor,
        "brings_money": {"p10": low, "p50": mid, "p90": high},
        "reasons": [
            {"words": line.words, "factor": line.factor, "running_money_per_bf": line.running}
            for line in found.lines
        ],
        "like": [
            {
                "name": each.sale.name,
                "date": str(each.sale.day),
                "own": each.sale.own,
                "thickness_m": each.sale.piece.thickness,
                "width_m": each.sale.piece.width,
                "length_m": each.sale.piece.length,
                "price_money": each.sale.price,
                "price_money_per_bf": each.sale.per_board_foot,
                "carried_over_money": each.price,
            }
            for each in found.shown
        ],
        "plain_lumber": plain
        and {
            "price_money": plain.price,
            "rate_money_per_bf": plain.rate,
            "share_left_percent": 100 * plain.share,
            "how": str(plain.how),
            "range_money": {"p10": plain.spread[0], "p90": plain.spread[1]},
            "boards_bf": plain.board_feet,
            "boards": [{"width_m": width, "length_m": length} for width, length in plain.boards],
            "source": shown.whence,
            "asking_over_plain": found.price / plain.price if plain.price > 0 else None,
        },
        "thickness_factor_by_drying": shown.argued,
        "by_use": [
            {
                "use": each.use,
                "sales": each.count,
                "piece_money": dict(zip(("p10", "p50", "p90"), each.piece, strict=True)),
                "money_per_bf": dict(zip(("p10", "p50", "p90"), each.per_board_foot, strict=True)),
            }
            for each in shown.uses
        ],
        "hold": held
        and {
            "best_price_money": held.price,
            "months": dict(zip(("p10", "p50", "p90"), held.months, strict=True)),
            "sold_within_12_months_percent": [100 * part for part in held.by_then],
        },
    }
    if found.fit is not None:
        record["fit"] = {
            "sales": found.fit.sales,
            "scatter_percent": 100 * found.fit.scatter,
            "left_out_error_percent": 100 * found.fit.left_out,
            "look_again": list(found.fit.light),
        }
    click.echo(json.dumps(record, indent=2, ensure_ascii=False))


def print_words(shown: Shown, system: System) -> None:
    """For people: results, then remarks."""
    piece, found, plain, held = shown.piece, shown.found, shown.plain, shown.held
    from pithline import units
    from pithline.cli.hold_options import ADVICE
    from pithline.money.amount import show_money
    from pithline.money.months import show_months
    from pithline.money.price.asking import BASES

    code, feet = shown.currency, piece.board_feet

    def cash(value: float) -> str:
        return show_money(value, code)

    def size_of(which: Piece) -> str:
        parts = (which.thickness, which.width)
        length = units.show_length(which.length, system, "long")
        return " x ".join([*(units.show_length(part, system) for part in parts), length])

    low, mid, high = found.brings
    click.echo(f"{piece.species}, {size_of(piece)}, {units.show_volume(piece.volume, 'bf')}, {piece.dried}")
    click.echo(
        f"Ask {cash(found.price)}, {found.price / feet:.2f} per bf" + (" (the floor)" * found.at_floor)
    )
    span = "from" if found.basis == "sales" else "10 to 90 %"
    click.echo(f"  a sale brings {cash(mid)}, {span} {cash(low)} to {cash(high)}")
    click.echo(f"  by {BASES[found.basis]} ({found.like} like it)")
    for n, line in enumerate(found.lines):
        factor = f"{line.factor:8.2f}" if n == 0 else f"x {line.factor:6.3f}"
        click.echo(f"  {factor}  {line.words:<48} {line.running:8.2f} per bf")
    if shown.argued is not None:
        click.echo(f"  days and space in drying alone argue for x {shown.argued:.3f} by thickness")
    for each in found.shown:
        sale = each.sale
        whose = "" if sale.own else f" ({sale.source})"
        paid = f"{cash(sale.price)}, {sale.per_board_foot:.2f} per bf"
        click.echo(
            f"  {sale.day} {sale.name}, {size_of(sale.piece)}: {paid}{whose}; carried over {cash(each.price)}"
        )
    if plain is not None:
        times = f"; the asking price is {found.price / plain.price:.1f} times that" if plain.price > 0 else ""
        click.echo(_plain_words(plain, cash, system) + f" at {plain.rate:.2f} per bf ({shown.whence}){times}")
    for use in shown.uses:
        a, b, c = use.piece
        click.echo(f"Pieces for a {use.use} brought {cash(b)}, {cash(a)} to {cash(c)} ({use.count} sold)")
    if held is not None:
        a, b, c = held.months
        click.echo(
            f"By your listings {cash(held.price)} brings most: {show_months(b)} on offer "
            f"({show_months(a)} to {show_months(c)})"
        )
    if found.fit is not None:
        scatter, error = units.show_share(found.fit.scatter, 0), units.show_share(found.fit.left_out, 0)
        click.echo(
            f"{found.fit.sales} prices scatter by {scatter}; half are foretold by the others within {error}.",
            err=True,
        )
        if found.fit.light:
            click.echo(LIGHT.format(", ".join(found.fit.light)), err=True)
    if plain is not None and plain.price > 0:
        click.echo(MARKET, err=True)
    click.echo(ADVICE, err=True)


def _plain_words(plain: Plain, cash: Callable[[float], str], system: System) -> str:
    from pithline import units
    from pithline.money.price.plain import LEFT, How

    share = f"{units.show_share(plain.share, 0)} of the tally"
    if plain.how is How.RIPPED:
        wide = " + ".join(units.show_length(width, system) for width, _ in plain.boards)
        count = len(plain.boards)
        boards = f"{count} board{'s' * (count != 1)} {wide} wide, " if wide else "no board of 3 in by 4 ft, "
        return f"As plain boards {cash(plain.price)}: {boards}{plain.board_feet:.0f} bf, {share},"
    if plain.how is How.SAID:
        return f"As plain boards {cash(plain.price)}: {share}"
    low, high = (cash(each) for each in plain.spread)
    span = f"{units.show_share(LEFT[0], 0)} to {units.show_share(LEFT[2], 0)}"
    return f"As plain boards {cash(plain.price)}, {low} to {high}: {share} ({span}, a guess; say --widths)"
