"""``pithline grow invest``, ``keep``, ``even``: what a step brings, how long to keep, how much to sell."""

from __future__ import annotations

import click

from pithline.cli.grow_options import by_option
from pithline.cli.sum_show import show_sum

__all__ = ["even", "invest", "keep", "numbers"]

_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


def numbers(raw: str, option: str) -> list[float]:
    """``-20000,4500,5600`` as numbers."""
    import math

    from pithline.errors import BadValue

    found = []
    for part in raw.split(","):
        try:
            found.append(float(part))
        except ValueError:
            raise BadValue(
                option, part.strip() or raw, "numbers parted by commas", "Write 4500,5600."
            ) from None
    if not all(math.isfinite(each) and abs(each) <= 1e12 for each in found):
        raise BadValue(option, raw, "numbers of at most 1,000,000,000,000", "Write 4500,5600.")
    return found


@click.command(
    "invest",
    epilog="""
\b
Examples:
  pithline grow invest --flow "-20000,4500,5600,5600,5600,10600" --rate "10 %"
  pithline grow invest --flow "-8000,2500,2500,2500,2500" --rate "8 %" --json
""",
)
@click.option(
    "--flow", required=True, metavar="MONEY,...", help="Today's, then each year's: with less without."
)
@click.option("--rate", required=True, metavar="SHARE", help="What the money must earn a year.")
@_JSON
def invest(flow: str, rate: str, as_json: bool) -> None:
    """Whether a step pays: present value, rate of return, years till the money is back.

    Count what changes by the step, the stock that has to dry before more is sold among it: it goes out
    first and comes back at the end. What is spent already counts in neither.
    """
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.growth import cash_flows as of

    flows, yearly = numbers(flow, "--flow"), units.share(rate, "--rate")
    if len(flows) < 2 or not flows[0] < 0:
        remedy = 'Write "-20000,4500,5600".'
        raise BadValue("--flow", flow, "what is laid out today, below 0, and a year's or more", remedy)
    value, back = of.npv(flows, yearly), of.payback(flows)
    later, index = of.payback(flows, yearly), of.profitability_index(flows, yearly)
    annual = of.equivalent_annual(value, yearly, len(flows) - 1)
    try:
        earns: float | None = of.irr(flows)
    except BadValue:
        earns = None  # flows that change sign more than once have several rates, or none
    shown = "none, or several" if earns is None else units.show_share(earns)
    record = {
        "npv_money": value,
        "irr_percent": None if earns is None else 100 * earns,
        "payback_years": back if back < float("inf") else None,
        "discounted_payback_years": later if later < float("inf") else None,
        "profitability_index": index,
        "equivalent_annual_money_per_year": annual,
    }
    lines = [
        ("worth today", f"{value:.2f}"),
        ("the same, a year", f"{annual:.2f}"),
        ("earns a year", shown),
        ("money back after", _years(back)),
        (f"  at {units.show_share(yearly)}", _years(later)),
        ("worth of a unit laid out", f"{index:.2f}"),
    ]
    show_sum("grow-invest", record, lines, as_json)


def _years(value: float) -> str:
    return f"{value:.1f} years" if value < float("inf") else "not within these years"


@click.command(
    "keep",
    epilog="""
\b
Examples:
  pithline grow keep --price 18000 --operating 1200,1400,1700,2100,2600,3200,3900 \\
    --resale 13000,10500,8500,7000,5600,4400,3400 --rate "8 %"
  pithline grow keep --price 140 --operating 8,8,8 --resale 0,0,0 --rate "10 %" --json
""",
)
@click.option("--price", required=True, metavar="MONEY", help="Of a new one.")
@click.option("--operating", required=True, metavar="MONEY,...", help="Of each year: fuel, repair, standing.")
@click.option("--resale", required=True, metavar="MONEY,...", help="What it brings at the end of each year.")
@click.option("--rate", required=True, metavar="SHARE", help="What money costs a year.")
@_JSON
def keep(price: str, operating: str, resale: str, rate: str, as_json: bool) -> None:
    """How many years to keep a machine: what a year costs on average, by when it is sold."""
    from pithline import units
    from pithline.money.amount import amount
    from pithline.money.growth.replacing import keeping

    paid = amount(price, "--price")
    costs, left = numbers(operating, "--operating"), numbers(resale, "--resale")
    yearly = units.share(rate, "--rate")
    with by_option(
        price=("--price", price), operating=("--operating", operating), resale=("--resale", resale),
        rate=("--rate", rate),
    ):  # fmt: skip
        made = keeping(float(paid), costs, left, yearly)
    best = min(made, key=lambda one: one.yearly)
    record = {
        "currency": paid.code,
        "kept": [
            {"years": one.years, "present_money": one.present, "money_per_year": one.yearly} for one in made
        ],
        "economic_life_years": best.years,
        "longer_may_be_cheaper": best is made[-1],
    }
    lines = [
        (f"kept {_count(one.years)}", f"{one.yearly:.2f} {paid.code} a year".replace("  ", " "))
        for one in made
    ]
    # The last of those told says only that a year less is dearer.
    open_end = ", the last that you told: longer may be cheaper" * (best is made[-1])
    show_sum("grow-keep", record, [*lines, ("cheapest kept", f"{_count(best.years)}{open_end}")], as_json)


def _count(years: int) -> str:
    return f"{years} year{'s' * (years != 1)}"


@click.command(
    "even",
    epilog="""
\b
Examples:
  pithline grow even --fixed "14000 USD" --price 9 --variable 4 --target 26000 --sold "5000 bf"
  pithline grow even --fixed 3500 --price 9 --variable 4 --json
""",
)
@click.option("--fixed", required=True, metavar="MONEY", help="A year, whatever is sold.")
@click.option("--price", required=True, metavar="MONEY", help="A board foot brings.")
@click.option("--variable", required=True, metavar="MONEY", help="A board foot costs by itself.")
@click.option("--target", metavar="MONEY", help="Profit wished for a year.")
@click.option("--sold", metavar="VOLUME", help="In a year: how near the edge that lies.")
@_JSON
def even(fixed: str, price: str, variable: str, target: str | None, sold: str | None, as_json: bool) -> None:
    """How many board feet a year pay the fixed costs, and a wished profit."""
    from pithline import units
    from pithline.cli.hold_options import Money
    from pithline.money.growth import break_even as of
    from pithline.units import BOARD_FOOT

    money = Money()
    a_year, brings, takes = (
        money.read(raw, f"--{name}")
        for name, raw in (("fixed", fixed), ("price", price), ("variable", variable))
    )
    wished = money.read(target, "--target")
    code, pays = money.code, of.break_even(a_year, brings, takes)
    record: dict[str, object] = {"currency": code, "break_even_bf_per_year": pays}
    lines = [("pays from", f"{pays:.0f} bf a year")]
    if target is not None:
        needed = of.break_even(a_year, brings, takes, wished)
        record["target_bf_per_year"] = needed
        lines.append(("with the profit wished", f"{needed:.0f} bf a year"))
    if sold is not None:
        feet = units.volume(sold, "--sold") / BOARD_FOOT
        profit, safe, lever = (
            f(feet, a_year, brings, takes) for f in (of.yearly_profit, of.margin_of_safety, of.leverage)
        )
        record |= {
            "profit_money_per_year": profit,
            "margin_of_safety_percent": 100 * safe,
            "leverage": lever if abs(lever) < float("inf") else None,
        }
        lines += [
            (f"{feet:.0f} bf leave", f"{profit:.2f} {code} a year".replace("  ", " ")),
            ("sales may fall by", units.show_share(safe) if safe > 0 else "nothing: it loses already"),
            ("1 % more sold moves the profit by", f"{lever:.2f} %"),
        ]
    show_sum("grow-even", record, lines, as_json)
