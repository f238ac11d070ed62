"""``pithline cost share``, ``load``, ``overhead``, ``split``: one sum over many pieces."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.sum_show import show_sum

if TYPE_CHECKING:
    from pithline.cli.hold_options import Money
    from pithline.money.cost.joint_cost import Piece

__all__ = ["load", "overhead", "share", "split"]


def named(raw: str, field: str) -> tuple[str, list[str]]:
    """``14-3: 0.15 m3, 21 days`` as its name and its parts."""
    from pithline.errors import BadValue

    name, colon, rest = raw.partition(":")
    parts = [part.strip() for part in rest.split(",") if part.strip()]
    if not (colon and name.strip() and parts):
        raise BadValue(field, raw, "a name, a colon and figures", 'Write "14-3: 0.15 m3, 21 days".')
    return name.strip(), parts


def _piece(raw: str, money: Money) -> Piece:
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.cost.joint_cost import Piece

    name, parts = named(raw, "--piece")
    worth: dict[str, float] = {}
    volume = units.volume(parts[0], f"{name} volume")
    for part in parts[1:]:
        found = re.fullmatch(r"(green|final|own)\s+(.+)", part)
        if found is None:
            raise BadValue(
                f"{name}", part, "green, final or own with an amount", 'Write "green 150, final 260, own 45".'
            )
        worth[found[1]] = money.read(found[2], f"--piece {name} {found[1]}")
    return Piece.of(name, volume, worth.get("green", 0.0), worth.get("final", 0.0), worth.get("own", 0.0))


@click.command(
    "share",
    epilog="""
\b
Examples:
  pithline cost share --joint "600 USD" --by-products "40 USD" \\
    --piece "outer A: 30 bf, green 150, final 260, own 45" \\
    --piece "centre B: 55 bf, green 520, final 900, own 80"
  pithline cost share --joint "600 USD" --piece "14-1: 0.09 m3" --piece "14-2: 0.15 m3" --json
""",
)
@click.option("--joint", required=True, metavar="MONEY", help="Log, felling, set-up, sawing, hauling.")
@click.option("--by-products", metavar="MONEY", help="What firewood and blanks bring; taken off first.")
@click.option(
    "--piece", "pieces", multiple=True, required=True, metavar="PIECE", help="Volume, green, final, own cost."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-share/1).")
def share(joint: str, by_products: str | None, pieces: tuple[str, ...], as_json: bool) -> None:
    """Share a log's joint cost over its pieces in four ways, each adding up to the same.

    By volume, by sales value at split-off, by net realisable value, at a constant margin.
    """
    from pithline.cli.hold_options import Money
    from pithline.errors import BadValue
    from pithline.money.amount import show_money
    from pithline.money.cost.joint_cost import share_joint_cost

    money = Money()
    whole, less = money.read(joint, "--joint"), money.read(by_products, "--by-products")
    if less > whole:
        remedy = "Where they pay the whole log, the slabs bear nothing of it."
        raise BadValue("--by-products", by_products, f"at most the joint cost, {joint}", remedy)
    those = [_piece(raw, money) for raw in pieces]
    code = money.code
    ways = share_joint_cost(whole, those, less)
    if not any(way.shares for way in ways):
        told = "with a volume, or what it brings green or finished"
        raise BadValue("--piece", pieces[0], told, 'Write "14-1: 0.09 m3".')
    record = {
        "currency": code,
        "joint_money": whole,
        "by_products_money": less,
        "ways": [
            {
                "way": way.way,
                "shares": [
                    {"piece": piece.name, "share_money": money}
                    for piece, money in zip(those, way.shares, strict=False)
                ],
                "remark": way.remark,
            }
            for way in ways
        ],
    }
    lines = [("piece", "  ".join(f"{way.way:>15}" for way in ways if way.shares))]
    lines += [
        (piece.name, "  ".join(f"{way.shares[n]:15.2f}" for way in ways if way.shares))
        for n, piece in enumerate(those)
    ]
    lines.append(("sum", "  ".join(f"{sum(way.shares):15.2f}" for way in ways if way.shares)))
    show_sum("share", record, lines, as_json)
    for way in ways:
        if way.remark:
            click.echo(f"By {way.way}: {way.remark}.", err=True)
    if not as_json:
        shared = show_money(whole - less, code)
        click.echo(
            f"{shared} shared. A share says what stock stands for; whether to work on a slab "
            "compares only what that brings with what that costs.",
            err=True,
        )


@click.command(
    "load",
    epilog="""
\b
Examples:
  pithline cost load --cost "180 USD" --slab "14-3: 0.15 m3, 21 days" --slab "14-4: 0.18 m3, 28 days" --json
""",
)
@click.option("--cost", required=True, metavar="MONEY", help="Of the whole kiln load.")
@click.option("--slab", "slabs", multiple=True, required=True, metavar="SLAB", help="Volume and days in it.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-load/1).")
def load(cost: str, slabs: tuple[str, ...], as_json: bool) -> None:
    """Share a kiln load's cost by the room that each slab took and for how many days."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.amount import amount
    from pithline.money.cost.keeping import share_load
    from pithline.money.months import months

    whole = amount(cost, "--cost")
    read = [named(raw, "--slab") for raw in slabs]
    for name, parts in read:
        if len(parts) != 2:
            raise BadValue(name, ", ".join(parts), "a volume and a time", 'Write "0.15 m3, 21 days".')
    shares = share_load(
        float(whole),
        [units.volume(parts[0], name) for name, parts in read],
        [months(parts[1], name) for name, parts in read],
    )
    names = [name for name, _ in read]
    _show_shares("load", whole.code, names, shares, as_json)


@click.command(
    "overhead",
    epilog="""
\b
Examples:
  pithline cost overhead --amount "90 USD" --by hours --bearer "oak: 22 h" --bearer "custom work: 8 h"
  pithline cost overhead --amount "90 USD" --by volume --bearer "oak: 1.2 m3" --bearer "ash: 0.8 m3" --json
""",
)
@click.option("--amount", "sum_", required=True, metavar="MONEY", help="Of the month.")
@click.option(
    "--by",
    "key",
    required=True,
    type=click.Choice(["hours", "volume", "value", "slabs", "space and months"]),
    help="The key; space and months takes a volume and a time.",
)
@click.option("--bearer", "bearers", multiple=True, required=True, metavar="NAME: FIGURE")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-overhead/1).")
def overhead(sum_: str, key: str, bearers: tuple[str, ...], as_json: bool) -> None:
    """Share a month's overhead by one key."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.amount import amount
    from pithline.money.cost.costs import OverheadKey
    from pithline.money.cost.overhead import Bearer, share_overhead
    from pithline.money.months import months

    whole, by = amount(sum_, "--amount"), OverheadKey(key)
    those = []
    for raw in bearers:
        name, parts = named(raw, "--bearer")
        if len(parts) != 1 + (by is OverheadKey.SPACE):
            raise BadValue(name, ", ".join(parts), f"one figure for {key}", 'Write "oak: 1.2 m3, 1 month".')
        match by:
            case OverheadKey.HOURS:
                those.append(Bearer(name, hours=units.duration(parts[0], name) / 60))
            case OverheadKey.VOLUME:
                those.append(Bearer(name, volume=units.volume(parts[0], name)))
            case OverheadKey.VALUE:
                those.append(Bearer(name, value=float(amount(parts[0], name))))
            case OverheadKey.SLABS:
                if not parts[0].isdigit():
                    raise BadValue(name, parts[0], "a number of slabs")
                those.append(Bearer(name, slabs=int(parts[0])))
            case OverheadKey.SPACE:
                those.append(Bearer(name, volume=units.volume(parts[0], name), months=months(parts[1], name)))
    shares = share_overhead(float(whole), by, those)
    _show_shares("overhead", whole.code, [b.name for b in those], shares, as_json)


@click.command(
    "split",
    epilog="""
\b
Examples:
  pithline cost split --total "100.00" --parts 1,1,1
  pithline cost split --total "560.00 USD" --parts 30,55,60,40,15 --json
""",
)
@click.option("--total", required=True, metavar="MONEY")
@click.option("--parts", required=True, metavar="NUMBERS", help="Weights, parted by commas.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-split/1).")
def split(total: str, parts: str, as_json: bool) -> None:
    """Split an amount by weights to whole cents, none lost: the largest remainders get them."""
    from decimal import Decimal, InvalidOperation

    from pithline.errors import BadValue
    from pithline.money.amount import amount
    from pithline.money.rounding import decimals, split_money

    whole = amount(total, "--total")
    try:
        weights = [Decimal(part.strip()) for part in parts.split(",")]
    except InvalidOperation:
        raise BadValue("--parts", parts, "numbers parted by commas", "Write 1,1,1.") from None
    if not all(weight.is_finite() and weight <= 10**12 for weight in weights):
        raise BadValue("--parts", parts, "numbers of at most 1,000,000,000,000", "Write 1,1,1.")
    shares = split_money(whole.value, weights, decimals(whole.code))
    record = {"currency": whole.code, "shares_money": [str(each) for each in shares]}
    show_sum("split", record, [(str(w), str(s)) for w, s in zip(weights, shares, strict=True)], as_json)


def _show_shares(kind: str, code: str, names: list[str], shares: tuple[float, ...], as_json: bool) -> None:
    record: dict[str, Any] = {
        "currency": code,
        "shares": [{"name": n, "share_money": s} for n, s in zip(names, shares, strict=True)],
    }
    lines = [(n, f"{s:.2f} {code}".rstrip()) for n, s in zip(names, shares, strict=True)]
    show_sum(kind, record, lines, as_json)
