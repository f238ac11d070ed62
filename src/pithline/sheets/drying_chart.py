"""The course of a slab's moisture: what was read, what is expected, and how surely."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence

from pithline.dry.learning.readings import Beyond, Reading, Sees
from pithline.dry.learning.update import Learnt
from pithline.dry.milestones import Milestone
from pithline.sheets.charts import Chart, _begin, _end, one_at_a_time

__all__ = ["drying_chart", "seen"]

_MARKS = {Sees.MEAN: "o", Sees.SHARE: "o", Sees.DEPTH: "v", Sees.WETTEST: "s", Sees.OUTER: "D"}


def seen(reading: Reading) -> str:
    """What part of the slab a reading is about, in words."""
    deep = f"{reading.depth * 1000:.0f} mm"
    return {
        Sees.MEAN: "mean, by weight",
        Sees.SHARE: "share of the green weight",
        Sees.DEPTH: f"at {deep}",
        Sees.WETTEST: f"wettest down to {deep}",
        Sees.OUTER: f"outer {deep}",
    }[reading.sees]


@one_at_a_time
def drying_chart(
    learnt: Learnt, milestones: Sequence[Milestone], begins: datetime.date, today: float, title: str
) -> Chart:
    """Draw the mean with its range, milestones as level lines, each reading where it was taken.

    Parameters
    ----------
    learnt : Learnt
    milestones : sequence of Milestone
    begins : date
        Day 0 of the course.
    today : float
        [days]
    title : str

    Returns
    -------
    chart : Chart
        Its rows are every second point of the curve; the readings stand in a table of their own.
    """
    import matplotlib.dates as dated

    figure, axes = _begin(title, "", "moisture [%]")
    figure.set_size_inches(4.8, 3.8)  # a phone shows its words at two thirds of their size
    days = [begins + datetime.timedelta(days=float(each)) for each in learnt.times]
    low, middle, high = (100 * learnt.means[1][:, i] for i in range(3))
    axes.fill_between(days, low, high, facecolor="#dddddd", edgecolor="#888888", linewidth=0.6,
                      label="8 in 10 lie here")  # fmt: skip
    axes.plot(days, middle, color="black", linewidth=1.8, label="mean of the slab")
    if learnt.fits:
        axes.plot(days, 100 * learnt.means[0][:, 1], color="#555555", linewidth=1.0, linestyle=":",
                  label="before any reading")  # fmt: skip
    shown: set[str] = set()
    for fit in learnt.fits:
        reading = fit.reading
        if reading.sees is Sees.SHARE:
            continue  # a share of the green weight is no moisture
        name = seen(reading)
        at, value = begins + datetime.timedelta(days=reading.day), 100 * reading.value
        by_mean = reading.sees is Sees.MEAN
        face = "black" if by_mean else "white"
        axes.plot([at], [value], marker=_MARKS[reading.sees], color="black", markerfacecolor=face,
                  linestyle="", label="" if name in shown else name)  # fmt: skip
        if not by_mean:
            bound = {Beyond.WETTER: "> ", Beyond.DRIER: "< "}.get(reading.beyond, "")
            axes.annotate(f"{bound}{reading.depth * 1000:.0f} mm", (at, value), xytext=(5, 3),
                          textcoords="offset points", fontsize=8)  # fmt: skip
        shown.add(name)
    above = float("inf")
    for each in milestones:  # from wet to dry
        height = 100 * each.moisture
        axes.axhline(height, color="black", linewidth=0.8, linestyle="--")
        below = above - height < 5  # its words would lie on the line above
        axes.annotate(each.name, (days[-1], height), xytext=(-2, -2 if below else 2), ha="right",
                      va="top" if below else "bottom", textcoords="offset points", fontsize=8)  # fmt: skip
        above = height
    axes.axvline(begins + datetime.timedelta(days=today), color="black", linewidth=0.8)
    axes.annotate("today", (begins + datetime.timedelta(days=today), 1), xytext=(2, -10), fontsize=8,
                  xycoords=("data", "axes fraction"), textcoords="offset points")  # fmt: skip
    axes.set_ylim(bottom=0)
    years = (days[-1] - days[0]).days / 365
    axes.xaxis.set_major_locator(dated.MonthLocator(bymonth=(1, 7) if years < 3 else (1,)))
    axes.xaxis.set_major_formatter(dated.DateFormatter("%Y-%m"))
    axes.legend(loc="upper right", fontsize=8, frameon=False)
    heads = ("day", "one in ten below [%]", "middle [%]", "one in ten above [%]")
    rows = tuple(
        (day.isoformat(), *(f"{value:.1f}" for value in (low[i], middle[i], high[i])))
        for i, day in enumerate(days)
        if i % 2 == 0 and math.isfinite(middle[i])
    )
    return Chart(_end(figure, title), heads, rows)
