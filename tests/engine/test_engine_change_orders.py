"""Change orders: their faults, what they cost, what they add to the bid, and what was logged for them."""

import datetime as dt

import attrs
import pytest
from engine_jobs import changed, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import ChangeOrder, CostEntry, HoursEntry, MaterialsEntry

DAY = dt.date(2025, 3, 18)
BID = worked_job(afterwards=False)
STEP = ChangeOrder(name="CO 1", what="one more step", hours=4, materials=60, other=15, price=520, days=1, accepted="yes")


def with_orders(*orders, job=BID, **logs):
    return compute(attrs.evolve(job, change_orders=orders, **logs))


class TestOrders:
    @pytest.mark.parametrize(
        ("order", "fault"),
        [
            ({"price": 5}, 1),
            ({"name": "  ", "price": 5}, 1),
            ({"name": "CO 1"}, 3),
            ({"accepted": "no"}, 1),
            ({"name": "CO 1", "price": 0}, 0),
            ({"name": "CO 1", "price": -80, "accepted": "yes"}, 0),
        ],
    )
    def test_fault(self, order, fault):
        values = with_orders(ChangeOrder(**order))

        assert values.column("change_orders.fault") == (fault,)
        assert values.scalar("checks.log") == (1 if fault else 0)
        assert (values.column("change_orders.cost") == (None,)) == (fault > 0)
        assert values.column("change_orders.counted") == (1 if not fault and order.get("accepted") == "yes" else 0,)

    def test_two_of_one_name(self):
        """Both are looked at, and neither counts."""
        values = with_orders(STEP, attrs.evolve(STEP, name=" co  1"))

        assert values.column("change_orders.fault") == (2, 2)
        assert values.scalar("orders.count") == 0

    def test_blank_row(self):
        values = with_orders(ChangeOrder())

        for name in ("started", "key", "twin", "fault", "faulty", "cost", "counted", "actual_hours", "actual_cost", "variance"):
            assert values.column(f"change_orders.{name}") == (None,)

    def test_cost(self):
        """4 h at the mean wage of the tasks, to the cent, and 60 and 15."""
        values = with_orders(STEP)
        wage = values.scalar("work.mean_wage", "accepted")

        assert values.column("change_orders.cost") == (pytest.approx(4 * wage + 75, abs=0.005),)

    def test_only_hours_need_a_wage(self):
        """A job without tasks has no mean wage; what takes no hours has a cost all the same."""
        bare = attrs.evolve(BID, tasks=())
        values = with_orders(STEP, attrs.evolve(STEP, name="CO 2", hours=0), attrs.evolve(STEP, name="CO 3", hours=None), job=bare)

        assert values.column("change_orders.cost") == (None, 75, 75)
        assert values.scalar("orders.cost") is None
        assert values.scalar("orders.price") == 3 * 520
        assert values.scalar("progress.budget") is None

    def test_only_accepted_ones_add_up(self):
        orders = (STEP, attrs.evolve(STEP, name="CO 2", accepted=None), attrs.evolve(STEP, name="CO 3", accepted="no"))
        values = with_orders(*orders, attrs.evolve(STEP, name="CO 4", hours=None, price=-20, days=None))

        assert values.scalar("orders.count") == 2
        assert values.scalar("orders.hours") == 4
        assert values.scalar("orders.price") == 500
        assert values.scalar("orders.days") == 1
        assert values.scalar("orders.cost") == pytest.approx(values.column("change_orders.cost")[0] + 75)

    def test_none_is_zero(self):
        values = compute(BID)

        assert [values.scalar(f"orders.{name}") for name in ("hours", "cost", "price", "days", "count")] == [0] * 5

    def test_the_bid_stays_as_it_was(self):
        """The price of the bid is unchanged; contract and budget grow."""
        before, after = compute(BID), with_orders(STEP)

        assert after.scalar("price.total", "accepted") == before.scalar("price.total", "accepted")
        assert after.scalar("progress.contract") == before.scalar("progress.contract") + 520
        assert after.scalar("progress.budget") == pytest.approx(before.scalar("progress.budget") + after.scalar("orders.cost"))
        assert after.scalar("compare.hours_estimated") == pytest.approx(before.scalar("compare.hours_estimated") + 4)


class TestLogged:
    HOURS = HoursEntry(date=DAY, task="Grind", hours_each=3, change_order="co 1 ")
    MATERIALS = MaterialsEntry(date=DAY, product="Topping A", taken=2, amount=80, tax=5.2, change_order="CO 1")
    COST = CostEntry(date=DAY, kind="permits", amount=30, change_order="CO 1")

    def test_all_three_logs(self):
        """3 h of a helper at 31.408, 85.20 and 30."""
        values = with_orders(STEP, hours_log=(self.HOURS,), materials_log=(self.MATERIALS,), costs_log=(self.COST,))

        assert values.column("change_orders.actual_hours") == (3,)
        assert values.column("change_orders.actual_cost") == (pytest.approx(94.22 + 85.20 + 30, abs=1e-9),)
        assert values.column("change_orders.variance") == (pytest.approx(209.42 - values.column("change_orders.cost")[0], abs=1e-9),)

    def test_they_are_left_out_of_tasks_and_products(self):
        """Even one with a fault: it is no row of the bid's."""
        own = HoursEntry(date=DAY, task="Grind", hours_each=5)
        bought = MaterialsEntry(date=DAY, product="Topping A", taken=4, amount=160)
        wrong = attrs.evolve(self.HOURS, hours_each=None)
        values = with_orders(
            STEP,
            hours_log=(own, self.HOURS, attrs.evolve(self.HOURS, wage=40), wrong),
            materials_log=(bought, self.MATERIALS, attrs.evolve(self.MATERIALS, amount=None), attrs.evolve(self.MATERIALS, returned=3)),
        )

        assert values.column("tasks.logged")[1] == 1
        assert values.column("tasks.actual")[1] == 5
        assert values.column("tasks.paid_known")[1] == 0
        assert values.column("tasks.rate_variance")[1] is None
        assert values.scalar("compare.hours_actual") == 5 + 3 + 3
        assert values.column("products.logged")[0] == 1
        assert values.column("products.bought")[0] == values.column("products.used")[0] == 4
        assert values.column("products.paid")[0] == 160

    def test_area_done_for_a_change_order_is_not_the_bid_s(self):
        place = HoursEntry(date=DAY, task="Place", zone="Studio", hours_each=1, area_done=100)
        values = with_orders(STEP, hours_log=(place, attrs.evolve(place, change_order="CO 1")))

        assert values.column("systems.area_done") == (100, 0)

    def test_nothing_logged_is_not_known(self):
        values = with_orders(STEP)

        for name in ("actual_hours", "actual_cost", "variance"):
            assert values.column(f"change_orders.{name}") == (None,)

    def test_cost_as_far_as_it_is_known_but_hours_in_full(self):
        unpriced = attrs.evolve(self.MATERIALS, amount=None)
        values = with_orders(STEP, hours_log=(self.HOURS, attrs.evolve(self.HOURS, hours_each=None)), materials_log=(unpriced,))

        assert values.column("change_orders.actual_hours") == (None,)
        assert values.column("change_orders.actual_cost") == (94.22,)

    def test_one_that_is_not_accepted_has_no_variance(self):
        values = with_orders(attrs.evolve(STEP, accepted=None), costs_log=(self.COST,))

        assert values.column("change_orders.actual_cost") == (30,)
        assert values.column("change_orders.variance") == (None,)


class TestNoSuchOrder:
    def test_hours(self):
        values = with_orders(STEP, hours_log=(HoursEntry(task="Grind", hours_each=3, change_order="CO 9"),))

        assert values.column("hours_log.fault") == (8,)
        assert values.column("hours_log.order_no") == (None,)
        assert values.scalar("checks.log") == 1

    def test_materials(self):
        values = with_orders(STEP, materials_log=(MaterialsEntry(product="Topping A", taken=3, change_order="CO 9"),))

        assert values.column("materials_log.fault") == (8,)
        assert values.column("materials_log.used") == (None,)
        assert values.scalar("checks.log") == 1

    def test_what_is_wrong_before_it_is_named_first(self):
        hours = HoursEntry(task="Grind", hours_each=1, role="Nobody", change_order="CO 9")
        materials = MaterialsEntry(product="Topping A", taken=1, opened=2, change_order="CO 9")
        values = with_orders(STEP, hours_log=(hours, attrs.evolve(hours, hours_each=None)), materials_log=(materials,))

        assert values.column("hours_log.fault") == (7, 2)
        assert values.column("materials_log.fault") == (3,)


def test_an_order_that_is_taken_back_leaves_the_rows_that_name_it_astray():
    job = attrs.evolve(BID, change_orders=(STEP,), hours_log=(TestLogged.HOURS,))

    assert compute(job).column("hours_log.fault") == (0,)
    assert compute(changed(job, "change_orders", 0, name="CO 2")).column("hours_log.fault") == (8,)
