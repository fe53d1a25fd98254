"""The inputs: what a job takes, and the same job in the other system of units."""

import datetime as dt
import math

import attrs
import pytest
from engine_jobs import changed, one_area, worked_job

from sheetgen.engine.inputs import PLAN_ROWS
from sheetgen.engine.job import Job, compute, convert_job, inputs, names, padded
from sheetgen.engine.lists import CRITERIA, PLACES, STAGES
from sheetgen.engine.records import Area, Costs, HoursEntry, Layer, Line, Linear, Offset, Product, Task, Zone


class TestRecords:
    def test_starter_values(self):
        job = Job()

        assert job.zones == (Zone(name="Zone 1"),)
        assert job.takeoff.waste == 0.10
        assert job.policy.margin == 0.25
        assert job.costs.distance_rate == 0.70
        assert Job(system="metric").costs.distance_rate == 0.45

    def test_whole_numbers_become_floats(self):
        assert isinstance(Area(first=3).first, float)

    @pytest.mark.parametrize("wrong", ["3", True, [3]])
    def test_no_number(self, wrong):
        with pytest.raises(TypeError, match="a number is wanted"):
            Area(first=wrong)

    @pytest.mark.parametrize("wrong", [math.nan, math.inf])
    def test_not_finite(self, wrong):
        with pytest.raises(ValueError, match="finite"):
            Area(first=wrong)

    def test_no_text(self):
        with pytest.raises(TypeError, match="text is wanted"):
            Zone(name=3)

    def test_empty_text_is_blank(self):
        assert Zone(name="").name is Zone(name="  ").name is None
        assert Zone(name=" Hall ").name == " Hall "

    def test_no_date(self):
        with pytest.raises(TypeError):
            HoursEntry(date="2025-03-18")
        assert HoursEntry(date=dt.date(2025, 3, 18)).date == dt.date(2025, 3, 18)

    def test_no_such_system(self):
        with pytest.raises(ValueError, match="must be in"):
            Job(system="imperial")

    @pytest.mark.parametrize(
        ("block", "record"),
        [("areas", Area(second_in=3)), ("offsets", Offset(width_in=3)), ("linear", Linear(length_in=3))],
    )
    def test_no_inches_in_a_metric_job(self, block, record):
        with pytest.raises(ValueError, match="a metric job has no"):
            Job(system="metric", **{block: (record,)})


class TestConversion:
    def test_the_same_system_is_the_same_job(self):
        job = worked_job()

        assert convert_job(job, "us") is job

    def test_feet_and_inches_become_one_length(self):
        job = convert_job(one_area(areas=(Area(first=24, first_in=6, second_in=11),)), "metric")

        assert job.system == "metric"
        assert job.areas[0].first == pytest.approx(24.5 * 0.3048, rel=1e-15)
        assert job.areas[0].second == pytest.approx(11 * 0.0254, rel=1e-15)
        assert job.areas[0].third is None
        assert job.areas[0].first_in is None

    def test_there_and_back(self):
        metric = convert_job(worked_job(), "metric")
        again = convert_job(convert_job(metric, "us"), "metric")

        for block in attrs.fields(Job):
            held, back = getattr(metric, block.name), getattr(again, block.name)
            for one, two in zip(held, back, strict=True) if isinstance(held, tuple) else [(held, back)]:
                if not attrs.has(type(one)):
                    continue
                for field in attrs.fields(type(one)):
                    x, y = getattr(one, field.name), getattr(two, field.name)
                    assert y == (pytest.approx(x, rel=1e-14) if isinstance(x, float) else x)

    @pytest.mark.parametrize(
        ("basis", "factor"),
        [("area", 0.09290304), ("edge", 0.3048), ("volume", 28.316846592), ("steps", 1), ("bags", 1), ("once", 1), (None, 1)],
    )
    def test_a_rate_follows_the_unit_of_its_basis(self, basis, factor):
        job = convert_job(Job(tasks=(Task(name="T", basis=basis, rate=100),)), "metric")

        assert job.tasks[0].rate == pytest.approx(100 * factor, rel=1e-14)

    def test_a_dose_is_opaque_but_what_it_is_per_is_not(self):
        job = convert_job(Job(lines=(Line(basis="edge", dose=2, per=3), Line(basis="bags", dose=2, per=3))), "metric")

        assert [line.dose for line in job.lines] == [2, 2]
        assert [line.per for line in job.lines] == [pytest.approx(3 * 0.3048), 3]

    def test_a_blank_per_is_one_unit_of_the_job_s_own_system(self):
        """One per foot is not one per metre."""
        job = convert_job(Job(lines=(Line(basis="edge", dose=2), Line(basis="zones", dose=2))), "metric")

        assert [line.per for line in job.lines] == [pytest.approx(0.3048), None]

    def test_coverage(self):
        job = convert_job(Job(layers=(Layer(coverage=250), Layer(dose=4, per=100))), "metric")

        assert job.layers[0].coverage == pytest.approx(250 * 0.09290304)
        assert job.layers[1].dose == 4
        assert job.layers[1].per == pytest.approx(100 * 0.09290304)

    def test_package_size_is_opaque(self):
        job = convert_job(Job(products=(Product(name="Primer", size=5, price=3),)), "metric")

        assert job.products[0] == Product(name="Primer", size=5, price=3)

    def test_money_per_distance(self):
        job = convert_job(Job(costs=Costs(distance=36, distance_rate=0.72)), "metric")

        assert job.costs.distance * job.costs.distance_rate == pytest.approx(36 * 0.72)
        assert job.costs.distance == pytest.approx(36 * 1.609344)


class TestPadded:
    def test_blank_rows_change_no_total(self):
        job = worked_job()
        plain, more = compute(job), compute(padded(job, {"areas": 60, "zones": 12, "products": 40, "tasks": 40, "lines": 40}))

        assert len(more.column("areas.area")) == 60
        assert more.column("areas.area")[4:] == (None,) * 56
        for name in ("price.total", "stock.cost", "work.hours"):
            assert more.scalar(name, "accepted") == plain.scalar(name, "accepted")
        assert more.scalar("master.looks") == plain.scalar("master.looks")


class TestNames:
    def test_every_value_has_a_name_and_a_unit(self):
        values, known = compute(worked_job()), names()

        assert set(values) == set(known)
        for name, value in values.items():
            stands = known[name]
            assert (stands.block == "scenario") == isinstance(value, dict), name
            assert values.units[name].expression == stands.unit

    def test_values_run_over_the_records(self):
        job = worked_job()
        values = compute(job)
        fixed = {
            "slab": 2 * len(CRITERIA), "weather": len(PLACES), "stages": len(STAGES), "pour_tasks": len(job.pours) * len(job.tasks), "week_numbers": 12,
            "week_hours": 144, "splits": 92, "crew_sizes": 8, "schedule": 40, "hands": 60, "day_pours": 3, "other_kinds": 8, "scenarios": 14, "price_lines": 12,
        }  # fmt: skip
        for name, stands in names().items():
            cells = values.cells(name, "accepted" if stands.block == "scenario" else None)
            if stands.over is None:
                assert not isinstance(cells, tuple), name
            elif stands.over in fixed:
                assert len(cells) == fixed[stands.over], name
            else:
                assert len(cells) == (len(getattr(job, stands.over)) or PLAN_ROWS.get(stands.over, 0)), name

    def test_every_input_is_there(self):
        known = inputs()

        assert known["systems.yield"].unit == "volume/bag"
        assert known["areas.first_in"].unit == "inch"
        assert known["policy.overhead_way"].kind == "choice"
        assert {name.split(".")[0] for name in known} <= {one.name for one in attrs.fields(Job)}


class TestValues:
    def test_in_the_units_of_the_job(self):
        values = compute(convert_job(one_area(), "metric"))
        here = values.in_job_system()

        assert values.system == "us"
        assert here.system == "metric"
        assert values.scalar("measured.area") == pytest.approx(100, rel=1e-14)
        assert here.scalar("measured.area") == pytest.approx(9.290304, rel=1e-14)
        assert here.column("laid.depth", "accepted")[0] == pytest.approx(3.175, rel=1e-14)

    def test_missing_stays_missing(self):
        here = compute(changed(one_area(), "systems", 0, thickness=None)).in_system("metric")

        assert here.column("zones.depth") == (None,)
        assert here.scalar("price.total", "accepted") is None

    def test_a_basis_is_measured_by_its_row(self):
        job = one_area(
            lines=(
                Line(name="By area", product="Topping", basis="area", dose=1, per=100),
                Line(name="By length", product="Topping", basis="edge", dose=1, per=100),
                Line(name="Once", product="Topping", basis="once", dose=1),
            ),
            linear=(Linear(length=10),),
        )
        here = compute(job).in_system("metric")

        assert here.column("line_needs.quantity", "as_bid") == (
            pytest.approx(9.290304, rel=1e-14),
            pytest.approx(3.048, rel=1e-14),
            1,
        )
        assert here.column("basis.edge", "as_bid") == (pytest.approx(3.048, rel=1e-14),)

    def test_asking_in_the_wrong_shape(self):
        values = compute(one_area())

        with pytest.raises(TypeError, match="for each scenario"):
            values.scalar("price.total")
        with pytest.raises(TypeError, match="for each record"):
            values.scalar("areas.area")
        with pytest.raises(TypeError, match="single value"):
            values.column("measured.area")
