"""From a slab's line of days to the air that the drying model takes: months, rooms, kilns, loggers."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from pithline.errors import BadValue
from pithline.yard.drying_line import Stretch
from pithline.yard.files import stored
from pithline.yard.models import Logger, Month, Place

if TYPE_CHECKING:
    import numpy as np

    from pithline.dry.air import Air
    from pithline.dry.months import Months
    from pithline.dry.phases import Phase

__all__ = ["air_phases", "drawn_airs", "months_named", "months_of"]

# A heated room where nobody wrote its air down: a guess (18 to 23 °C, 35 to 55 %).
ROOM = (20.0, 0.45)  # [°C], [fraction]


def months_of(place: Place | None) -> Months:
    """The twelve months of a place as the drying model takes them.

    Raises
    ------
    BadValue
        No place, or months that are not known; says which.
    """
    from pithline.dry.months import guessed, own

    if place is None:
        raise BadValue("place", "missing", "known for wood that dries outdoors", "Say where its stack is.")
    rows = {row.month: row for row in place.months.all()}
    missing = [str(month) for month in range(1, 13) if month not in rows]
    if missing:
        raise BadValue(
            "months",
            "none" if not rows else f"without {', '.join(missing)}",
            f"known for all of {place}",
            "Enter its months; a guess will do, and says so.",
        )
    year = [rows[month] for month in range(1, 13)]
    months = own(
        place.name, [row.temperature_c for row in year], [row.humidity_percent / 100 for row in year]
    )
    basis = tuple(dict.fromkeys(f"{place}: {row.source or row.get_basis_display()}" for row in year))
    if any(row.basis == Month.Basis.GUESS for row in year):
        doubt = guessed(20.0, 0.0)  # for its doubts alone
        return replace(
            months,
            basis=basis,
            guess=True,
            bias_temperature=doubt.bias_temperature,
            bias_emc=doubt.bias_emc,
        )
    return replace(months, basis=basis)


def months_named(name: str, warmest: float | None = None, coldest: float | None = None) -> Months:
    """Months of a place of the book, or of one that is shipped; raises as `dry.months.place`."""
    from pithline.dry.months import place

    own = Place.objects.filter(name__iexact=name.strip()).first()
    return months_of(own) if own is not None else place(name, warmest, coldest)


def air_phases(line: Sequence[Stretch], until: datetime.date) -> tuple[tuple[Phase, ...], tuple[str, ...]]:
    """A line of days as phases of the drying model, up to a day.

    Parameters
    ----------
    line : sequence of Stretch
        As from `line_of`.
    until : date
        The last stretch lasts till then.

    Returns
    -------
    phases : tuple of dry.phases.Phase
    remarks : tuple of str
        What had to be assumed.

    Raises
    ------
    BadValue
        Months of a place that are not known; a kiln whose settings were not written down.
    """
    phases: list[Phase] = []
    remarks: list[str] = []
    known: dict[Any, Months] = {}
    for one in line:
        ends = min(one.ends or until, until)
        if ends <= one.begins:
            continue
        piece = replace(one, ends=ends)
        if one.assumed:
            remarks.append(f"{_called(piece)}: {one.assumed}")
        if one.kind in ("indoor", "kiln"):
            phases.append(_inside(piece, remarks))
        else:
            key = one.place.pk if one.place else None
            if key not in known:
                known[key] = months_of(one.place)
            phases += _outside(piece, known[key])
    return tuple(phases), tuple(dict.fromkeys(remarks))


def drawn_airs(
    line: Sequence[Stretch], until: datetime.date
) -> tuple[Callable[[np.random.Generator, int], Sequence[Air]], tuple[str, ...]]:
    """The same as `dry.learning.update.Slab` wants it: draws of how the air may turn out, with remarks."""
    from pithline.dry.phases import drawn_air

    phases, remarks = air_phases(line, until)
    begins = line[0].begins
    return lambda rng, draws: drawn_air(phases, begins, draws, rng), remarks


def _called(one: Stretch) -> str:
    what = {"outdoor": "outdoors", "shed": "shed", "indoor": "indoors", "kiln": "kiln"}[one.kind]
    return f"{what} from {one.begins}"


def _inside(one: Stretch, remarks: list[str]) -> Phase:
    from pithline.dry.phases import Phase
    from pithline.dry.psychrometrics import humidity
    from pithline.wood.moisture import emc

    warm, damp = one.temperature, one.humidity
    if damp is None and warm is not None and one.wet_bulb is not None:
        damp = float(humidity(warm, one.wet_bulb))
    if warm is None or damp is None:
        if one.kind == "kiln":
            raise BadValue(
                "kiln",
                _called(one),
                "written down: dry bulb, and wet bulb or humidity",
                "Note what it was set to.",
            )
        warm, damp = (ROOM[0] if warm is None else warm), (ROOM[1] if damp is None else damp)
        remarks.append(f"{_called(one)}: {warm:g} °C and {100 * damp:.0f} % taken for its air, a guess")
    days = (one.ends - one.begins).days if one.ends else 0
    rest = float(emc(warm, damp))
    return Phase(_called(one), float(days), temperature=warm, emc=rest, kiln=one.kind == "kiln")


def _outside(one: Stretch, months: Months) -> list[Phase]:
    """The months of the place, but a logger's days where one hung there and may be used."""
    from pithline.dry.phases import Phase

    assert one.ends is not None
    phases, at = [], one.begins
    for logger in _loggers(one):
        first, last = max(at, logger.begins_on), min(one.ends, logger.ends_on + datetime.timedelta(days=1))
        if last <= first:
            continue
        logged = _logged(logger, first, last, _called(one))
        if logged is None:
            continue
        if first > at:
            phases.append(Phase(f"{_called(one)}, months", float((first - at).days), months=months))
        phases.append(logged)
        # Its days run from the hour of its first reading: the last date may hold none of them.
        at = first + datetime.timedelta(days=round(logged.days))
    if one.ends > at:
        phases.append(Phase(_called(one), float((one.ends - at).days), months=months))
    return phases


def _loggers(one: Stretch) -> list[Logger]:
    if one.place is None:
        return []
    hung = [logger for logger in one.place.loggers.all() if logger.used]
    # One that hung in another stack tells nothing of this one's air.
    mine = [lg for lg in hung if lg.stack_id is None or (one.stack and lg.stack_id == one.stack.pk)]
    return sorted(mine, key=lambda lg: (lg.begins_on, lg.ends_on))


def _logged(logger: Logger, first: datetime.date, last: datetime.date, called: str) -> Phase | None:
    """Its days from `first` up to `last`; None where it holds no whole day of them."""
    import numpy as np

    from pithline.dry.phases import Phase

    air = _days(
        logger.file.sha256, logger.name, logger.dates, tuple(logger.agreed), f"{called}, {logger.name}"
    )
    day = (first - logger.begins_on).days
    count = min((last - first).days, len(air.ends) - day)
    if count <= 0:
        return None
    days = slice(day, day + count)
    kept = ("phases", "temperature", "emc", "until", "pace", "film")
    cut = replace(air, ends=np.arange(1.0, count + 1), **{name: getattr(air, name)[days] for name in kept})
    return Phase(air.names[0], float(count), logged=cut)


@lru_cache(maxsize=32)
def _days(sha256: str, name: str, dates: str, agreed: tuple[str, ...], called: str) -> Air:
    """The days of a stored file. Kept: a year of minutes takes 12 s to read, and each slab asks anew."""
    from pithline.dry.logger import air_of
    from pithline.yard.actions.loggers import read_logger

    return air_of(read_logger(stored(sha256), name, dates), called, agreed=agreed)
