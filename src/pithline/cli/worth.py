"""``pithline worth``: whether a log on offer is worth it, and what may be paid for it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.cost_hour import costs_options, costs_table

if TYPE_CHECKING:
    from pithline.dry.months import Months
    from pithline.log.record import LogRecord
    from pithline.money.offered.log import Planner
    from pithline.money.offered.worth import Worth
    from pithline.sheets.worth_words import Told
    from pithline.units import System

__all__ = ["command"]

# Option -> its field in the table [call], and its help.
_CALL = {
    "species": ("NAME", 'What tree it is: "red oak".'),
    "girth": ("LENGTH", 'Over bark; a span is your 10 to 90 %: "2.4 m to 2.8 m".'),
    "girth_at": ("LENGTH", "Where the tape lay, from the butt. [default: 1.3 m]"),
    "length": ("LENGTH", 'Usable, butt to top: "4 m to 4.5 m".'),
    "taper": ("SLOPE", 'Loss of diameter: "4 mm/m to 16 mm/m".'),
    "quality": ("WORD", "sound, ordinary, rough or doubtful."),
    "distance": ("DISTANCE", 'By road, one way: "35 km".'),
    "carry": ("LENGTH", "Log to vehicle, one way."),
    "load": ("MASS", "One trip on foot or cart, all hands together."),
    "asked": ("MONEY", "What the owner asks."),
    "drying": ("TIME", 'Till dry: "14 months", or a span.'),
    "dries_at": ("NAME", "A place whose months are known: then the drying is forecast."),
    "warmest": ("TEMPERATURE", "Mean of the warmest month, for a place that is not known."),
    "coldest": ("TEMPERATURE", "Mean of its coldest month."),
    "stacked": ("DATE", "Day of stacking. [default: any season]"),
    "dry_to": ("SHARE", "Mean moisture at which they are sold. [default: 20 %]"),
    "selling": ("TIME", "From dry to sold."),
    "lumber": ("PRICE", 'Square-edged, at the market: "3.20 per bf".'),
    "firewood": ("PRICE", 'Offcuts: "45 per m3", solid.'),
    "hire": ("MONEY", "Crane or winch to take the log away."),
    "lifts": ("MASS", "What they can take."),
}
_TICKS = ("permission", "tree_protection", "plant_movement")
_TABLES = ("log", "lie", "mill", "aims", "rates", "call", "costs", "months")


def _options(command: Any) -> Any:
    for name in reversed(_TICKS):
        help_ = f"Tick: {name.replace('_', ' ')} asked for and in order."
        command = click.option(f"--{name.replace('_', '-')}", name, is_flag=True, help=help_)(command)
    for name, (metavar, text) in reversed(_CALL.items()):
        command = click.option(f"--{name.replace('_', '-')}", name, metavar=metavar, help=text)(command)
    return command


@click.command(
    "worth",
    epilog="""
\b
Examples:
  pithline worth --species "red oak" --girth "2.4 m to 2.8 m" --length "4 m" --distance "35 km" \\
    --rate "9 USD per bf" --costs demo/costs.toml --permission --tree-protection --plant-movement
  pithline worth demo/phone-call.toml --dries-at Pittsburgh --stacked 2026-04-01 --json
  pithline worth demo/phone-call.toml --sheet offer.pdf --paper us-letter --units inch
""",
)
@click.argument("file", required=False, type=click.Path(path_type=Path), metavar="[FILE]")
@_options
@click.option("--people", type=int, help="On the day.")
@click.option(
    "--rate", "rates", multiple=True, metavar="RATE", help='"9.50 USD per bf" or "12/4: 11 per bf".'
)
@click.option(
    "--thickness", "thicknesses", multiple=True, metavar="SIZE", help="As for plan. Repeat for more."
)
@costs_options
@click.option("--draws", default=2000, show_default=True, type=click.IntRange(100, 100_000))
@click.option(
    "--sure", default="75 %", show_default=True, metavar="SHARE", help="Chance that a yes asks for."
)
@click.option("--seed", default=1, show_default=True, type=click.IntRange(0), help="Of the draws.")
@click.option("--tornado", type=click.Path(path_type=Path), metavar="FILE", help="Write the doubts as SVG.")
@click.option("--sheet", type=click.Path(path_type=Path), metavar="FILE", help="Write the log's sheet (PDF).")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@click.option(
    "--units", "system", type=click.Choice(["metric", "inch"]), help="[default: as it was measured]"
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/worth/1).")
def command(
    file: Path | None,
    people: int | None,
    rates: tuple[str, ...],
    thicknesses: tuple[str, ...],
    costs_file: Path | None,
    draws: int,
    sure: str,
    seed: int,
    tornado: Path | None,
    sheet: Path | None,
    paper: str,
    system: System | None,
    as_json: bool,
    **said: Any,
) -> None:
    """Whether a log is worth it: from what was said on the phone, or from a record.

    FILE holds [call] (what was said), or [log] (measured) and the rest of [call]; and [rates],
    [costs], [mill], [aims]. Options overrule it. A sum of guesses, each shown; no tax, legal or
    investment advice.
    """
    import numpy as np

    from pithline import units
    from pithline.cli.log_input import read_document
    from pithline.cli.worth_show import show_worth
    from pithline.errors import BadValue
    from pithline.money.amount import named_in
    from pithline.money.cost.written import read_costs
    from pithline.money.offered.dried import assumed_drying, dried
    from pithline.money.offered.worth import worth
    from pithline.money.offered.written import read_call
    from pithline.saw.written.assumed import Written
    from pithline.sheets.worth_words import Told

    document = read_document(file)
    for name in document:
        if name not in _TABLES:
            raise BadValue(name, "a table", f"one of {', '.join(_TABLES)}", "Look at the spelling.")
    five = {name: said.pop(name) for name in ("saw", "chain", "fuel", "km", "wage")}
    spent = costs_table(costs_file, five, document)
    costs = read_costs(spent)
    table = dict(document.get("call", {}))
    table |= {name: said[name] for name in _CALL if said.get(name) is not None}
    table |= {name: True for name in _TICKS if said.get(name)}
    table |= {"people": people} if people is not None else {}
    measured = "log" in document
    call, code = read_call(table, measured, _months(document, table))
    record, wood = _wood(document, call.value.guess.species if call.value.guess else "")
    planner, remarks = _planner(document, wood, rates, thicknesses)
    currency = planner.rates.currency
    for name, raw, other in (("costs", spent, costs.value.currency), ("call", table, code)):
        if other and other != currency:
            where, remedy = named_in(name, raw, other), "Convert it at a rate of your own."
            raise BadValue(where, f"in {other}", f"in {currency} as the rates", remedy)
    chance = units.share(sure, "--sure")
    if not 0.5 <= chance < 1:
        raise BadValue("--sure", sure, "50 % or more, and under 100 %")
    # Draws of their own: those of the sum stay the same with and without a forecast.
    told = dried(call.value, planner, wood, np.random.default_rng([seed, 1]))
    call = Written(told, (*call.assumed, *assumed_drying(told.drying)))
    system = system or (record.system if record is not None else "metric")
    made = worth(
        told,
        costs.value,
        planner,
        np.random.default_rng(seed),
        record,
        draws=draws,
        sure=chance,
        system=system,
    )
    behind = Told(told, currency, str(planner.aims.unit), (*call.assumed, *costs.assumed), remarks)
    _write(made, behind, {"--tornado": tornado, "--sheet": sheet}, paper, system)
    show_worth(made, call, costs, planner, currency, remarks, system, as_json)


def _write(made: Worth, told: Told, files: dict[str, Path | None], paper: str, system: System) -> None:
    from pithline.cli.plan_files import write_all
    from pithline.errors import BadValue

    ready: list[tuple[str, Path, bytes]] = []
    if path := files["--tornado"]:
        from pithline.sheets.doubts_chart import doubts_chart

        chart = doubts_chart(made.doubts, told.currency)
        if chart is None:
            raise BadValue("--tornado", str(path), "for an answer with a doubt in it", "Leave it out.")
        ready.append(("--tornado", path, chart.svg.encode()))
    if path := files["--sheet"]:
        from datetime import date

        from pithline.sheets.offer_sheet import offer_sheet

        title = "Log on offer" + (f": {made.log.middle.name}" if made.log.guess is None else "")
        dated = date.today().isoformat()  # noqa: DTZ011  (a sheet bears the date of its place)
        ready.append(("--sheet", path, offer_sheet(made, told, title, paper, system, dated)))
    if ready:
        write_all(ready)
        for _, path, _ in ready:
            click.echo(f"Wrote {path}.", err=True)


def _months(document: dict[str, Any], call: dict[str, Any]) -> Months | None:
    from pithline.dry.written_drying import read_months
    from pithline.errors import BadValue

    if "months" not in document:
        return None
    for name in ("dries_at", "warmest", "coldest"):
        if call.get(name):
            raise BadValue(f"call.{name}", call[name], "left out beside [months]", "Say one of the two.")
    return read_months(document["months"])


def _wood(document: dict[str, Any], name: str) -> tuple[LogRecord | None, Any]:
    from pithline.log.written import from_table
    from pithline.wood.species import species

    if "log" not in document:
        return None, species(name, "call.species")
    record = from_table({key: document[key] for key in ("log", "lie") if key in document})
    return record, record.species


def _planner(
    document: dict[str, Any], wood: Any, rates: tuple[str, ...], thicknesses: tuple[str, ...]
) -> tuple[Planner, tuple[str, ...]]:
    from pithline.errors import BadValue
    from pithline.money.offered.log import Planner
    from pithline.saw.timber import Timber
    from pithline.saw.written.inputs import read_aims, read_mill, read_rates, with_options

    said = {"rates.rate": rates or None, "aims.thickness": thicknesses or None}
    tables = with_options(document, said)
    mill, aims = read_mill(tables.get("mill", {})), read_aims(tables.get("aims", {}))
    read = read_rates(tables.get("rates", {}), aims.value, wood.name)
    if not read.value.currency:
        remedy = 'Say what slabs bring: --rate "9.50 USD per bf", or a table [rates].'
        raise BadValue("rates.rate", "missing", "given, or nothing can be weighed against the costs", remedy)
    if not any(read.value.rate(aim.label) > 0 for aim in aims.value.thicknesses) and not read.value.uses:
        raise BadValue("rates.rate", "0", "more than 0 for a thickness", "Say what slabs bring.")
    timber = Timber.of(wood, aims.value.moisture)
    remarks = (*mill.remarks, *aims.remarks, *read.remarks, *timber.remarks)
    return Planner(mill.value, aims.value, read.value, timber), remarks
