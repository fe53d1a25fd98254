"""Visits, waiting, idle time, overtime, travel, equipment and the day sheet through the job."""

import datetime as dt

import attrs
import pytest
from engine_jobs import changed, fault, one_area, with_more, worked_job

from sheetgen.engine.job import compute, padded
from sheetgen.engine.records import Crew, DaySheet, Equipment, Line, Product, Role, Task, Visit

JOB = worked_job(afterwards=False)
PLANNED = attrs.evolve(JOB, visits=())
A, B = 454.132741, 33.75


def visits(job, *names):
    """Return the figures of all visits there are, one tuple for each name."""
    values = compute(job)
    count = sum(one == 1 for one in values.column("visits.started"))
    return tuple(values.column(f"visits.{name}")[:count] for name in names)


def accepted(job, name):
    return compute(job).scalar(name, "accepted")


class TestPlannedVisits:
    def test_work_of_each_kind(self):
        """Preparing 2.108333 + 5.761321 + 1.459717 + 0.999092; pouring 2.475 + 1.245765 + 1.522602 + 0.999092 and 1.958370 h of
        waiting; sealing 1.755896 + 1.248865."""
        values = compute(PLANNED)

        assert values.scalar("plan_work.prepare_hours") == pytest.approx(10.328463, abs=3e-6)
        assert values.scalar("plan_work.pour_hours") == pytest.approx(6.242459 + 1.958370, abs=3e-6)
        assert values.scalar("plan_work.seal_hours") == pytest.approx(3.004761, abs=2e-6)
        assert values.scalar("plan_work.set_up_each") == 0.5

    def test_one_by_one(self):
        """Two people prepare for 5.664232 h, three pour on two days 1.866805 h each, two seal for 2.002381 h."""
        kinds, days, people, hours = visits(PLANNED, "kind_no", "day_no", "people_used", "hours_used")

        assert kinds == (1, 2, 2, 3)
        assert days == (1, 2, 3, 4)
        assert people == (2, 3, 3, 2)
        assert hours == pytest.approx((10.328463 / 2 + 0.5, 8.200829 / 6 + 0.5, 8.200829 / 6 + 0.5, 3.004761 / 2 + 0.5), abs=2e-6)

    def test_at_least_the_least_hours_are_paid(self):
        """2 · 5.664232 + 3 · 4 + 3 · 4 + 2 · 4."""
        assert compute(PLANNED).scalar("paid.hours") == pytest.approx(2 * 5.664232 + 32, abs=3e-6)
        assert compute(PLANNED).scalar("paid.people_visits") == 10

    def test_sealing_waits_for_the_topping(self):
        """The last pour is on day 3; 30 h are two days."""
        job = changed(PLANNED, "systems", 1, topping_wait=30)

        assert visits(job, "day_no") == ((1, 2, 3, 5),)

    def test_a_day_that_is_too_short_takes_another(self):
        """10.328463 h by one person in days of 5.5 h: two visits to prepare, pours from day 3 on."""
        job = changed(PLANNED, "crew", people_prepare=1, day_hours=6)
        (kinds, days) = visits(job, "kind_no", "day_no")

        assert kinds == (1, 1, 2, 2, 3)
        assert days == (1, 2, 3, 4, 5)
        assert compute(job).scalar("planned.first_day") == 3

    def test_those_that_have_no_row_leave_no_price(self):
        """By one person in days of 0.7 h, of which half an hour is set-up: 52 visits to prepare, in 20 rows."""
        job = changed(PLANNED, "crew", people_prepare=1, day_hours=0.7)
        values = compute(job)

        assert values.scalar("plan_work.prepare_count") == 52
        assert values.scalar("plan_work.left_out") > 0
        assert values.scalar("paid.visits") is None
        assert values.scalar("price.total", "accepted") is None
        assert values.scalar("checks.visits") == values.scalar("plan_work.left_out")
        assert accepted(padded(job, {"visits": 120}), "price.total") is not None

    def test_no_time_left_in_a_day(self):
        values = compute(changed(PLANNED, "crew", day_hours=0.5))

        assert values.scalar("plan_work.prepare_count") is None
        assert values.scalar("price.total", "accepted") is None

    def test_without_work_nobody_comes(self):
        assert compute(one_area(pours=())).scalar("plan_work.prepare_count") == 0

    def test_people_of_the_pour(self):
        assert compute(PLANNED).scalar("plan_work.pour_people") == 3
        assert compute(changed(PLANNED, "crew", people_pour=5)).scalar("plan_work.pour_people") == 5
        assert compute(changed(PLANNED, "pours", 0, mixers=2)).scalar("plan_work.pour_people") == 4


class TestTypedVisits:
    def test_a_blank_day_is_the_day_after(self):
        job = attrs.evolve(JOB, visits=(Visit(kind="prepare"), Visit(), Visit(day=5), Visit(people=2)))

        assert compute(job).column("visits.day_no")[:4] == (1, None, 5, 6)

    def test_a_blank_row_has_what_its_kind_takes(self):
        """Preparing: two people, 5.664232 h."""
        job = attrs.evolve(JOB, visits=(Visit(day=1),))

        assert visits(job, "kind_no", "people_used", "hours_used") == ((1,), (2,), (pytest.approx(5.664232, abs=2e-6),))

    def test_a_note_alone_is_no_visit(self):
        job = padded(attrs.evolve(JOB, visits=(Visit(note="bring the cart"),)), {"visits": 20})

        assert compute(job).scalar("plan_work.typed") == 0
        assert compute(job).scalar("paid.visits") == 4

    @pytest.mark.parametrize(
        ("values", "expected"),
        [
            ({}, 0),
            ({"kind": "survey"}, 1),
            ({"people": 13}, 2),
            ({"hours": -1}, 3),
            ({"day": 0}, 4),
            ({"day": 85}, 4),
            ({"day": 84}, 0),
        ],
    )
    def test_fault(self, values, expected):
        """Twelve weeks are 84 days."""
        job = changed(JOB, "visits", 2, **values)

        assert fault(job, "visits", 2) == expected
        assert compute(job).scalar("checks.visits") == (expected > 0)
        assert (accepted(job, "price.total") is None) == (expected > 0)

    def test_nights_pay_a_per_diem(self):
        """Two of the three sleep there: 2 + 3 people, at 55."""
        job = changed(changed(JOB, "visits", 0, overnight="yes"), "visits", 1, overnight="yes")

        assert compute(job).scalar("paid.nights") == 5
        assert accepted(changed(job, "costs", per_diem=55), "price.travel") == pytest.approx(77.76 + 275)

    def test_trips_follow_the_visits(self):
        assert compute(JOB).scalar("costs.trips_used") == 3
        assert accepted(changed(JOB, "costs", trips=5), "price.travel") == pytest.approx(5 * 36 * 0.72)


class TestOvertime:
    def week(self, days, people=2, hours=9, **crew):
        """Two people, days of 9 h, at 32.00 alone."""
        return attrs.evolve(
            one_area(
                roles=(Role(name="Finisher", wage=32),),
                tasks=(Task(name="Once", role="Finisher", basis="once", rate=1),),
                visits=tuple(Visit(people=people, hours=hours) for _ in range(days)),
            ),
            crew=Crew(mix=0, place=0, trowel=0, **crew),
        )

    def test_by_week(self):
        """Five days of 9 h: 5 h each over 40; 10 h · half of 32.00 with 8.45 % payroll taxes: 173.52."""
        values = compute(self.week(5))

        assert values.column("weeks.weekly")[0] == 10
        assert values.scalar("paid.overtime_hours") == 10
        assert values.scalar("paid.overtime_cost") == values.scalar("price.overtime", "accepted") == 173.52

    def test_over_two_workweeks(self):
        """Day 1 is the fourth of its week: four days and one."""
        values = compute(self.week(5, first_weekday=4))

        assert values.column("visits.week_no")[:5] == (1, 1, 1, 1, 2)
        assert values.scalar("paid.overtime_hours") == 0

    def test_by_day(self):
        """Over 8 h: an hour each on three days."""
        assert compute(self.week(3, day_limit=8)).scalar("paid.overtime_hours") == 6
        assert compute(self.week(5, day_limit=8)).scalar("paid.overtime_hours") == 10

    def test_the_fourth_person_comes_on_some_days_only(self):
        job = attrs.evolve(self.week(5), visits=(*(Visit(people=2, hours=9) for _ in range(4)), Visit(people=4, hours=9)))
        values = compute(job)

        assert values.column("week_hours.hours")[:5] == (45, 45, 9, 9, 0)
        assert values.scalar("paid.overtime_hours") == 10

    def test_no_overtime_needs_no_wage(self):
        assert compute(one_area(visits=(Visit(people=1, hours=0),))).scalar("paid.overtime_cost") == 0


class TestSetUps:
    @pytest.mark.parametrize(
        ("scope", "set_ups"),
        [({}, 3), ({"system": "System B"}, 2), ({"surface": "floor"}, 1), ({"zone": "Studio"}, 1), ({"zone": "Studio", "surface": "step"}, 0)],
    )
    def test_for_each_pour(self, scope, set_ups):
        job = with_more(JOB, "tasks", Task(name="More", role="Helper", basis="pours", rate=2, set_up=1, set_up_per="pour", **scope))

        assert compute(job).column("labour.set_ups", "accepted")[-1] == set_ups

    def test_for_each_person_and_visit(self):
        """Seven people over three visits, whatever the difficulty."""
        values = compute(JOB)

        assert values.column("labour.own_hours", "accepted")[-1] == 0
        assert values.column("labour.visit_hours", "accepted")[-1] == 3.5

    def test_by_the_visit(self):
        """Three visits at two an hour, times 1.1; a set-up of an hour for the job."""
        job = with_more(JOB, "tasks", Task(name="Load", role="Helper", basis="visits", rate=2, set_up=1))

        assert compute(job).column("labour.hours", "accepted")[-1] == pytest.approx(1.1 * (1 + 3 / 2))

    @pytest.mark.parametrize(("per", "hours"), [("job", 1), ("zone", 2), ("pour", 3), ("none", 0), ("visit", 7 / 1.1)])
    def test_nothing_but_a_set_up(self, per, hours):
        job = with_more(JOB, "tasks", Task(name="More", role="Helper", set_up=1, set_up_per=per))

        assert compute(job).column("labour.hours", "accepted")[-1] == pytest.approx(1.1 * hours)

    def test_batches_are_counted_where_they_are_laid(self):
        """Seven in the studio, two on the steps, which take 2.5 times as long."""
        job = with_more(JOB, "tasks", Task(name="More", role="Helper", basis="batches", rate=1, step=2.5))

        assert compute(job).column("labour.quantity", "accepted")[-1] == 9
        assert compute(job).column("labour.weighted", "accepted")[-1] == 12

    def test_a_line_for_every_visit(self):
        job = with_more(JOB, "products", Product(name="Rags", size=1, price=4))
        job = with_more(job, "lines", Line(name="Rags", product="Rags", basis="visits", dose=2))

        assert compute(job).column("needs.need", "accepted")[-1] == 6


class TestWaiting:
    def test_a_task_of_one_zone_counts_its_share(self):
        """Place only in the studio: the steps' pours have 1/12 h of mixing and 33.75 · 2.5/450 of the first trowel."""
        at = next(row for row, task in enumerate(JOB.tasks) if task.name == "Place")
        job = changed(JOB, "tasks", at, zone="Studio")

        assert compute(job).column("pours.task_hours")[:2] == pytest.approx((7 / 12 + A * (1 / 550 + 1 / 450 + 1 / 500), 1 / 12 + B * 2.5 / 450))

    def test_difficulty_does_not_count(self):
        assert compute(changed(JOB, "effort", difficulty=3)).column("pours.task_hours") == compute(JOB).column("pours.task_hours")

    def test_a_task_off_is_all_waiting(self):
        at = next(row for row, task in enumerate(JOB.tasks) if task.name == "Mix")
        values = compute(changed(JOB, "tasks", at, used="no"))

        assert values.column("pours.waiting")[0] == pytest.approx(4.966667 - (3.326479 - 7 / 12), abs=2e-6)
        assert values.column("stage_tasks.task_no")[0] is None
        # Nobody is named for mixing: that hand is paid as the mean of the job.
        mean = values.scalar("work.mean_wage", "accepted")
        assert values.column("pours.wage")[0] == pytest.approx((mean + 2 * 41.044) / 3)

    def test_hands_without_any_wage_leave_no_price(self):
        """An hour that is paid at nobody knows what is not free."""
        job = one_area(crew=Crew())

        assert compute(job).column("pours.waiting")[0] > 0
        assert accepted(job, "work.waiting_cost") is None
        assert accepted(job, "price.total") is None

    def test_overhead_by_the_hour_counts_every_hour_that_is_paid(self):
        job = changed(JOB, "policy", overhead_way="per_hour", overhead_hour=10)

        assert accepted(job, "price.overhead") == pytest.approx(330, abs=1e-9)


class TestEquipment:
    @pytest.mark.parametrize(
        ("values", "days"),
        [({}, 0), ({"days": 2}, 2), ({"visit": "prepare"}, 1), ({"visit": "seal"}, 3), ({"visit": "seal", "days": 1}, 1), ({"visit": "pour"}, 1)],
    )
    def test_kept_for_its_visits(self, values, days):
        """The sealing visit keeps it two days more."""
        job = changed(JOB, "visits", 2, kept=2)
        job = attrs.evolve(job, equipment=(Equipment(name="Grinder", day_rate=95, **values),))

        assert compute(job).column("equipment.days_used") == (days,)
        assert accepted(job, "price.equipment") == 95 * days


class TestDaySheet:
    def sheet(self, visit=2, **crew):
        return compute(changed(attrs.evolve(JOB, day=DaySheet(visit=visit)), "crew", **crew))

    def test_the_visit(self):
        values = self.sheet(start_date=dt.date(2025, 3, 17))

        assert (values.scalar("day.day_no"), values.scalar("day.people"), values.scalar("day.hours_each")) == (2, 3, 5)
        assert values.scalar("day.date") == (dt.date(2025, 3, 18) - dt.date(1899, 12, 30)).days
        assert (values.scalar("day.batches"), values.scalar("day.bags")) == (8, 15)

    def test_its_pours(self):
        values = self.sheet()

        assert values.column("day_pours.pour_no") == (1, 2, None)
        assert values.column("day_pours.opens") == (pytest.approx(8 / 24), pytest.approx(11 / 24), None)
        assert values.column("day_pours.bags_each") == (2, 1, None)
        assert values.column("day_pours.hands") == (3, 3, None)

    def test_colour_for_every_batch(self):
        """4 oz to 100 ft², batches of 76.8 ft², one coat of each."""
        assert self.sheet().column("day_pours.pigment") == (pytest.approx(4 / 100 * 76.8), None, None)

    def test_second_trowelling_of_the_first_batch(self):
        """First trowelled until 8:23, again from 9:23 to 120 min after."""
        values = compute(changed(attrs.evolve(JOB, day=DaySheet(visit=2)), "systems", 0, second_latest=120))

        assert values.column("day_pours.second_from")[0] == pytest.approx((9 * 60 + 23) / 1440)
        assert values.column("day_pours.second_to")[0] == pytest.approx((10 * 60 + 23) / 1440)
        assert values.column("day_pours.second_from")[1] is None

    @pytest.mark.parametrize("visit", [None, 0, 4, 2.5])
    def test_no_such_visit(self, visit):
        values = self.sheet(visit)

        assert values.scalar("day.day_no") is None
        assert values.column("day_pours.pour_no") == (None, None, None)
