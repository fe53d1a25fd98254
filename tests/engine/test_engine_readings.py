"""Readings: each row matched, its first fault, and what it says; and what the inputs of the survey may be."""

import datetime as dt
import math

import pytest
from engine_jobs import changed, one_area, ready_job

from sheetgen.engine.job import Job, compute, convert_job
from sheetgen.engine.records import Heading, Layer, Reading, Survey, ToppingSystem, Zone

SYSTEM = ToppingSystem(name="A", product="Topping", yield_=0.45, thickness=0.125, grade="trowel")
DAY = dt.date(2025, 3, 3)


def job_with(*readings, system=SYSTEM, **more):
    return one_area(systems=(system,), job=Heading(name="x", bid_date=DAY), readings=readings, **more)


def figures(reading, names=("fault", "judged", "beyond"), **more):
    values = compute(job_with(reading, **more))
    return tuple(values.column(f"readings.{name}")[0] for name in names)


class TestFaults:
    @pytest.mark.parametrize(
        ("fault", "reading"),
        [
            (1, Reading(zone="Nowhere", test="humidity", value=70)),
            (2, Reading(value=70)),
            (2, Reading(test="smell", value=70)),
            (3, Reading(test="humidity")),
            (3, Reading(test="humidity", grams=3, hours=72)),
            (3, Reading(test="mver", grams=3)),
            (3, Reading(test="mver", grams=3, hours=0)),
            (4, Reading(test="strength", value=250)),
            (4, Reading(test="strength", value=250, mode="somehow")),
            (5, Reading(test="mver", grams=3, hours=59)),
            (5, Reading(test="mver", grams=3, hours=73)),
            (6, Reading(test="humidity", value=70, valid_until=dt.date(2025, 3, 2))),
            (0, Reading(test="humidity", value=70, valid_until=DAY)),
            (0, Reading(test="mver", value=2.9, grams=3, hours=59)),
            (0, Reading(test="strength", value=250, mode="glue")),
        ],
    )
    def test_first_fault(self, fault, reading):
        found, judged, beyond = figures(reading)

        assert found == fault
        assert judged == (fault == 0)
        assert beyond == 0

    def test_the_first_that_applies(self):
        assert figures(Reading(zone="Nowhere", value=70))[0] == 1

    def test_nothing_expires_without_a_bid_date(self):
        job = changed(job_with(Reading(test="ph", value=8, valid_until=dt.date(2000, 1, 1))), "job", bid_date=None)

        assert compute(job).column("readings.fault") == (0,)

    @pytest.mark.parametrize("reading", [Reading(), Reading(zone="Zone 1"), Reading(note="x", mode="glue", instrument="y")])
    def test_not_started(self, reading):
        """A zone, a mode or a note alone does not begin a row."""
        values = compute(job_with(reading))

        assert {values.column(name)[0] for name in values if name.startswith("readings.")} == {None}


class TestVapour:
    def test_by_weight(self):
        """3.0 g in 72 h on 0.44486 ft²: 4.95 lb/1000 ft²/24 h, published."""
        value, judged, beyond = figures(Reading(test="mver", grams=3, hours=72), ("value_used", "judged", "beyond"))

        assert value == pytest.approx(4.95, abs=0.01)
        assert (judged, beyond) == (1, 1)

    def test_the_dish_of_the_job(self):
        """Break the guard on purpose: the gross area of 0.486 ft² gives 4.54."""
        (value,) = figures(Reading(test="mver", grams=3, hours=72), ("value_used",), survey=Survey(dish_area=0.486))

        assert value == pytest.approx(4.54, abs=0.005)

    @pytest.mark.parametrize("dish_area", [None, 0, -1])
    def test_no_dish(self, dish_area):
        assert figures(Reading(test="mver", grams=3, hours=72), survey=Survey(dish_area=dish_area))[0] == 3

    def test_what_is_typed_comes_first(self):
        assert figures(Reading(test="mver", value=2, grams=3, hours=72), ("value_used",)) == (2,)


class TestLimits:
    @pytest.mark.parametrize(
        ("test", "value", "beyond"),
        [
            ("humidity", 75, 0),
            ("humidity", 76, 1),
            ("mver", 3.0, 0),
            ("mver", 3.1, 1),
            ("ph", 6.9, 1),
            ("ph", 7, 0),
            ("ph", 10, 0),
            ("ph", 10.1, 1),
            ("absorption", 60, 0),
            ("absorption", 61, 1),
            ("profile", 1, 1),
            ("profile", 2, 0),
            ("profile", 5, 1),
            ("plastic_sheet", 0, 0),
            ("plastic_sheet", 1, 1),
        ],
    )
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_defaults(self, test, value, beyond, system):
        """3.0 passes, 3.1 fails, 75 passes, 76 fails: published, limits where the data sheet is silent."""
        job = convert_job(job_with(Reading(test=test, value=value)), system)

        assert compute(job).column("readings.beyond") == (beyond,)

    @pytest.mark.parametrize(("value", "beyond"), [(199.9, 1), (200, 0)])
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_strength(self, value, beyond, system):
        job = convert_job(job_with(Reading(test="strength", value=value, mode="concrete")), system)

        assert compute(job).column("readings.beyond") == (beyond,)

    def test_no_limit(self):
        """Said to have no limit: the reading counts, and nothing is beyond."""
        system = ToppingSystem(name="A", thickness=0.125, humidity_most=math.inf)
        low, high, judged, beyond = figures(Reading(test="humidity", value=99), ("low", "high", "judged", "beyond"), system=system)

        assert (low, high, judged, beyond) == (None, None, 1, 0)

    def test_not_stated(self):
        """A profile without limit or grade cannot be judged."""
        assert figures(Reading(test="profile", value=3), system=ToppingSystem(name="A", thickness=0.125)) == (0, 0, 0)

    def test_a_zone_without_a_system(self):
        assert figures(Reading(test="humidity", value=99), zones=(Zone(name="Zone 1", system="B"),)) == (0, 0, 0)

    def test_noise_is_not_beyond(self):
        """3 lb/1000 ft²/24 h typed in metric to seven digits is still 3."""
        job = Job(system="metric", readings=(Reading(test="mver", value=169.5288),), systems=(ToppingSystem(name="A", mver_most=169.5288),))

        assert compute(convert_job(job, "us")).column("readings.beyond") == (0,)


class TestUnits:
    @pytest.mark.parametrize(
        ("test", "us", "metric"),
        [
            ("mver", 3, 169.5289),
            ("strength", 200, 1.378951),
            ("humidity", 75, 75),
            ("absorption", 60, 60),
            ("ph", 9, 9),
            (None, 9, 9),
            ("smell", 9, 9),
        ],
    )
    def test_a_reading_is_measured_by_its_test(self, test, us, metric):
        job = convert_job(Job(readings=(Reading(test=test, value=us),)), "metric")

        assert job.readings[0].value == pytest.approx(metric, rel=1e-6)
        assert compute(job).in_job_system().column("readings.value_used")[0] == pytest.approx(metric, rel=1e-6)
        assert convert_job(job, "us").readings[0].value == pytest.approx(us, rel=1e-14)

    def test_limits_beside_them(self):
        job = convert_job(job_with(Reading(test="strength", value=300, mode="bond"), Reading(test="mver", value=1)), "metric")
        here = compute(job).in_job_system()

        assert here.column("readings.low") == (pytest.approx(1.378951, rel=1e-6), None)
        assert here.column("readings.high") == (None, pytest.approx(169.5289, rel=1e-6))
        assert here.column("strength_by_mode.bond") == (pytest.approx(2.068427, rel=1e-6),)


class TestInputs:
    def test_starter_values(self):
        """American texts say 5 °F, ISO 8502-4 says 3 °C; the dish is the same."""
        us, metric = Job().survey, Job(system="metric").survey

        assert (us.dish_area, us.dew_margin) == (0.44486, 5)
        assert (metric.dish_area, metric.dew_margin) == (pytest.approx(0.0413288463744, rel=1e-9), 3)

    def test_no_limit(self):
        system = ToppingSystem(humidity_most=math.inf, temperature_least=math.inf)

        assert convert_job(Job(systems=(system,)), "metric").systems[0] == system

    @pytest.mark.parametrize("wrong", [-math.inf, math.nan])
    def test_no_other_endless_number(self, wrong):
        with pytest.raises(ValueError, match="finite"):
            ToppingSystem(humidity_most=wrong)
        with pytest.raises(ValueError, match="finite"):
            Layer(coverage=math.inf)

    @pytest.mark.parametrize("wrong", ["no limit", True])
    def test_no_word(self, wrong):
        with pytest.raises(TypeError, match="a number is wanted"):
            ToppingSystem(humidity_most=wrong)

    def test_the_ready_job_is_ready(self):
        """What the tests of the slab begin with."""
        for system in ("us", "metric"):
            values = compute(ready_job(system))

            assert values.column("verdicts.verdict_no") == (4,)
            assert values.scalar("master.looks") == 0
