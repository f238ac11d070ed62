"""``pithline reading learn``: a stack's readings, what they teach, and the days to come."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    import datetime

    from pithline.dry.learning.update import Known, Learnt
    from pithline.dry.learning.written import StackReadings

__all__ = ["learn"]


@click.command(
    "learn",
    epilog="""
\b
Examples:
  pithline reading learn demo/readings.toml --draws 50 --target "25 %" --target "12 %" --json
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--target",
    "targets",
    multiple=True,
    default=("30 %", "25 %", "20 %"),
    show_default=True,
    metavar="SHARE",
    help="Mean moisture whose day is wanted. Repeat for more.",
)
@click.option(
    "--draws", type=click.IntRange(50, 5000), default=300, show_default=True, help="Courses in each round."
)
@click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Of those draws.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/reading-learn/1).")
def learn(file: Path, targets: tuple[str, ...], draws: int, seed: int, as_json: bool) -> None:
    """Drying rate, start moisture and days, before and after the readings in FILE.

    FILE holds [stack] and any of [[meter]], [[reading]], [[piece]], [months]. Each reading is set
    against the model at the depth where it was read, never against the mean.
    """
    import numpy as np

    from pithline import units
    from pithline.cli.log_input import read_document
    from pithline.dry.learning.stack import learn_stack
    from pithline.dry.learning.written import read_stack_readings
    from pithline.dry.phases import air_through

    stack = read_stack_readings(read_document(file))
    wanted = tuple(units.share(each, "--target") for each in targets)
    times = np.arange(0.0, air_through(stack.phases, stack.stacked).days, 30.0)
    learnt = learn_stack(stack, wanted, list(times), np.random.default_rng(seed), draws)
    if as_json:
        import json

        click.echo(json.dumps(_record(stack, learnt), indent=2, ensure_ascii=False))
        return
    _show(stack, learnt)
    for remark in learnt.remarks:
        click.echo(remark, err=True)


def _show(stack: StackReadings, learnt: Learnt) -> None:
    from pithline import units

    click.echo(
        f"{stack.species.name}, {units.show_length(stack.thickness)}, stacked {stack.stacked}; "
        f"{len(learnt.fits)} reading{'' if len(learnt.fits) == 1 else 's'}"
    )
    table: list[tuple[str, ...]] = [("", "before", "after the readings")]
    table.append(("drying rate", *(_range(known, lambda v: f"{v:.2f}") for known in learnt.rate)))
    table.append(("start moisture", *(_range(known, _percent) for known in learnt.start)))
    for target, before, after in zip(learnt.targets, *learnt.days, strict=True):
        dates = (_range(known, lambda v: _date(stack.stacked, v)) for known in (before, after))
        table.append((f"mean down to {_percent(target)}", *dates))
    _columns(table)
    click.echo("")
    rows: list[tuple[str, ...]] = [("day", "seen", "read", "expected there", "")]
    for fit in learnt.fits:
        reading = fit.reading
        read = f"{'over ' if reading.beyond == 'wetter' else ''}{_percent(reading.value)}"
        rows.append(
            (
                _date(stack.stacked, reading.day),
                _seen(reading.sees.value, reading.depth),
                read,
                _range(fit.expected, _percent),
                "odd: read it again" if fit.odd else "",
            )
        )
    _columns(rows)
    click.echo("Each range: one in ten below, the middle, one in ten above.")


def _record(stack: StackReadings, learnt: Learnt) -> dict[str, Any]:
    def ranged(known: Known, factor: float = 1.0) -> dict[str, float | None]:
        # JSON knows no infinity: null is later than the forecast looks.
        return {
            key: value * factor if value < float("inf") else None
            for key, value in (("low", known.low), ("mid", known.mid), ("high", known.high))
        }

    both = ("before", "after")
    return {
        "schema": "pithline/reading-learn/1",
        "species": stack.species.name,
        "thickness_m": stack.thickness,
        "stacked": stack.stacked.isoformat(),
        "rate_factor": {k: ranged(v) for k, v in zip(both, learnt.rate, strict=True)},
        "start_moisture_percent": {k: ranged(v, 100) for k, v in zip(both, learnt.start, strict=True)},
        "targets": [
            {"mean_percent": target * 100, "before_days": ranged(before), "after_days": ranged(after)}
            for target, before, after in zip(learnt.targets, *learnt.days, strict=True)
        ],
        "course": [
            {
                "day": float(day),
                "before_percent": [float(v) * 100 for v in before],
                "after_percent": [float(v) * 100 for v in after],
            }
            for day, before, after in zip(learnt.times, *learnt.means, strict=True)
        ],
        "readings": [
            {
                "day": fit.reading.day,
                "source": fit.reading.source,
                "sees": fit.reading.sees.value,
                "depth_m": fit.reading.depth,
                "read_percent": fit.reading.value * 100,
                "bound": fit.reading.beyond.value or None,
                "expected_percent": ranged(fit.expected, 100),
                "odd": fit.odd,
            }
            for fit in learnt.fits
        ],
        "draws": learnt.draws,
        "effective_draws": learnt.effective,
        "remarks": list(learnt.remarks),
    }


def _seen(sees: str, depth: float) -> str:
    from pithline import units

    deep = units.show_length(depth, fine=True)
    told = {"depth": f"at {deep}", "wettest": f"wettest to {deep}", "outer": f"outer {deep}"}
    return told.get(sees, {"mean": "mean, by weight", "share": "share of green weight"}.get(sees, sees))


def _range(known: Known, shown: Any) -> str:
    return f"{shown(known.mid)} ({shown(known.low)} to {shown(known.high)})"


def _percent(value: float) -> str:
    return f"{value * 100:.0f} %"


def _date(stacked: datetime.date, day: float) -> str:
    import datetime
    import math

    return (stacked + datetime.timedelta(days=round(day))).isoformat() if math.isfinite(day) else "later"


def _columns(rows: list[tuple[str, ...]]) -> None:
    wide = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    for row in rows:
        click.echo("  ".join(f"{cell:<{w}}" for cell, w in zip(row, wide, strict=True)).rstrip())
