"""``pithline cost slab`` and ``cost month``: one slab's floor and full cost, and what waiting takes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from pithline.cli.sum_show import show_sum

if TYPE_CHECKING:
    from pithline.money.cost.per import Per

__all__ = ["month", "slab"]

_KEEPING = (
    click.option("--volume", required=True, metavar="VOLUME", help="Of the slab."),
    click.option("--worth", metavar="MONEY", help="What it would bring today."),
    click.option("--interest", default="8 %", metavar="SHARE", show_default=True, help="A year. A guess."),
    click.option("--loss", default="2 %", metavar="SHARE", show_default=True, help="A year. A guess."),
    click.option("--space", metavar="MONEY", help='Rent: "6 per m3 and month". [default: free]'),
    click.option("--json", "as_json", is_flag=True, help="Print JSON."),
)


def _keeping(command: Any) -> Any:
    for option in reversed(_KEEPING):
        command = option(command)
    return command


def _shares(interest: str, loss: str, space: str | None) -> tuple[float, Per | None]:
    """Interest and loss a month, and the rent of a cubic metre."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.cost.per import per_cubic_metre_month

    yearly, lost = units.share(interest, "--interest"), units.share(loss, "--loss")
    for option, said, share in (("--interest", interest, yearly), ("--loss", loss, lost)):
        if share > 1:
            raise BadValue(option, said, "at most 100 % a year", "Look at the point.")
    return (yearly + lost) / 12, per_cubic_metre_month(space, "--space") if space is not None else None


def _volume(said: str) -> float:
    from pithline import units
    from pithline.errors import BadValue

    cubic = units.volume(said, "--volume")
    if not 0 < cubic <= 100:
        raise BadValue("--volume", said, "more than 0 and at most 100 m3", "Say one slab's.")
    return cubic


@click.command(
    "month",
    epilog="""
\b
Examples:
  pithline cost month --volume "0.15 m3" --worth "480 USD" --space "6 per m3 and month"
  pithline cost month --volume "60 bf" --worth "480 USD" --interest "6 %" --json
""",
)
@_keeping
def month(volume: str, worth: str | None, interest: str, loss: str, space: str | None, as_json: bool) -> None:
    """What one further month of a slab costs: money tied up, chance of loss, room."""
    from pithline.money.amount import amount, one_currency, show_money
    from pithline.money.cost.keeping import month_cost

    lies = amount(worth, "--worth") if worth is not None else None
    share, per = _shares(interest, loss, space)
    cubic, rent = _volume(volume), per.value if per else 0.0
    cost = month_cost(float(lies) if lies else 0.0, cubic, share, rent)
    code = one_currency([lies, per])
    record = {
        "currency": code,
        "volume_m3": cubic,
        "tied_up_and_loss_money_per_month": cost - cubic * rent,
        "room_money_per_month": cubic * rent,
        "cost_money_per_month": cost,
    }
    lines = [
        ("money tied up, loss", show_money(cost - cubic * rent, code)),
        ("room", show_money(cubic * rent, code)),
        ("one further month", show_money(cost, code)),
    ]
    show_sum("month", record, lines, as_json)


@click.command(
    "slab",
    epilog="""
\b
Examples:
  pithline cost slab --volume "0.15 m3" --spent "log share: 96 USD" --spent "drying: 14" \\
    --still "flattening: 40" --other "plain lumber: 55" --fee "3 %"
  pithline cost slab --volume "60 bf" --spent "log share: 96 USD" --months "4 months" --worth "480" --json
""",
)
@_keeping
@click.option("--spent", multiple=True, metavar="WHAT: MONEY", help="Gone already. Repeat for more.")
@click.option("--still", multiple=True, metavar="WHAT: MONEY", help="To be spent if it is sold as meant.")
@click.option("--other", "others", multiple=True, metavar="WHAT: MONEY", help="What another use would leave.")
@click.option("--fee", default="0 %", metavar="SHARE", help="Of the price.")
@click.option("--months", metavar="TIME", help="That it will still lie.")
def slab(
    volume: str,
    worth: str | None,
    interest: str,
    loss: str,
    space: str | None,
    as_json: bool,
    spent: tuple[str, ...],
    still: tuple[str, ...],
    others: tuple[str, ...],
    fee: str,
    months: str | None,
) -> None:
    """What a slab cost so far, what a month more costs, its floor price today and its full cost.

    The floor holds only what is still to be spent and the best other use: what is spent is spent.
    """
    from pithline import units
    from pithline.cli.cost_share import named
    from pithline.money.amount import Amount, amount, one_currency, show_money
    from pithline.money.cost.slab_cost import slab_cost
    from pithline.money.months import months as months_of

    amounts: list[Amount] = []

    def lines_of(rows: tuple[str, ...], option: str) -> dict[str, float]:
        found: dict[str, float] = {}
        for raw in rows:
            name, parts = named(raw, option)
            each = amount(", ".join(parts), f"{option} {name}")
            amounts.append(each)
            found[name] = found.get(name, 0.0) + float(each)
        return found

    share, per = _shares(interest, loss, space)
    lies = amount(worth, "--worth") if worth is not None else None
    made = slab_cost(
        lines_of(spent, "--spent"),
        lines_of(still, "--still"),
        lines_of(others, "--other"),
        volume=_volume(volume),
        fee=units.share(fee, "--fee"),
        month_share=share,
        per_volume_month=per.value if per else 0.0,
        worth=float(lies) if lies else None,
        months=months_of(months, "--months") if months is not None else 0.0,
    )
    code = one_currency([*amounts, lies, per])
    record = {
        "currency": code,
        "spent": [{"what": what, "money": money} for what, money in made.spent],
        "still": [{"what": what, "money": money} for what, money in made.still],
        "so_far_money": made.so_far,
        "further_month_money_per_month": made.per_month,
        "still_to_spend_money": made.to_spend,
        "best_other_use": {"what": made.other_use[0], "money": made.other_use[1]},
        "floor_money": made.floor,
        "full_money": made.full,
    }
    shown = [
        ("spent so far", show_money(made.so_far, code)),
        ("one further month", show_money(made.per_month, code)),
        ("still to be spent", show_money(made.to_spend, code)),
        ("best other use", f"{made.other_use[0]}, {show_money(made.other_use[1], code)}"),
        ("floor price now", show_money(made.floor, code)),
        ("full cost", show_money(made.full, code)),
    ]
    show_sum("slab-cost", record, shown, as_json)
