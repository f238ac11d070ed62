"""Logger files: what is odd is named, and nothing of it is used before a person agreed."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from pithline.dry.logger import air_of, read_log
from pithline.errors import BadFile, Question
from pithline.wood.moisture import emc

HEAD = "time,temperature (C),humidity (%)\n"


def moment(month, day):
    return datetime.datetime(2026, month, day)  # noqa: DTZ001 - a logger's clock has no zone


def hourly(hours, skip=()):
    begin = moment(3, 1)
    return HEAD + "".join(
        f"{begin + datetime.timedelta(hours=h)},{10 + h % 24 / 2:.1f},{60 + h % 24:.1f}\n"
        for h in range(hours)
        if h not in skip
    )


def fahrenheit_under_celsius():
    rows = (line.split(",") for line in hourly(48).splitlines()[1:])
    return HEAD + "".join(f"{at},{float(warm) * 1.8 + 32:.1f},{damp}\n" for at, warm, damp in rows)


def shares(hours):
    rows = (line.split(",") for line in hourly(hours).splitlines()[1:])
    return HEAD + "".join(f"{at},{warm},{float(damp) / 100:.3f}\n" for at, warm, damp in rows)


def still(hours):
    """A sensor that is wet: 100 % all the time."""
    rows = (line.split(",") for line in hourly(hours).splitlines()[1:])
    return HEAD + "".join(f"{at},{warm},100\n" for at, warm, _ in rows)


def test_a_clean_file_becomes_days():
    log = read_log(hourly(72))
    air = air_of(log)
    assert log.findings == ()
    assert air.ends.tolist() == [1, 2, 3]
    assert air.temperature == pytest.approx(10 + 11.5 / 2)
    hours = np.arange(24)
    # The mean of the equilibrium moistures, not that of the mean air.
    assert air.emc == pytest.approx(float(emc(10 + hours / 2, (60 + hours) / 100).mean()))


def test_a_quotation_mark_left_open_is_no_crash():
    text = hourly(48).replace("2026-03-01 05", '"2026-03-01 05', 1) + "x" * 200_000
    with pytest.raises(BadFile, match="a quotation mark is left open"):
        read_log(text)


def test_fahrenheit_decimal_commas_and_semicolons():
    text = "Date;Time;Temp (°F);RH (%)\n01.03.2026;00:00;50,5;60,5\n01.03.2026;12:00;59;61\n"
    log = read_log(text)
    assert log.temperature == pytest.approx([(50.5 - 32) / 1.8, 15])
    assert log.humidity == pytest.approx([0.605, 0.61])
    assert {finding.kind for finding in log.findings} == {"fahrenheit", "decimal comma", "short"}


@pytest.mark.parametrize(
    ("text", "kind", "where"),
    [
        (hourly(96, skip=range(30, 60)), "gap", "2026-03-02 05:00:00"),
        (hourly(48) + "2026-03-01 05:00:00,10,60\n", "doubled", "2026-03-01 05:00:00"),
        (hourly(48) + "2026-02-28 23:00:00,10,60\n", "order", "2026-02-28 23:00:00"),
        (hourly(48) + "2026-03-03 00:00:00,10,160\n", "range", "line 50"),
        (hourly(48) + "2026-03-03 00:00:00,error,60\n", "unreadable", "line 50"),
        (hourly(48) + "2026-03-03 00:00:00,,60\n", "empty", "line 50"),
        (fahrenheit_under_celsius(), "hot", "above 60 °C"),
        (hourly(3), "short", "2 hours"),
        (still(80), "stuck", "3 days from 2026-03-01 00:00:00"),
        (shares(48), "shares", "0.65 for 65 %"),
    ],
)
def test_what_is_odd_is_named_and_refused_until_agreed(text, kind, where):
    log = read_log(text, "shed.csv")
    said = [finding.said for finding in log.findings if finding.kind == kind]
    assert len(said) == 1
    assert where in said[0]
    with pytest.raises(Question, match=f'--accept "{log.findings[0].kind}"'):
        air_of(log, "shed.csv")
    agreed = air_of(log, "shed.csv", agreed=[finding.kind for finding in log.findings])
    assert np.all(np.isfinite(agreed.emc))
    assert any(said[0] in remark for remark in agreed.remarks)


def test_daily_readings_with_a_day_missing_are_a_gap():
    text = HEAD + "2026-03-01,10,60\n2026-03-02,10,60\n2026-03-04,12,60\n2026-03-05,12,60\n"
    log = read_log(text)
    assert [finding.kind for finding in log.findings] == ["gap"]
    assert air_of(log, agreed=["gap"]).temperature.tolist() == [10, 10, 11, 12, 12]


@pytest.mark.parametrize("letters", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_the_letters_that_loggers_write(letters):
    text = hourly(24).replace("(C)", "(°C)")
    assert np.array_equal(read_log(text.encode(letters)).temperature, read_log(hourly(24)).temperature)


def test_a_dew_point_is_no_temperature_of_the_air():
    rows = hourly(24).splitlines()
    wider = "\n".join([rows[0] + ",dew point temp (C)", *(row + ",3.1" for row in rows[1:])])
    assert np.array_equal(read_log(wider).temperature, read_log(hourly(24)).temperature)


def test_years_of_two_figures():
    rows = "03/25/26 00:00,10,60\n03/26/26 00:00,10,60\n"
    assert read_log(HEAD + rows).times == (moment(3, 25), moment(3, 26))


def test_slashed_dates_are_asked_for_where_both_ways_are_possible():
    rows = "03/04/2026 00:00,10,60\n03/05/2026 00:00,10,60\n"
    with pytest.raises(BadFile, match="month or with the day first"):
        read_log(HEAD + rows)
    assert read_log(HEAD + rows, dates="day first").times[0] == moment(4, 3)
    told = read_log(HEAD + rows + "03/25/2026 00:00,10,60\n")
    assert told.times[0] == moment(3, 4)


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("", "no heading"),
        ("a,b,c\n1,2,3\n", "no heading"),
        ("time,temperature,humidity (%)\n2026-03-01,10,60\n", "does not say °C or °F"),
        ("time,temp 1 (C),temp 2 (C),humidity\n2026-03-01,1,2,60\n", r'"temp 1 \(c\)" and "temp 2 \(c\)"'),
        (HEAD + "2026-03-01,10,60\n", "fewer than two readings"),
        (HEAD + "46082.0417,10,60\n46082.0833,10,60\n", "better written 2026-03-01 14:00"),
        (HEAD + "2026-03-01 00:00,10,5,60,5\n2026-03-01 01:00,10,6,60,6\n", "semicolons between the columns"),
        (bytes(range(256)), "no text"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused(text, match):
    with pytest.raises(BadFile, match=match):
        read_log(text)
