"""Roles, tasks and hours: quantities in scope, multipliers, set-ups, and each fault."""

import pytest
from engine_jobs import changed, fault, one_area, price, with_more, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import Effort, Role, Task

JOB = worked_job(afterwards=False)
A, B = 454.132741, 33.75


def task(**values):
    """Return the values of the worked job with one more task."""
    return compute(with_more(JOB, "tasks", Task(name="More", role="Helper", **{"rate": 100, **values})))


class TestScope:
    @pytest.mark.parametrize(
        ("scope", "quantity", "weighted"),
        [
            ({"basis": "area"}, A + B, A + 2.5 * B),
            ({"basis": "coat_area"}, A + 2 * B, A + 5 * B),
            ({"basis": "area", "surface": "step"}, B, 2.5 * B),
            ({"basis": "area", "surface": "floor"}, A, A),
            ({"basis": "area", "system": "System B"}, B, 2.5 * B),
            ({"basis": "area", "zone": "Studio"}, A, A),
            ({"basis": "area", "zone": "Studio", "surface": "step"}, 0, 0),
            ({"basis": "zones"}, 2, 3.5),
            ({"basis": "steps"}, 5, 12.5),
            ({"basis": "once"}, 1, 1),
            ({"basis": "once", "surface": "step"}, 1, 1),
        ],
    )
    def test_quantity(self, scope, quantity, weighted):
        values = task(step=2.5, **scope)

        assert values.column("labour.quantity", "accepted")[-1] == pytest.approx(quantity, abs=1e-6)
        assert values.column("labour.weighted", "accepted")[-1] == pytest.approx(weighted, abs=1e-6)
        assert values.column("labour.hours", "accepted")[-1] == pytest.approx(1.1 * weighted / 100, abs=1e-6)

    def test_multipliers_are_1_where_blank(self):
        assert task(basis="area").column("labour.weighted", "accepted")[-1] == pytest.approx(A + B, abs=1e-6)

    def test_wall(self):
        job = changed(with_more(JOB, "tasks", Task(name="W", role="Helper", basis="area", rate=100, wall=1.6)), "zones", 1, surface="wall")

        assert compute(job).column("labour.weighted", "accepted")[-1] == pytest.approx(A + 1.6 * B, abs=1e-6)


class TestSetUps:
    @pytest.mark.parametrize(
        ("values", "set_ups"),
        [
            ({"basis": "area"}, 1),
            ({"basis": "cove"}, 0),
            ({"basis": "once"}, 1),
            ({"basis": "area", "set_up_per": "zone"}, 2),
            ({"basis": "edge", "set_up_per": "zone"}, 1),
            ({"basis": "area", "set_up_per": "zone", "surface": "step"}, 1),
            ({"basis": "cove", "set_up_per": "zone"}, 0),
            ({"basis": "once", "set_up_per": "zone"}, 2),
            ({"basis": "once", "set_up_per": "zone", "zone": "Studio"}, 1),
            ({"basis": "area", "set_up_per": "none"}, 0),
        ],
    )
    def test_how_often(self, values, set_ups):
        found = task(set_up=0.5, **values)

        assert found.column("labour.set_ups", "accepted")[-1] == set_ups

    def test_difficulty_is_on_all_of_it(self):
        """hours = difficulty · (set-up + Σ basis · multiplier / rate)."""
        hours = task(basis="steps", set_up=0.5, rate=10).column("labour.hours", "accepted")[-1]

        assert hours == pytest.approx(1.1 * (0.5 + 0.5), rel=1e-14)


class TestTasks:
    @pytest.mark.parametrize(
        ("values", "expected"),
        [
            ({"name": None}, 1),
            ({"name": "grind "}, 2),
            ({"role": None}, 3),
            ({"role": "Nobody"}, 3),
            ({"basis": None}, 4),
            ({"basis": "bays"}, 4),
            ({"rate": None}, 5),
            ({"rate": 0}, 5),
            ({"system": "C"}, 6),
            ({"surface": "ceiling"}, 7),
            ({"zone": "Nowhere"}, 8),
        ],
    )
    def test_fault(self, values, expected):
        job = changed(JOB, "tasks", 0, **values)
        found = compute(job)

        assert fault(job, "tasks", 0) == expected
        assert found.column("labour.hours", "accepted")[0] is None
        assert found.column("labour.cost", "accepted")[0] is None
        assert found.scalar("work.hours", "accepted") is None
        assert found.scalar("price.total", "accepted") is None
        assert found.scalar("checks.tasks") == (2 if expected == 2 else 1)

    def test_switched_off(self):
        values = compute(changed(JOB, "tasks", 1, used="no"))

        assert values.column("tasks.on")[1] == 0
        assert values.column("labour.hours", "accepted")[1] == values.column("labour.cost", "accepted")[1] == 0
        assert values.scalar("work.task_cost", "accepted") == pytest.approx(761.06 - 180.95, abs=1e-9)

    def test_switched_off_its_hours_are_idle(self):
        """The visits are typed and stay: 580.11 for 17.314363 h, 74.09 for waiting, and 33 - 17.314363 - 1.958370 =
        13.727267 h idle at 580.11/17.314363 = 33.504556: 459.93. By hand; the dearer mean makes it more than before."""
        values = compute(changed(JOB, "tasks", 1, used="no"))

        assert values.scalar("work.idle_hours", "accepted") == pytest.approx(13.727267, abs=1e-6)
        assert values.scalar("work.idle_cost", "accepted") == 459.93
        assert values.scalar("work.cost", "accepted") == pytest.approx(1114.13, abs=1e-9)

    def test_what_is_chosen_on_the_job_does_not_begin_a_row(self):
        values = compute(with_more(JOB, "tasks", Task(zone="Studio", used="no")))

        assert values.column("tasks.started")[-1] is None
        assert values.column("labour.hours", "accepted")[-1] is None
        assert values.scalar("work.hours", "accepted") is not None

    def test_a_wage_that_is_missing(self):
        values = compute(changed(JOB, "roles", 1, wage=None))

        assert values.column("roles.loaded") == (pytest.approx(41.044), None)
        assert values.column("labour.hours", "accepted")[0] is not None
        assert values.column("labour.cost", "accepted")[0] is None
        assert values.scalar("work.cost", "accepted") is None

    def test_no_tasks_is_no_labour(self):
        assert compute(one_area()).scalar("work.hours", "accepted") == 0


class TestRoles:
    def test_twins(self):
        job = with_more(JOB, "roles", Role(name="helper ", wage=20))

        assert compute(job).column("roles.twin") == (1, 2, 2)
        assert compute(job).scalar("checks.roles") == 2

    @pytest.mark.parametrize("burden", ["payroll_taxes", "compensation", "liability", "benefits"])
    def test_every_burden_counts(self, burden):
        values = compute(changed(JOB, "burdens", **{burden: None}))

        assert values.column("roles.loaded") == (None, None)
        assert values.scalar("price.total", "accepted") is None


def test_difficulty():
    """Set-up per visit is not multiplied: (23.075684 - 3.5) · 2/1.1 + 3.5, by hand."""
    values = compute(changed(JOB, "effort", difficulty=2))

    assert values.scalar("work.hours", "accepted") == pytest.approx(39.092153, abs=2e-6)


def test_difficulty_missing():
    assert price(changed(JOB, "effort", difficulty=None)) is None
    assert Effort().difficulty == 1
