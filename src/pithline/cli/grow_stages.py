"""``pithline grow yard``, ``kiln``, ``stages``: stock that dries, what a kiln takes, the narrowest stage."""

from __future__ import annotations

import click

from pithline.cli.grow_options import by_option
from pithline.cli.sum_show import show_sum

__all__ = ["kiln", "stages", "yard"]

_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


@click.command(
    "yard",
    epilog="""
\b
Examples:
  pithline grow yard --green "500 bf" --drying "18 months" --cost "4 USD" --interest "10 %"
  pithline grow yard --green "1 m3" --drying "30 months" --cost "4 USD" --stacked "60 bf" --aisles 2 --json
""",
)
@click.option("--green", required=True, metavar="VOLUME", help="Sawn a month.")
@click.option("--drying", required=True, metavar="TIME", help="Till it leaves; pithline dry tells.")
@click.option("--cost", required=True, metavar="MONEY", help="What lies in a board foot.")
@click.option("--interest", default="8 %", show_default=True, metavar="SHARE", help="A year. A guess.")
@click.option(
    "--stacked", default="60 bf", show_default=True, metavar="VOLUME", help="On a square metre; a guess."
)
@click.option("--aisles", default=2.0, show_default=True, type=float, help="Ground over stacks; a guess.")
@_JSON
def yard(
    green: str, drying: str, cost: str, interest: str, stacked: str, aisles: float, as_json: bool
) -> None:
    """What lies drying, the money in it, and the ground that it needs."""
    from pithline import units
    from pithline.money.amount import amount, show_money
    from pithline.money.growth.stages import carrying_cost, stock_of, yard_area
    from pithline.money.months import months
    from pithline.units import BOARD_FOOT

    inflow = units.volume(green, "--green") / BOARD_FOOT
    time, each = months(drying, "--drying"), amount(cost, "--cost")
    dense, rate = units.volume(stacked, "--stacked") / BOARD_FOOT, units.share(interest, "--interest")
    with by_option(
        inflow=("--green", green), months=("--drying", drying), cost=("--cost", cost),
        rate=("--interest", interest), stacked=("--stacked", stacked), aisles=("--aisles", aisles),
    ):  # fmt: skip
        stock = stock_of(inflow, time)
        area = yard_area(stock, dense, aisles)
        carried = carrying_cost(float(each), rate, time)
    record = {
        "currency": each.code,
        "stock_bf": stock,
        "tied_up_money": stock * float(each),
        "carrying_money_per_bf": carried,
        "yard_m2": area,
    }
    lines = [
        ("lies drying", f"{stock:.0f} bf"),
        ("money in it", show_money(stock * float(each), each.code)),
        ("interest on a board foot", f"{carried:.2f} {each.code}".rstrip()),
        ("ground", f"{area:.0f} m2"),
    ]
    show_sum("grow-yard", record, lines, as_json)


@click.command(
    "kiln",
    epilog="""
\b
Examples:
  pithline grow kiln --charge "600 bf" --days 27 --demand "6000 bf"
  pithline grow kiln --charge "600 bf" --days 50 --turn-round 2 --operating 350 --json
""",
)
@click.option("--charge", required=True, metavar="VOLUME", help="Of a load.")
@click.option("--days", required=True, type=float, help="In the kiln; pithline kiln tells.")
@click.option(
    "--turn-round", default=2.0, show_default=True, type=float, help="Days between two loads; a guess."
)
@click.option("--operating", default=350.0, show_default=True, type=float, help="Days a year; a guess.")
@click.option(
    "--demand", metavar="VOLUME", help="To be dried in a year: how full it is, how long loads wait."
)
@_JSON
def kiln(
    charge: str, days: float, turn_round: float, operating: float, demand: str | None, as_json: bool
) -> None:
    """What a kiln can dry in a year, and how long a load waits before it."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.growth.stages import kiln_capacity, queue_days
    from pithline.units import BOARD_FOOT

    feet = units.volume(charge, "--charge") / BOARD_FOOT
    with by_option(
        charge=("--charge", charge), drying=("--days", days), turn_round=("--turn-round", turn_round),
        operating=("--operating", operating),
    ):  # fmt: skip
        whole = kiln_capacity(feet, days, turn_round, operating)
    record: dict[str, object] = {"capacity_bf_per_year": whole}
    lines = [("can dry", f"{whole:.0f} bf a year")]
    if demand is not None:
        full = units.volume(demand, "--demand") / BOARD_FOOT / whole
        if full >= 1:
            rule = f"under the {whole:.0f} bf that it can dry in a year"
            raise BadValue("--demand", demand, rule, "Dry shorter, load more, or put a second one beside it.")
        wait = queue_days(full, days + turn_round)
        record |= {
            "utilisation_percent": 100 * full,
            "in_the_kiln_bf": full * feet,
            "wait_days": wait,
        }
        lines += [
            ("in use", units.show_share(full)),
            ("lies in it on average", f"{full * feet:.0f} bf"),
            ("a load waits", f"{wait:.0f} days, where loads come by chance"),
        ]
    show_sum("grow-kiln", record, lines, as_json)


@click.command(
    "stages",
    epilog="""
\b
Examples:
  pithline grow stages --stage "logs: 9000 bf" --stage "mill: 7200 bf" --stage "yard: 6000 bf" \\
    --stage "kiln: 7241 bf" --stage "sell: 5000 bf"
  pithline grow stages --stage "mill: 20 m3" --stage "sell: 12 m3" --json
""",
)
@click.option(
    "--stage", "said", multiple=True, required=True, metavar="STAGE: VOLUME", help="A year, at most."
)
@_JSON
def stages(said: tuple[str, ...], as_json: bool) -> None:
    """Which stage holds up all others: only a step that lifts it brings more wood to the buyer."""
    from pithline import units
    from pithline.cli.cost_share import named
    from pithline.errors import BadValue
    from pithline.money.growth.stages import throughput
    from pithline.units import BOARD_FOOT

    found: dict[str, float] = {}
    for raw in said:
        name, parts = named(raw, "--stage")
        if len(parts) != 1 or name in found:
            raise BadValue("--stage", raw, "a stage told once, with one volume", 'Write "kiln: 7200 bf".')
        found[name] = units.volume(parts[0], f"--stage {name}") / BOARD_FOOT
    narrow, passes = throughput(found)
    least = [name for name, most in found.items() if most <= passes * (1 + 1e-9)]
    holds = " and ".join(least) + (" holds it up" if len(least) == 1 else " hold it up alike")
    record = {
        "throughput_bf_per_year": passes,
        "bottleneck": narrow,
        "bottlenecks": least,
        "stages": [
            {"name": name, "capacity_bf_per_year": most, "utilisation_percent": 100 * passes / most}
            for name, most in found.items()
        ],
    }
    lines = [(name, f"{units.show_share(passes / most, 0)} in use") for name, most in found.items()]
    show_sum(
        "grow-stages",
        record,
        [*lines, ("all of it", f"{passes:.0f} bf a year: {holds}")],
        as_json,
    )
