"""``pithline price build``, ``thickness`` and ``markup``: one sum at a time."""

from __future__ import annotations

import click

from pithline.cli.hold_options import Line, Money, cash, share, show_hold

__all__ = ["build", "markup", "thickness"]

_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


@click.command(
    "build",
    epilog="""
\b
Examples:
  pithline price build --volume "40 bf" --base "7 USD" --factor 1.3 --factor 1.2 --factor 1.5 --factor 0.9
""",
)
@click.option("--volume", required=True, metavar="VOLUME", help='Tallied: "40 bf".')
@click.option("--base", required=True, metavar="MONEY", help="Of a plain board, per board foot.")
@click.option(
    "--factor",
    "factors",
    multiple=True,
    type=float,
    metavar="NUMBER",
    help="One for each mark.",
)
@_JSON
def build(volume: str, base: str, factors: tuple[float, ...], as_json: bool) -> None:
    """The trade's build-up: board feet x base x every factor."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.price.asking import built_up
    from pithline.units import BOARD_FOOT

    money = Money()
    feet, rate = units.volume(volume, "--volume") / BOARD_FOOT, money.read(base, "--base")
    if not feet > 0:
        raise BadValue("--volume", volume, "more than 0", 'Write "40 bf".')
    for factor in factors:
        if not 0 < factor <= 1000:
            raise BadValue("--factor", factor, "more than 0 and at most 1000", "10 % more is 1.1.")
    total = built_up(feet, rate, factors)
    show_hold("build", money.code, [cash("Price", "price", total, money.code)], as_json, room="price")


@click.command(
    "thickness",
    epilog="""
\b
Examples:
  pithline price thickness 12/4 --days "26 months" --thin-days "5 months" --rent "0.35 USD" --worth 4
""",
)
@click.argument("size", metavar="THICKNESS")
@click.option("--days", required=True, metavar="TIME", help="It takes to dry; from the drying forecast.")
@click.option("--thin-days", required=True, metavar="TIME", help="1 in stock takes.")
@click.option("--rent", required=True, metavar="MONEY", help="Of a cubic metre of kiln or stack, a day.")
@click.option("--worth", required=True, metavar="MONEY", help="Of the green wood, per board foot.")
@click.option("--interest", default="0 %", show_default=True, metavar="SHARE", help="A year.")
@click.option("--spoiled", default="0 %", show_default=True, metavar="SHARE", help="Of it, lost in drying.")
@click.option("--thin-spoiled", default="0 %", show_default=True, metavar="SHARE", help="Of 1 in stock.")
@click.option("--sticker", default="25 mm", show_default=True, metavar="LENGTH", help="Between layers.")
@click.option("--fill", default="70 %", show_default=True, metavar="SHARE", help="Wood in a layer; a guess.")
@_JSON
def thickness(
    size: str, days: str, thin_days: str, rent: str, worth: str, as_json: bool, **said: str
) -> None:
    """How much dearer thick stock must be to pay for its days and its space."""
    from pithline import units
    from pithline.errors import BadValue
    from pithline.money.months import DAYS_A_MONTH, months
    from pithline.money.price.premiums import thickness_factor
    from pithline.money.price.thickness_reason import drying_bill, stack_space, thickness_reason
    from pithline.units import INCH

    for option, span in (("--days", days), ("--thin-days", thin_days)):
        if not months(span, option) > 0:
            raise BadValue(option, span, "more than 0", 'Write "5 months".')
    money = Money()
    thick, sticker = units.length(size, "THICKNESS"), units.length(said["sticker"], "--sticker")
    fill, interest = units.share(said["fill"], "--fill"), units.share(said["interest"], "--interest")
    rented, green = money.read(rent, "--rent"), money.read(worth, "--worth")
    bills = [
        drying_bill(
            months(span, option) * DAYS_A_MONTH,
            stack_space(high, sticker, fill),
            rented,
            green,
            interest,
            units.share(said[lost], "--" + lost.replace("_", "-")),
        )
        for high, span, option, lost in (
            (thick, days, "--days", "spoiled"),
            (INCH, thin_days, "--thin-days", "thin_spoiled"),
        )
    ]
    reason, code, custom = thickness_reason(bills[0], bills[1], green), money.code, thickness_factor(thick)

    def each(what: str, key: str, value: float) -> Line:
        return Line(what, f"{key}_money_per_bf", value, f"{value:.2f} {code}".strip() + " per bf")

    lines = [
        each("Space over its days", "thick_space", bills[0].space),
        each("Interest", "thick_interest", bills[0].interest),
        each("Spoiled", "thick_spoiled", bills[0].spoiled),
        each("1 in stock, all three", "thin_total", bills[1].total),
        Line("Drying argues for", "factor", reason.factor, f"x {reason.factor:.2f} per bf against 1 in"),
        Line(
            "Custom says",
            "customary_factor",
            custom,
            f"x {custom:.2f} (exponent 0.4)",
        ),
    ]
    show_hold("thickness", code, lines, as_json, room="price")


@click.command(
    "markup",
    epilog="""
\b
Examples:
  pithline price markup --cost "400 USD" --share "40 %"
""",
)
@click.option("--cost", required=True, metavar="MONEY")
@click.option("--share", "part", required=True, metavar="SHARE", help="As margin and as markup.")
@_JSON
def markup(cost: str, part: str, as_json: bool) -> None:
    """Markup on cost against margin on price."""
    from pithline import units
    from pithline.money.markup import margin_of_markup, price_at_margin, price_at_markup

    money = Money()
    paid, fraction = money.read(cost, "--cost"), units.share(part, "--share")
    lines = [
        cash(
            "Price with it as markup on cost", "price_at_markup", price_at_markup(paid, fraction), money.code
        ),
        share("  which is a margin of", "margin", margin_of_markup(fraction)),
        cash(
            "Price with it as margin on price", "price_at_margin", price_at_margin(paid, fraction), money.code
        ),
    ]
    show_hold("markup", money.code, lines, as_json, room="price")
