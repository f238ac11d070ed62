"""``pithline plan --robust``: cuts that bear the measuring error best, beside the plan's."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from pithline.sheets.wording import amount
from pithline.units import show_length

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.plan import Plan
    from pithline.saw.robust import Candidate, Robust
    from pithline.units import System

__all__ = ["robust_of", "robust_part", "show_robust"]

_TRIALS, _DRAWS = 16, 120
_NOTABLE = 0.05  # share of logs in which a cut is stopped that is worth a word


def robust_of(plan: Plan, job: Job, seed: int) -> Robust:
    """Draw logs within the measuring error, and value in them the plan's cuts and each draw's own."""
    import numpy as np

    from pithline.log.measuring import measuring_error, perturbed
    from pithline.saw.model import grounds, prepare, stations
    from pithline.saw.robust import robust
    from pithline.saw.solution import solve

    shape, error = plan.shape, measuring_error(job.record)
    model = prepare(shape, job.mill, job.aims, job.rates, job.timber)
    ground = grounds(shape, plan.lie, job.mill, job.aims, np.array([plan.roll]))[0]
    at = shape.at(stations(shape, job.aims.trim_butt, job.aims.trim_top))
    # What judges must not be what was tried: two streams of chance.
    trials = perturbed(at, error, np.random.default_rng([seed, 1]), _TRIALS)
    shapes = perturbed(at, error, np.random.default_rng([seed, 2]), _DRAWS)
    solution = solve(model, plan.roll, plan.pitch, ground)
    return robust(solution, model, trials, shapes, job.aims, roll=plan.roll, ground=ground)


def robust_part(found: Robust) -> dict[str, Any]:
    """The same for JSON; money is in tally units where there is no currency."""
    return {
        "nominal": _candidate(found.nominal),
        "best": _candidate(found.best),
        "gain_money": found.gain,
        "gain_standard_error_money": found.gain_error,
        "known_log_mean_money": found.known,
        "rows_of_cuts": found.candidates,
        "largest_move_m": found.moved,
        "draws": _DRAWS,
    }


def _candidate(one: Candidate) -> dict[str, Any]:
    return {
        "kerf_upper_m": list(one.heights),
        "mean_money": one.mean,
        "range_money": {"p10": one.spread.p10, "p50": one.spread.p50, "p90": one.spread.p90},
        "loss_against_known_money": one.loss,
        "stopped_fraction": one.stopped,
    }


def show_robust(plan: Plan, found: Robust, system: System) -> None:
    """Say in words what the measuring error leaves of the plan, and whether other cuts bear it better."""
    nominal, best = found.nominal, found.best
    click.echo(
        f"Over {_DRAWS} logs within the measuring error these cuts bring {amount(plan, nominal.mean)} "
        f"on average; knowing the log exactly would bring {amount(plan, nominal.loss)} more."
    )
    if nominal.stopped >= _NOTABLE:
        share = f"{100 * nominal.stopped:.0f} %"
        click.echo(
            f"In {share} of them bar, rail height or metal would stop one of these cuts; "
            "that is not in the average."
        )
    if best is nominal or found.gain < 2 * found.gain_error:
        click.echo(f"None of {found.candidates} rows of cuts is surely better on average.")
        return
    heights = ", ".join(show_length(h, system) for h in best.heights)
    click.echo(
        f"Better on average by {amount(plan, found.gain)} (standard error {amount(plan, found.gain_error)}): "
        f"kerfs with their upper sides at {heights} from the pith; "
        f"no cut moves by more than {show_length(found.moved, system)}."
    )
