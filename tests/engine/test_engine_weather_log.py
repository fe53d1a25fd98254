"""The weather log says what the survey says of the same readings, and never stands in a check."""

import datetime as dt

import attrs
import pytest
from engine_jobs import worked_job

from sheetgen.engine.job import compute, convert_job
from sheetgen.engine.records import Weather, WeatherEntry

DAY = dt.date(2025, 3, 18)
BID = worked_job(afterwards=False)


def logged(*entries, job=BID):
    return compute(attrs.evolve(job, weather_log=entries))


@pytest.mark.parametrize(
    "read",
    [
        {"air": 80, "humidity": 45, "wind": 9, "slab": 91},
        {"air": 80, "humidity": 45, "slab": 91},
        {"air": 41, "humidity": 97, "wind": 0},
        {"air": 20, "humidity": 1, "wind": 60, "slab": 160},
        {"air": 130, "humidity": 100, "slab": 20},
        {"air": 80},
        {"humidity": 45, "wind": 9},
    ],
)
@pytest.mark.parametrize("place", ["inside", "outside"])
def test_as_the_survey(read, place):
    at = ("inside", "outside").index(place)
    job = attrs.evolve(BID, weather=(Weather(**read), Weather(**read)), weather_log=(WeatherEntry(date=DAY, time=0.5, place=place, **read),))
    values = compute(job)

    assert values.column("weather_log.evaporation")[0] == values.column("weather.evaporation")[at]
    assert values.column("weather_log.above_dew")[0] == values.column("weather.dew_gap")[at]


def test_a_blank_place_is_inside():
    read = {"air": 80, "humidity": 45}
    values = logged(WeatherEntry(**read), WeatherEntry(place="inside", **read), WeatherEntry(place="outside", **read))
    blank, inside, outside = values.column("weather_log.evaporation")

    assert blank == inside > 0
    assert outside is None  # the wind is not known
    assert len(set(values.column("weather_log.above_dew"))) == 1


@pytest.mark.parametrize("wrong", [{"air": 131}, {"air": 19}, {"humidity": 0.5}, {"humidity": 101}, {"wind": -1}, {"wind": 61}, {"slab": 161}])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_reading_that_cannot_be_says_nothing(wrong, system):
    entry = WeatherEntry(**({"air": 70, "humidity": 50} | wrong))
    values = compute(convert_job(attrs.evolve(BID, weather_log=(entry,)), system))

    assert values.column("weather_log.started") == (1,)
    assert values.column("weather_log.evaporation") == values.column("weather_log.above_dew") == (None,)


def test_only_a_place_does_not_begin_a_row():
    assert logged(WeatherEntry(place="outside")).column("weather_log.started") == (None,)


def test_it_is_never_looked_at():
    """A windy hot day on the log is a fact, not a fault."""
    values = logged(WeatherEntry(air=120, humidity=5, wind=40), WeatherEntry(air=500))

    assert values.scalar("master.looks") == compute(BID).scalar("master.looks")
