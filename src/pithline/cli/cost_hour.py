"""``pithline cost hour`` and ``cost machine``: the published machine rate, step by step."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.sum_show import show_sum

if TYPE_CHECKING:
    from pithline.money.cost.machine_rate import MachineRate

__all__ = ["costs_options", "costs_table", "hour", "machine", "rate_record"]

_FIVE = {
    "saw": "What the saw with its frame cost.",
    "chain": "What one ripping chain costs.",
    "fuel": 'Fuel, mixed: "2.00 per l".',
    "km": 'Vehicle, all in: "0.60 per km".',
    "wage": 'A day of one person\'s work: "240 per day".',
}


def costs_options(command: Any) -> Any:
    """Add the five questions and the file that may hold them and more."""
    for name, text in reversed(_FIVE.items()):
        command = click.option(f"--{name}", metavar="MONEY", help=text)(command)
    return click.option(
        "--costs",
        "costs_file",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="A file with the table [costs]; the options overrule it.",
    )(command)


def costs_table(costs_file: Path | None, options: dict[str, Any], document: dict[str, Any]) -> dict[str, Any]:
    """The table [costs] of a document or file, overruled by options."""
    from pithline.cli.log_input import read_document

    table = dict(document.get("costs", {}))
    if costs_file is not None:
        table = dict(read_document(costs_file).get("costs", {}))
    return table | {name: options[name] for name in _FIVE if options.get(name) is not None}


def rate_record(rate: MachineRate) -> dict[str, float]:
    """Every step of a machine rate, with its unit in the key."""
    return {
        "productive_h_per_year": rate.hours,
        "depreciation_money_per_year": rate.depreciation,
        "average_investment_money": rate.investment,
        "interest_money_per_year": rate.interest,
        "insurance_money_per_year": rate.insurance,
        "tax_money_per_year": rate.tax,
        "fixed_money_per_year": rate.fixed,
        "fixed_money_per_scheduled_h": rate.fixed_scheduled,
        "fixed_money_per_productive_h": rate.fixed_productive,
        "fuel_l_per_productive_h": rate.litres,
        "fuel_money_per_productive_h": rate.fuel,
        "oil_money_per_productive_h": rate.lube,
        "repair_money_per_productive_h": rate.repair,
        "wear_set_money_per_productive_h": rate.wear,
        "consumables_money_per_productive_h": rate.consumables,
        "operating_money_per_productive_h": rate.operating,
        "labour_money_per_scheduled_h": rate.labour,
        "rate_money_per_scheduled_h": rate.per_scheduled,
        "rate_money_per_productive_h": rate.per_productive,
    }


def _steps(rate: MachineRate) -> list[tuple[str, str]]:
    def line(name: str, value: float, unit: str) -> tuple[str, str]:
        return name, f"{value:.2f} {unit}"

    return [
        line("cutting hours a year", rate.hours, "h"),
        line("depreciation", rate.depreciation, "a year"),
        line("interest, insurance, tax", rate.interest + rate.insurance + rate.tax, "a year"),
        line("fixed", rate.fixed_productive, "per cutting hour"),
        line(f"fuel ({rate.litres:.2f} l)", rate.fuel, "per cutting hour"),
        line("oil", rate.lube, "per cutting hour"),
        line("repair", rate.repair, "per cutting hour"),
        line("chains, bars, wear set", rate.consumables + rate.wear, "per cutting hour"),
        line("machine with its labour, if any", rate.per_productive, "per cutting hour"),
        line("the same", rate.per_scheduled, "per paid hour"),
    ]


@click.command(
    "hour",
    epilog="""
\b
Examples:
  pithline cost hour --saw "1900 USD" --chain "38 USD" --fuel "2.00 per l" --km "0.60 per km" \\
    --wage "240 per day"
  pithline cost hour --costs demo/costs.toml --json
""",
)
@costs_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-hour/1).")
def hour(costs_file: Path | None, as_json: bool, **five: str | None) -> None:
    """What an hour, a kilometre and a day cost, from five answers.

    Every default behind them is told with its source or called a guess; put your own into [costs].
    """
    from pithline.money.cost.written import read_costs

    written = read_costs(costs_table(costs_file, five, {}))
    costs = written.value
    rate = costs.saw_rate
    working = costs.saw.utilisation
    all_in = rate.per_productive + costs.wage / working
    record: dict[str, Any] = {
        "currency": costs.currency,
        "saw": rate_record(rate),
        "wage_money_per_h": costs.wage,
        "saw_and_person_money_per_cutting_h": all_in,
        "saw_and_person_money_per_paid_h": all_in * working,
        "vehicle_money_per_km": costs.per_km,
        "assumed": [{"field": a.field, "value": a.text, "why": a.why} for a in written.assumed],
    }
    code = f" {costs.currency}" if costs.currency else ""
    per_cut, per_paid = f"{all_in:.2f}{code}", f"{all_in * working:.2f}{code}"
    lines = [
        *_steps(rate),
        ("one person", f"{costs.wage:.2f}{code} per paid hour"),
        (
            "saw and person",
            f"{per_cut} per cutting hour, {per_paid} per paid hour",
        ),
        ("vehicle", f"{costs.per_km:.2f}{code} per km"),
    ]
    show_sum("hour", record, lines, as_json)
    if not as_json:
        for assumed in written.assumed:
            click.echo(f"Assumed {assumed.field}: {assumed.text} ({assumed.why}).", err=True)


@click.command(
    "machine",
    epilog="""
\b
Examples:
  pithline cost machine --price 2400 --salvage 480 --years 3 --hours "600 h" --working "60 %"
  pithline cost machine --price 18000 --salvage 5400 --years 8 --hours "800 h" --working "65 %" \\
    --interest "8 %" --insurance "2 %" --tax "1 %" --litres 3.27 --fuel "2.00 per l" --json
""",
)
@click.option("--price", required=True, metavar="MONEY", help="Delivered.")
@click.option("--salvage", default="0", metavar="MONEY", help="Still worth at the end.")
@click.option("--years", required=True, type=float, help="Of use.")
@click.option("--hours", required=True, metavar="DURATION", help="A year, paid or planned.")
@click.option("--working", required=True, metavar="SHARE", help="Of these hours, in which it works.")
@click.option("--interest", default="0 %", metavar="SHARE", help="A year.")
@click.option("--insurance", default="0 %", metavar="SHARE", help="A year.")
@click.option("--tax", default="0 %", metavar="SHARE", help="A year.")
@click.option("--litres", default=0.0, type=float, help="Fuel of a working hour.")
@click.option("--fuel", metavar="MONEY", help='"2.00 per l".')
@click.option("--oil", default="0 %", metavar="SHARE", help="Of the fuel's cost.")
@click.option("--repair", default="0 %", metavar="SHARE", help="Of depreciation.")
@click.option("--consumables", default="0", metavar="MONEY", help="Chains, blades: of a working hour.")
@click.option("--wage", default="0", metavar="MONEY", help="Of a paid hour, all in.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/sum-machine/1).")
def machine(as_json: bool, years: float, litres: float, **said: str | None) -> None:
    """The machine rate of any machine: band mill, winch, tractor, kiln.

    Method: Miyata, USDA Forest Service GTR NC-55 (1980); FAO Forestry Paper 99 (1992).
    """
    from pithline import units
    from pithline.cli.hold_options import Money
    from pithline.errors import BadValue
    from pithline.money.amount import one_currency
    from pithline.money.cost.machine_rate import Machine, machine_rate
    from pithline.money.cost.per import per_litre

    for option, value, least, most in (("--years", years, 0.1, 100), ("--litres", litres, 0, 1000)):
        if not least <= value <= most:
            raise BadValue(option, value, f"from {least} to {most}", "Look at the point.")
    all_of_it = Money()
    fuel = per_litre(said["fuel"], "--fuel") if said["fuel"] is not None else None

    def money(name: str) -> float:
        return all_of_it.read(said[name], f"--{name}")

    def share(name: str) -> float:
        return units.share(said[name], f"--{name}")

    rate = machine_rate(
        Machine.of(
            price=money("price"),
            salvage=money("salvage"),
            years=years,
            scheduled=units.duration(said["hours"], "--hours") / 60,
            utilisation=share("working"),
            interest=share("interest"),
            insurance=share("insurance"),
            tax=share("tax"),
            power=litres,  # with a load, need and density of 1 the power is the litres
            specific=1.0,
            fuel_price=fuel.value if fuel else 0.0,
            lube=share("oil"),
            repair=share("repair"),
            consumables=money("consumables"),
            wage=money("wage"),
        )
    )
    one_currency([*all_of_it.amounts, fuel])
    show_sum("machine", rate_record(rate), _steps(rate), as_json)
