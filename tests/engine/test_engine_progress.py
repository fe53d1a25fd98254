"""Progress: how far by cost, hours or area; budget, earned value, and where the job is heading."""

import datetime as dt

import attrs
import pytest
from engine_jobs import changed, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import ChangeOrder, CostEntry, HoursEntry, HowFar, MaterialsEntry

DAY = dt.date(2025, 3, 18)
RUNNING = changed(worked_job(afterwards=False), "job", status="running")
# What the worked job's direct cost and net price are: its notes.
DIRECT, NET = 2589.06, 4115.00


def cost(amount):
    return (CostEntry(date=DAY, kind="other", amount=amount),)


def progress(job=RUNNING, **changes):
    values = compute(attrs.evolve(job, **changes))
    return {name.partition(".")[2]: values.scalar(name) for name in values if name.startswith("progress.")}


class TestCost:
    def test_of_hours(self):
        """2 · 3 h of a helper at 24 · 1.2045 + 2.50; at 26 where that was paid; of a finisher at 32 where one did it."""
        entry = HoursEntry(date=DAY, task="Grind", people=2, hours_each=3)
        rows = (entry, attrs.evolve(entry, wage=26), attrs.evolve(entry, role="finisher"), attrs.evolve(entry, role="Finisher", wage=26))
        values = compute(attrs.evolve(RUNNING, hours_log=rows))

        assert values.column("hours_log.cost") == (188.45, 202.90, 246.26, 202.90)
        assert values.column("hours_log.role_paid") == (2, 2, 1, 1)
        assert values.scalar("progress.labour_cost") == pytest.approx(188.45 + 202.90 + 246.26 + 202.90, abs=1e-9)

    def test_of_hours_with_a_fault(self):
        rows = (HoursEntry(date=DAY, task="Nap", hours_each=3, wage=26), HoursEntry(task="Grind", hours_each=1))
        values = compute(attrs.evolve(RUNNING, hours_log=rows))

        assert values.column("hours_log.fault") == (1, 6)
        assert values.column("hours_log.cost") == (None, 31.41)

    def test_no_such_role(self):
        entry = HoursEntry(date=DAY, task="Grind", hours_each=3, role="Foreman", wage=26)
        values = compute(attrs.evolve(RUNNING, hours_log=(entry,)))

        assert values.column("hours_log.fault") == (7,)
        assert values.column("hours_log.hours") == values.column("hours_log.role_paid") == (None,)

    def test_a_role_typed_does_not_change_the_rate_variance(self):
        """The task was bid with a helper at 24: whoever was paid 26 for it, was paid 2 more; 2 · 3 · 1.2045."""
        entry = HoursEntry(date=DAY, task="Grind", hours_each=3, role="Finisher", wage=26)

        assert compute(attrs.evolve(RUNNING, hours_log=(entry,))).column("tasks.rate_variance")[1] == 7.23

    def test_of_materials(self):
        entry = MaterialsEntry(date=DAY, product="Topping A", taken=2, amount=80, tax=5.20)
        rows = (entry, attrs.evolve(entry, tax=None), attrs.evolve(entry, amount=None), MaterialsEntry(date=DAY, product="Topping A", amount=-12))
        values = compute(attrs.evolve(RUNNING, materials_log=(*rows, attrs.evolve(entry, product="Gravel"))))

        assert values.column("materials_log.cost") == (pytest.approx(85.20), 80, None, -12, None)
        assert values.scalar("progress.materials_cost") == pytest.approx(153.20)

    def test_nothing_logged_is_not_zero(self):
        found = progress()

        assert found["actual_cost"] is None
        assert (found["labour_cost"], found["materials_cost"], found["other_cost"], found["unpriced"]) == (0, 0, 0, 0)
        for name in ("share", "earned", "cpi", "spi", "at_completion", "to_go", "over", "profit"):
            assert found[name] is None, name

    def test_unpriced_rows_are_counted(self):
        """Packages without an amount, and hours without any wage; a row with a fault is counted elsewhere."""
        job = changed(RUNNING, "roles", 1, wage=None)
        taken = MaterialsEntry(product="Topping A", taken=2)
        found = progress(
            job,
            hours_log=(
                HoursEntry(date=DAY, task="Grind", hours_each=1),
                HoursEntry(task="Grind", hours_each=1),
                HoursEntry(task="Grind", hours_each=1, wage=20),
                HoursEntry(task="Grind"),
            ),
            materials_log=(
                taken,
                attrs.evolve(taken, amount=9),
                attrs.evolve(taken, product="Gravel"),
                MaterialsEntry(date=DAY, product="Topping A", opened=2),
            ),
        )

        assert found["unpriced"] == 2 + 1


class TestOnSite:
    @pytest.mark.parametrize(
        ("found", "fault"),
        [
            ({"opened": 3, "returned": 1, "on_site": 1}, 0),
            ({"opened": 3, "returned": 1, "on_site": 2}, 3),
            ({"opened": 3, "on_site": 1}, 3),
            ({"opened": 3, "on_site": 2}, 0),
            ({"opened": 3, "returned": 1}, 0),
            ({"opened": 5, "returned": 1}, 3),
            ({"on_site": 9}, 0),
            ({"opened": 4.9, "returned": 0.1, "on_site": 0}, 0),
        ],
    )
    def test_taken_is_opened_and_returned_and_still_there(self, found, fault):
        """taken = opened + returned + still on site: trade, logs. Without what is on site it may not be more."""
        values = compute(attrs.evolve(RUNNING, materials_log=(MaterialsEntry(date=DAY, product="Topping A", taken=5, **found),)))

        assert values.column("materials_log.fault") == (fault,)

    def test_without_taken_nothing_can_be_told(self):
        entry = MaterialsEntry(date=DAY, product="Topping A", opened=2, on_site=3)

        assert compute(attrs.evolve(RUNNING, materials_log=(entry,))).column("materials_log.fault") == (0,)


class TestShare:
    def test_by_cost_of_the_budget(self):
        """Half of the budget is spent: half is done, CPI is 1 by itself, and the end is as budgeted."""
        found = progress(costs_log=cost(DIRECT / 2))

        assert found["budget"] == pytest.approx(DIRECT, abs=1e-9)
        assert found["share"] == pytest.approx(0.5)
        assert found["cpi"] == pytest.approx(1, abs=1e-5)
        assert found["at_completion"] == pytest.approx(DIRECT, abs=0.02)

    def test_what_runs_over_the_budget_looks_done(self):
        found = progress(costs_log=cost(3000))

        assert found["share"] == 1
        assert found["earned"] == DIRECT
        assert found["at_completion"] == 3000
        assert (found["to_go"], found["over"]) == (0, pytest.approx(3000 - DIRECT))

    def test_with_an_own_estimate_of_what_is_to_come(self):
        """1500 spent, 1500 to come: half done, and 410.94 dearer than budgeted."""
        found = progress(costs_log=cost(1500), progress=HowFar(to_go_own=1500, planned_share=0.6))

        assert found["share"] == 0.5
        assert found["earned"] == 1294.53
        assert found["planned"] == 1553.44
        assert found["cpi"] == pytest.approx(1294.53 / 1500)
        assert found["spi"] == pytest.approx(1294.53 / 1553.44)
        assert (found["at_completion"], found["to_go"]) == (3000, 1500)
        assert found["over"] == pytest.approx(410.94, abs=1e-9)
        assert found["contract"] == NET
        assert found["profit"] == NET - 3000

    def test_nothing_spent_and_nothing_to_come(self):
        found = progress(costs_log=cost(0), progress=HowFar(to_go_own=0))

        assert found["share"] is None
        assert found["at_completion"] == 0

    def test_by_hours(self):
        """A quarter of the hours at twice the budget for them: the end is twice as dear."""
        hours = compute(RUNNING).scalar("work.hours", "accepted")
        entry = HoursEntry(date=DAY, task="Grind", hours_each=hours / 4)
        found = progress(hours_log=(entry,), progress=HowFar(way="hours"))
        spent = found["labour_cost"]
        twice = progress(hours_log=(entry,), costs_log=cost(DIRECT / 2 - spent), progress=HowFar(way="hours"))

        assert found["share"] == twice["share"] == pytest.approx(0.25)
        assert twice["at_completion"] == pytest.approx(2 * DIRECT, abs=0.05)

    def test_by_hours_none_logged_is_none_done(self):
        found = progress(costs_log=cost(100), progress=HowFar(way="hours"))

        assert (found["share"], found["earned"], found["cpi"]) == (0, 0, 0)
        assert found["at_completion"] is None

    def test_by_hours_those_of_change_orders_count(self):
        order = ChangeOrder(name="CO 1", hours=10, price=500, accepted="yes")
        hours = compute(RUNNING).scalar("work.hours", "accepted")
        entry = HoursEntry(date=DAY, task="Grind", hours_each=10, change_order="CO 1")

        assert progress(change_orders=(order,), hours_log=(entry,), progress=HowFar(way="hours"))["share"] == pytest.approx(10 / (hours + 10))

    def test_by_area(self):
        entry = HoursEntry(date=DAY, task="Place", zone="Studio", hours_each=1, area_done=(454.1327412287183 + 33.75) / 4)

        assert progress(hours_log=(entry,), progress=HowFar(way="area"))["share"] == pytest.approx(0.25)
        assert progress(costs_log=cost(5), progress=HowFar(way="area"))["share"] is None

    @pytest.mark.parametrize("way", [None, "guess"])
    def test_no_way(self, way):
        assert progress(costs_log=cost(5), progress=HowFar(way=way))["share"] is None

    @pytest.mark.parametrize("way", ["cost", "hours", "area", None])
    def test_a_finished_job_is_done(self, way):
        """It cost what it cost, whatever was thought to come."""
        job = changed(RUNNING, "job", status="done")
        found = progress(job, costs_log=cost(2000), progress=HowFar(way=way, to_go_own=700))

        assert found["share"] == 1
        assert found["earned"] == DIRECT
        assert (found["at_completion"], found["to_go"]) == (2000, 0)
        assert found["profit"] == NET - 2000


def test_nothing_planned_yet_has_no_schedule_index():
    found = progress(costs_log=cost(5), progress=HowFar(planned_share=0))

    assert found["planned"] == 0
    assert found["spi"] is None


def test_no_price_no_budget_but_the_cost_is_known():
    found = progress(changed(RUNNING, "policy", margin=None), costs_log=cost(5))
    without_direct = progress(changed(RUNNING, "products", 0, price=None), costs_log=cost(5))

    assert (found["contract"], found["profit"]) == (None, None)
    assert found["budget"] == pytest.approx(DIRECT)
    assert without_direct["budget"] is without_direct["share"] is None
    assert without_direct["actual_cost"] == 5
