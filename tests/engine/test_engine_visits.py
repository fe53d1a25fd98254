"""Visits, overtime, idle time and the clock of the layers, by hand."""

import math

import pytest

from sheetgen.engine.missing import MISSING
from sheetgen.engine.overtime import Attendance, daily_overtime_h, overtime_cost, overtime_h, week_of, weekly_overtime_h
from sheetgen.engine.priming import counted_back_min, counted_on_min, primer_clock
from sheetgen.engine.ranges import OutOfRangeError
from sheetgen.engine.visits import (
    PlannedVisit,
    days_until_sealing,
    hours_of_visit_h,
    idle_h,
    paid_h,
    planned_visits,
    visits_needed,
    waiting_h,
)

HOUR, DAY = 60, 1440


class TestVisits:
    @pytest.mark.parametrize(
        ("work", "people", "set_up", "visits"),
        [(15, 2, 0.5, 1), (15.1, 2, 0.5, 2), (30, 2, 0.5, 2), (0, 2, 0.5, 0), (16, 2, 0, 1), (7.5, 1, 0.5, 1), (8, 1, 0.5, 2)],
    )
    def test_how_many(self, work, people, set_up, visits):
        """A day of 8 h less half an hour for each person: 7.5 h."""
        assert visits_needed(work, people, 8, set_up) == visits

    def test_no_time_left_in_a_day(self):
        assert math.isnan(visits_needed(2, 3, 0.5, 0.5))

    def test_hours_of_each(self):
        assert hours_of_visit_h(30, 2, 2, 0.5) == 8
        assert hours_of_visit_h(0, 2, 0, 0.5) == 0

    def test_nobody_comes(self):
        with pytest.raises(OutOfRangeError):
            visits_needed(2, 0, 8, 0.5)
        with pytest.raises(OutOfRangeError):
            hours_of_visit_h(2, 0, 1, 0.5)
        with pytest.raises(OutOfRangeError):
            visits_needed(-2, 1, 8, 0.5)

    @pytest.mark.parametrize(("waits", "days"), [((), 1), ((4,), 1), ((24,), 1), ((24, 48), 2), ((25, MISSING), 2)])
    def test_days_until_sealing(self, waits, days):
        assert days_until_sealing(waits) == days

    def test_prime_tonight_pour_tomorrow_seal_after_two_days(self):
        """Trade, the pour: three visits."""
        plan = planned_visits(1, 1, 1, first_pour_day=2, first_seal_day=4)

        assert plan == [PlannedVisit(kind="prepare", day=1), PlannedVisit(kind="pour", day=2), PlannedVisit(kind="seal", day=4)]

    def test_each_kind_on_days_in_a_row(self):
        plan = planned_visits(2, 3, 0, first_pour_day=3, first_seal_day=6)

        assert [(one.kind, one.day) for one in plan] == [("prepare", 1), ("prepare", 2), ("pour", 3), ("pour", 4), ("pour", 5)]


class TestPaid:
    def test_least_hours(self):
        """Worked job: 2 · 5 + 3 · 5 + 2 · max(3, 4) = 33 h."""
        assert sum(paid_h(people, hours, 4) for people, hours in ((2, 5), (3, 5), (2, 3))) == 33

    def test_idle(self):
        """Worked job: 33 less 23.075684 h of tasks and 1.640188 + 2 · 0.159091 h of waiting."""
        waiting = 1.640188 + 2 * 0.159091

        assert idle_h(33, 23.075684, waiting) == pytest.approx(7.965946, abs=1e-9)
        assert idle_h(20, 23.075684, waiting) == 0

    @pytest.mark.parametrize(("there", "tasks", "waiting"), [(4.966667, 3.326479, 1.640188), (0.583333, 0.424242, 0.159091), (1, 2, 0)])
    def test_waiting(self, there, tasks, waiting):
        """Worked job, studio and each coat of the steps; never below 0."""
        assert waiting_h(there, tasks) == pytest.approx(waiting, abs=1e-9)

    def test_what_is_missing_stays_missing(self):
        assert math.isnan(paid_h(2, MISSING, 4))
        assert math.isnan(idle_h(33, MISSING, 2))
        assert math.isnan(waiting_h(MISSING, 2))


class TestOvertime:
    @pytest.mark.parametrize(
        ("day", "first_weekday", "week"),
        [(1, 1, 1), (7, 1, 1), (8, 1, 2), (1, 7, 1), (2, 7, 2), (8, 7, 2), (9, 7, 3), (5, 3, 1), (6, 3, 2)],
    )
    def test_week(self, day, first_weekday, week):
        assert week_of(day, first_weekday) == week


    def test_each_person_counts_alone(self):
        """Three people five days of 8 h, two of them a sixth day: 8 h of overtime each."""
        week = [*(Attendance(day=day, people=3, each_h=8) for day in range(1, 6)), Attendance(day=6, people=2, each_h=8)]

        assert weekly_overtime_h(week) == 16
        assert weekly_overtime_h(week, 48) == 0

    def test_by_day(self):
        """A rule of 8 h a day: two people, 10 h on one of two days."""
        week = [Attendance(day=1, people=2, each_h=10), Attendance(day=2, people=2, each_h=6)]

        assert daily_overtime_h(week, 8) == 4
        assert daily_overtime_h(week, MISSING) == 0
        assert overtime_h(week, 40, 8) == 4
        assert overtime_h(week) == 0

    def test_the_larger_of_both(self):
        """Six days of 9 h: 6 h by day, 14 h by week."""
        week = [Attendance(day=day, people=1, each_h=9) for day in range(1, 7)]

        assert overtime_h(week, 40, 8) == 14

    def test_no_visits(self):
        assert overtime_h([], 40, 8) == 0

    def test_no_limit_below_0(self):
        with pytest.raises(OutOfRangeError):
            overtime_h([], -1)

    def test_cost(self):
        """6 h, the half of 30.00 with 8.45 % payroll taxes: 90 · 1.0845."""
        assert overtime_cost(6, 1.5, 30, 0.0845) == 97.61  # 97.605


class TestClockOfTheLayers:
    def test_the_evening_before(self):
        """Trade, the pour: topping at 8:00; the second coat on the morning, 2 h before at the latest; the first about 10 h before it."""
        clock = primer_clock(DAY + 8 * HOUR, last_wait_h=2, last_window_h=24, first_wait_h=10, coats=2)

        assert clock.last_by == DAY + 6 * HOUR
        assert clock.last_from == 8 * HOUR
        assert clock.first_by == 20 * HOUR

    def test_one_coat(self):
        clock = primer_clock(8 * HOUR, last_wait_h=2, last_window_h=MISSING, first_wait_h=MISSING, coats=1)

        assert clock.first_by == clock.last_by == 6 * HOUR
        assert math.isnan(clock.last_from)

    def test_before_midnight_of_the_first_day(self):
        assert counted_back_min(8 * HOUR, 10) == -2 * HOUR

    def test_counted_on(self):
        assert counted_on_min(632, 24) == 632 + DAY
        assert math.isnan(counted_on_min(632, MISSING))

