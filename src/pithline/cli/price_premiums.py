"""``pithline price premiums``: what each mark of a piece adds, by one's own sales."""

from __future__ import annotations

from pathlib import Path

import click

__all__ = ["premiums"]


@click.command(
    "premiums",
    epilog="""
\b
Examples:
  pithline price premiums demo/sales.toml
  pithline price premiums demo/sales.toml --json
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/price-premiums/1).")
def premiums(file: Path, as_json: bool) -> None:
    """What thickness, width, figure and the rest add, fitted to the prices in FILE.

    Each is a factor on the price per board foot, with its range, what custom says, and
    how far the figure is your own: 0 % is custom alone.
    """
    from pithline import units
    from pithline.cli.hold_options import ADVICE
    from pithline.cli.log_input import read_document
    from pithline.cli.price_shown import LIGHT
    from pithline.errors import BadValue
    from pithline.money.price.fit import fit_prices
    from pithline.money.price.like_sales import ENOUGH, by_use
    from pithline.money.price.written import read_sales

    book = read_sales(read_document(file))
    if len(book.sales) < ENOUGH:
        rule = f"{ENOUGH} or more before anything is fitted"
        remedy = "Until then pithline price ask shows the sales themselves."
        raise BadValue("prices in the file", len(book.sales), rule, remedy)
    fit, uses = fit_prices(book.sales), by_use(book.sales)
    if as_json:
        import json

        record = {
            "schema": "pithline/price-premiums/1",
            "currency": book.currency,
            "sales": fit.sales,
            "scatter_percent": 100 * fit.scatter,
            "left_out_error_percent": 100 * fit.left_out,
            "look_again": list(fit.light),
            "premiums": [
                {
                    "key": each.key,
                    "over": each.unit_words,
                    "factor": {"p10": each.low, "p50": each.mid, "p90": each.high},
                    "customary_factor": each.custom,
                    "custom_source": each.source,
                    "own_percent": 100 * each.own,
                    "sales_with_it": each.sales,
                }
                for each in fit.factors()
            ],
            "by_use": [
                {
                    "use": each.use,
                    "sales": each.count,
                    "piece_money": dict(zip(("p10", "p50", "p90"), each.piece, strict=True)),
                    "money_per_bf": dict(zip(("p10", "p50", "p90"), each.per_board_foot, strict=True)),
                }
                for each in uses
            ],
        }
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    click.echo(f"{'Factor on the price per bf':<40} {'10 to 90 %':>22} {'custom':>7} {'own':>5} {'sales':>6}")
    for each in fit.factors():
        name = f"{each.words}, {each.unit_words}"
        span = f"{each.mid:.2f} ({each.low:.2f} to {each.high:.2f})"
        click.echo(f"{name:<40} {span:>22} {each.custom:>7.2f} {100 * each.own:>4.0f}% {each.sales:>6}")
    click.echo(
        f"{fit.sales} prices scatter by {units.show_share(fit.scatter, 0)}; half are foretold by the others "
        f"within {units.show_share(fit.left_out, 0)}."
    )
    for use in uses:
        a, b, c = (f"{value:.0f}" for value in use.piece)
        d, e, f = (f"{value:.2f}" for value in use.per_board_foot)
        click.echo(f"For a {use.use}, {use.count} sold: {b} a piece ({a} to {c}), {e} per bf ({d} to {f})")
    if fit.light:
        click.echo(LIGHT.format(", ".join(fit.light)), err=True)
    click.echo(f"Custom without a source is common practice. {ADVICE}", err=True)
