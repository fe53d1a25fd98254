"""Checks, the steps to a price, and the master check."""

import pytest
from engine_jobs import accepted, changed, looks_but_slab, one_area, with_more, worked_job

from sheetgen.engine.job import Job, compute, convert_job
from sheetgen.engine.records import (
    Area,
    Bill,
    ChangeOrder,
    CostEntry,
    Heading,
    HoursEntry,
    Joint,
    Layer,
    Level,
    Line,
    MaterialsEntry,
    Offset,
    Product,
    Reading,
    Role,
    Task,
    ToppingSystem,
    Weather,
    Zone,
)


def steps(job):
    values = compute(job)
    return {name: values.scalar(f"steps.{name}") for name in ("job_name", "zone", "system", "area", "price")}


class TestSteps:
    def test_all_done(self):
        """A job name, a system and one area give a price: design."""
        assert set(steps(one_area()).values()) == {0}

    def test_empty_book(self):
        found = steps(Job())

        assert found["job_name"] == found["area"] == 1
        assert found["zone"] == 0  # "Zone 1" is there from the start

    @pytest.mark.parametrize("name", [None, "  "])
    def test_no_name(self, name):
        assert steps(one_area(job=Heading(name=name)))["job_name"] == 1

    def test_no_zone(self):
        found = steps(one_area(zones=()))

        assert found["zone"] == found["system"] == 1

    def test_no_system(self):
        assert steps(changed(one_area(), "zones", 0, system="B"))["system"] == 1

    def test_no_area(self):
        found = steps(one_area(areas=(Area(label="to be measured"),)))

        assert found["area"] == found["price"] == 1

    def test_one_area_of_two_is_a_step(self):
        found = steps(with_more(one_area(), "areas", Area(first=3)))

        assert (found["area"], found["price"]) == (0, 1)


@pytest.mark.parametrize(
    ("check", "block", "record"),
    [
        ("zones", "zones", Zone(name="Empty")),
        ("rows", "areas", Area(first=3)),
        ("offsets", "offsets", Offset(width=3)),
        ("systems", "systems", ToppingSystem(name="C")),
        ("layers", "layers", Layer(coats=1)),
        ("products", "products", Product(price=3)),
        ("lines", "lines", Line(name="x")),
        ("tasks", "tasks", Task(name="x")),
        ("roles", "roles", Role(name="finisher", wage=3)),
        ("survey_rows", "readings", Reading(value=3)),
        ("survey_rows", "joints", Joint(label="x")),
        ("survey_rows", "levels", Level(label="x")),
        ("weather", "weather", Weather(air=500)),
        ("weather", "weather", Weather(air=95, humidity=70)),
        ("slab", "zones", Zone(name="New")),
        ("log", "hours_log", HoursEntry(hours_each=1)),
        ("log", "materials_log", MaterialsEntry(amount=1)),
        ("log", "costs_log", CostEntry(amount=1)),
        ("log", "change_orders", ChangeOrder(name="CO 1")),
        ("log", "bills", Bill(kind="bill")),
        ("log_dates", "hours_log", HoursEntry(task="Grind", hours_each=1)),
        ("log_dates", "materials_log", MaterialsEntry(product="Tape", amount=1)),
        ("log_dates", "costs_log", CostEntry(kind="other", amount=1)),
        ("log_dates", "bills", Bill(kind="bill", amount=1)),
    ],
)
def test_each_check_looks(check, block, record):
    """Break one thing on purpose: its own check looks, and the master check counts it."""
    job = accepted(worked_job())
    sound, broken = compute(job), compute(with_more(job, block, record))

    assert sound.scalar(f"checks.{check}") == 0
    assert broken.scalar(f"checks.{check}") >= 1
    assert broken.scalar("master.looks") >= sound.scalar("master.looks") + 1
    assert sound.scalar("master.looks") == 0


def test_a_doubtful_data_sheet_is_looked_at_where_it_is_used():
    job = accepted(with_more(worked_job(), "systems", ToppingSystem(name="C", water_least=6, water_most=5)))
    used = changed(job, "zones", 0, system="C")

    assert compute(job).scalar("checks.data_sheets") == 0
    assert compute(used).scalar("checks.data_sheets") == 1
    assert compute(used).scalar("master.systems_looks") == 2  # and C has no product yet


def test_the_build_up_adds_up():
    assert compute(worked_job()).scalar("checks.build_up") == pytest.approx(0, abs=1e-9)


def test_a_check_without_a_value_is_not_counted():
    """No price: the build-up cannot be checked; what is wrong shows in the check of its cause."""
    values = compute(changed(worked_job(), "policy", margin=None))

    assert values.scalar("checks.price_floor") is None
    assert looks_but_slab(values) == 0
    assert values.scalar("steps.price") == 1


def test_the_same_job_looks_the_same_in_both_systems():
    job = with_more(with_more(worked_job(), "areas", Area(first=3)), "offsets", Offset(width=3))
    us, metric = compute(job), compute(convert_job(job, "metric"))

    # The zones, the row and the offset, and the pours of such zones.
    assert looks_but_slab(us) == looks_but_slab(metric) == 4
