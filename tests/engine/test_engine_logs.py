"""Log and comparison: what was written down against what was planned, and each fault of a row."""

import datetime as dt

import attrs
import pytest
from engine_jobs import changed, looks_but_slab, one_area, with_more, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import HoursEntry, MaterialsEntry, Product, ToppingSystem, Zone

DAY = dt.date(2025, 3, 18)
BID = worked_job(afterwards=False)
DONE = worked_job()


def hours(*entries, job=BID):
    return compute(attrs.evolve(job, hours_log=entries))


def materials(*entries, job=BID):
    return compute(attrs.evolve(job, materials_log=entries))


class TestHours:
    @pytest.mark.parametrize(
        ("entry", "expected"),
        [
            ({"task": None, "hours_each": 1}, 1),
            ({"task": "Nap", "hours_each": 1}, 1),
            ({"task": "Grind"}, 2),
            ({"task": "Grind", "hours_each": -1}, 2),
            ({"task": "Grind", "hours_each": 1, "zone": "Nowhere"}, 3),
            ({"task": "Grind", "hours_each": 1, "area_done": 5, "zone": "Studio"}, 4),
            ({"task": "Place", "hours_each": 1, "area_done": 5}, 5),
            ({"task": "Place", "hours_each": 1, "area_done": 5, "zone": "Studio"}, 0),
            ({"task": "Grind", "hours_each": 1, "area_done": 0}, 0),
            ({"task": "grind ", "hours_each": 0}, 0),
            ({"task": "Grind", "hours_each": 1, "zone": "  ", "role": " ", "change_order": " "}, 0),
            ({"task": "Grind", "hours_each": 1, "role": "Nobody"}, 7),
            ({"task": "Grind", "hours_each": 1, "change_order": "CO 9"}, 8),
            ({"task": "Nap", "hours_each": 1, "role": "Nobody"}, 1),
        ],
    )
    def test_fault(self, entry, expected):
        values = hours(HoursEntry(date=DAY, **entry))

        assert values.column("hours_log.fault") == (expected,)
        assert values.scalar("checks.log") == (1 if expected else 0)
        assert (values.column("hours_log.hours") == (None,)) == (expected > 0)

    def test_no_date_counts_but_is_looked_at(self):
        values = hours(HoursEntry(task="Grind", hours_each=2, people=3))

        assert values.column("hours_log.fault") == (6,)
        assert values.column("hours_log.hours") == (6,)
        assert (values.scalar("checks.log"), values.scalar("checks.log_dates")) == (0, 1)
        assert looks_but_slab(values) == 1

    def test_the_only_zone_need_not_be_named(self):
        job = attrs.evolve(one_area(), tasks=BID.tasks, roles=BID.roles)
        values = hours(HoursEntry(date=DAY, task="Place", hours_each=1, area_done=50), job=job)

        assert values.column("hours_log.zone_no") == (1,)
        assert values.scalar("compare.area_done") == 50
        assert values.scalar("compare.done_share") == 0.5

    def test_of_several_zones_none_is_meant(self):
        assert hours(HoursEntry(date=DAY, task="Grind", hours_each=1)).column("hours_log.zone_no") == (None,)

    def test_only_a_note_does_not_begin_a_row(self):
        values = hours(HoursEntry(note="rain", person="Ann", zone="Studio"))

        assert values.column("hours_log.started") == (None,)
        assert values.column("hours_log.fault") == (None,)

    def test_rework_covers_no_area_but_takes_hours(self):
        place = HoursEntry(date=DAY, task="Place", zone="Studio", hours_each=1, area_done=100)
        values = hours(place, attrs.evolve(place, rework="yes"))

        assert values.column("systems.area_done") == (100, 0)
        assert values.column("tasks.actual")[5] == 2

    def test_a_row_with_a_fault_leaves_no_actual_hours(self):
        good = HoursEntry(date=DAY, task="Grind", hours_each=1)
        values = hours(good, HoursEntry(date=DAY, task="Grind"))

        assert values.column("tasks.logged")[1] == 2
        assert values.column("tasks.actual")[1] is None
        assert values.scalar("compare.hours_actual") == 1


class TestTasks:
    def test_not_logged_is_not_zero(self):
        values = compute(BID)

        for name in ("actual", "variance", "efficiency", "rate_variance"):
            assert set(values.column(f"tasks.{name}")) == {None}
        assert set(values.column("tasks.logged")) == {0}

    def test_variance_against_the_work_done(self):
        """Half of the area done: half of the estimated hours are allowed."""
        entries = (
            HoursEntry(date=DAY, task="Grind", hours_each=3),
            HoursEntry(date=DAY, task="Place", zone="Studio", hours_each=1, area_done=(454.1327412287183 + 33.75) / 2),
        )
        values = hours(*entries)
        estimated = values.column("labour.hours", "accepted")[1]

        assert values.scalar("compare.done_share") == pytest.approx(0.5, rel=1e-14)
        assert values.column("tasks.variance")[1] == pytest.approx(3 - estimated, rel=1e-14)
        assert values.column("tasks.efficiency")[1] == pytest.approx((3 - estimated / 2) * 31.408, abs=0.005)

    def test_no_area_and_not_finished_there_is_no_efficiency(self):
        values = hours(HoursEntry(date=DAY, task="Grind", hours_each=3))

        assert values.scalar("compare.done_share") is None
        assert values.column("tasks.efficiency")[1] is None
        assert values.column("tasks.actual")[1] == 3

    def test_rate_variance_only_where_wages_were_logged(self):
        entry = HoursEntry(date=DAY, task="Grind", hours_each=2)
        values = hours(entry, attrs.evolve(entry, wage=26), attrs.evolve(entry, wage=23))

        assert values.column("tasks.paid_known")[1] == 2
        assert values.column("tasks.rate_variance")[1] == 2.41  # 2 h · (2 - 1) · 1.2045


class TestMaterials:
    @pytest.mark.parametrize(
        ("entry", "used", "bought"),
        [
            ({"taken": 16, "opened": 14, "part_left": 0.5, "returned": 2}, 13.5, 14),
            ({"taken": 5, "returned": 2}, 3, 3),
            ({"taken": 5}, 5, 5),
            ({"opened": 3}, 3, 0),
            ({"opened": 3, "part_left": 0.25}, 2.75, 0),
            ({"amount": 12.5}, 0, 0),
        ],
    )
    def test_used_and_bought(self, entry, used, bought):
        values = materials(MaterialsEntry(date=DAY, product="topping a", **entry))

        assert values.column("materials_log.fault") == (0,)
        assert values.column("materials_log.used") == (used,)
        assert values.column("materials_log.bought") == (bought,)
        assert values.column("products.used")[0] == used

    @pytest.mark.parametrize(
        ("entry", "expected"),
        [
            ({"product": None, "taken": 1}, 1),
            ({"product": "Gravel", "taken": 1}, 1),
            ({"opened": 1, "part_left": 1.5}, 2),
            ({"taken": 1, "returned": 2}, 2),
            ({"taken": 5, "opened": 4, "returned": 2}, 3),
            ({"taken": 5, "opened": 6}, 3),
            ({"taken": 5, "opened": 3, "returned": 2}, 0),
            ({"taken": 0.3, "opened": 0.1, "returned": 0.2}, 0),
        ],
    )
    def test_fault(self, entry, expected):
        values = materials(MaterialsEntry(**{"date": DAY, "product": "Topping A", **entry}))

        assert values.column("materials_log.fault") == (expected,)
        assert (values.column("materials_log.used") == (None,)) == (expected > 0)
        assert values.scalar("checks.log") == (1 if expected else 0)

    def test_no_date(self):
        values = materials(MaterialsEntry(product="Topping A", taken=2))

        assert values.column("materials_log.fault") == (6,)
        assert values.column("products.bought")[0] == 2

    def test_an_amount_that_is_missing(self):
        """Paid is not known while a row that took packages has no amount."""
        entry = MaterialsEntry(date=DAY, product="Topping A", taken=2, amount=77)
        paid = materials(entry, attrs.evolve(entry, amount=80))
        unpaid = materials(entry, attrs.evolve(entry, amount=None))
        only_opened = materials(entry, MaterialsEntry(date=DAY, product="Topping A", opened=2))

        assert paid.column("products.paid")[0] == 157
        assert paid.column("products.price_variance")[0] == 3
        assert unpaid.column("products.paid")[0] is None
        assert unpaid.column("products.price_variance")[0] is None
        assert only_opened.column("products.paid")[0] == 77

    def test_not_logged_is_not_zero(self):
        values = compute(BID)

        for name in ("bought", "used", "variance", "paid", "price_variance", "quantity_variance"):
            assert set(values.column(f"products.{name}")) == {None}


class TestComparison:
    def test_whole(self):
        values = compute(DONE)

        assert values.scalar("compare.finished") == 1
        assert values.scalar("compare.hours_actual") == 8
        assert values.scalar("compare.hours_variance") == pytest.approx(8 - values.scalar("work.hours", "accepted"))
        assert values.scalar("compare.materials_variance") == pytest.approx(35.01, abs=1e-9)
        assert values.scalar("compare.bags_used") == 13.5
        assert values.scalar("compare.bags_needed") == pytest.approx(12.772483 + 0.904018, abs=1e-6)

    @pytest.mark.parametrize("status", ["bid", "running", None])
    def test_a_job_that_is_not_finished_has_no_total_variance(self, status):
        values = compute(changed(DONE, "job", status=status))

        assert values.scalar("compare.finished") == 0
        for name in ("hours_variance", "labour_variance", "materials_variance"):
            assert values.scalar(f"compare.{name}") is None
        assert values.scalar("compare.hours_actual") == 8

    def test_finished_without_an_area_is_all_done(self):
        entries = tuple(attrs.evolve(entry, area_done=None) for entry in DONE.hours_log)
        values = compute(attrs.evolve(DONE, hours_log=entries))

        assert values.scalar("compare.area_done") is None
        assert values.scalar("compare.done_share") == 1

    def test_more_than_all_is_all(self):
        values = hours(HoursEntry(date=DAY, task="Place", zone="Studio", hours_each=1, area_done=9999))

        assert values.scalar("compare.done_share") == 1

    def test_thickness_is_weighted_by_area(self):
        systems = (ToppingSystem(name="A", product="Topping", yield_=0.45, thickness=0.125, coats=2),)
        zones = (Zone(name="One", fill=0.1), Zone(name="Two", thickness=0.25, fill=0.3))
        job = one_area(systems=systems, zones=zones)
        job = changed(job, "areas", 0, zone="One")
        values = compute(with_more(job, "areas", attrs.evolve(job.areas[0], zone="Two", first=30)))

        assert values.column("systems.depth_planned") == (pytest.approx((0.125 + 3 * 0.25) / 4),)
        assert values.column("systems.depth_used_planned") == (pytest.approx((2 * (0.125 + 3 * 0.25) / 4 + (0.1 + 3 * 0.3) / 4) * 1.1),)
        assert values.column("systems.laid") == (None,)

    def test_bags_of_a_product_that_two_systems_lay_cannot_be_told_apart(self):
        job = changed(DONE, "systems", 1, product="Topping A")

        assert compute(job).column("systems.used_bags") == (None, None)

    def test_bags_of_a_product_that_another_system_only_names(self):
        spare = ToppingSystem(name="Spare", product="Topping A", yield_=0.4, thickness=0.1)

        assert compute(with_more(DONE, "systems", spare)).column("systems.used_bags")[0] == 13.5

    def test_bags_and_packages(self):
        """A package of two bags: 13.5 packages are 27 bags."""
        job = changed(DONE, "products", 0, size=2)

        assert compute(job).column("systems.used_bags")[0] == 27
        assert compute(job).scalar("compare.bags_used") == 27


def test_a_product_of_no_size_has_no_need_in_packages():
    job = with_more(BID, "products", Product(name="Spare"))

    assert compute(job).column("products.needed_done")[-1] is None
