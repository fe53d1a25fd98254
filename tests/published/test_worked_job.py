"""The whole job that is worked by arithmetic, as far as areas, materials, tasks, price and comparison.

Every figure is the page's own, worked by hand; counts and money are exact, the rest is to the digits that
the page shows.
"""

import math
from typing import ClassVar

import pytest
from worked_job import worked_job

from sheetgen.engine.blocks.price import Terms, build_up
from sheetgen.engine.inputs import convert_job
from sheetgen.engine.job import compute
from sheetgen.engine.missing import cents
from sheetgen.engine.price import travel_cost

SIX = 5e-7  # half of the sixth place, the last that the page shows


@pytest.fixture(scope="module", params=["us", "metric"])
def values(request):
    """The job computed in each system of units; what comes back stands in US units either way."""
    return compute(convert_job(worked_job(), request.param))


def named(values, block, name, field, scenario=None):
    """Return a figure of the record with a name."""
    at = values.column(f"{block}.key").index(name)
    return values.column(field, scenario)[at]


class TestTakeoff:
    def test_studio(self, values):
        each = values.column("areas.each")

        assert each[:2] == pytest.approx((441, 12), abs=1e-9)
        assert each[2] == pytest.approx(25.132741, abs=SIX)
        assert named(values, "zones", "Studio", "zones.area") == pytest.approx(454.132741, abs=SIX)
        assert named(values, "zones", "Studio", "zones.area") == pytest.approx(441 - 12 + math.pi / 8 * 64, rel=1e-14)

    def test_steps(self, values):
        assert named(values, "zones", "Front steps", "zones.area") == pytest.approx(33.75, abs=1e-12)
        assert named(values, "zones", "Front steps", "zones.steps") == 5

    def test_edge(self, values):
        assert named(values, "zones", "Studio", "zones.edge") == pytest.approx(85, abs=1e-12)

    def test_nothing_to_look_at(self, values):
        """But the slab, which nobody surveyed."""
        assert values.scalar("master.looks") == values.scalar("master.survey_looks") == 1
        assert [values.scalar(f"steps.{step}") for step in ("job_name", "zone", "system", "area", "price")] == [0] * 5


class TestTopping:
    def test_studio(self, values):
        assert values.column("topping.mixed", "accepted")[0] == pytest.approx(5.747618, abs=SIX)
        assert values.column("topping.bags_raw", "accepted")[0] == pytest.approx(12.772483, abs=SIX)
        assert values.column("topping.bags", "accepted")[0] == 13  # by volume; whole batches may take more

    def test_steps(self, values):
        assert values.column("topping.mixed", "accepted")[1] == pytest.approx(0.3796875, abs=1e-12)
        assert values.column("topping.bags_raw", "accepted")[1] == pytest.approx(0.904018, abs=SIX)
        assert values.column("topping.bags", "accepted")[1] == 1


@pytest.mark.parametrize(
    ("product", "need", "packages", "cost", "to_buy"),
    [
        # The toppings by volume: 13 and 1 bags, where the page's whole batches make 14 and 2.
        ("Topping A", 13, 13, 500.50, 13),
        ("Topping B", 1, 1, 41.00, 1),
        ("Primer", 4.409679, 5, 148.75, 4),
        ("Colour", 19.981841, 2, 44.80, 2),
        ("Sealer", 3.320679, 4, 184.00, 4),
        ("Tape", 93.5, 1, 7.25, 1),
        ("Diamonds", 0.302755, 1, 96.00, 1),
    ],
)
def test_products(values, product, need, packages, cost, to_buy):
    assert named(values, "products", product, "needs.need", "accepted") == pytest.approx(need, abs=SIX)
    assert named(values, "products", product, "needs.packages", "accepted") == packages
    assert named(values, "products", product, "needs.cost", "accepted") == cost
    assert named(values, "products", product, "products.to_buy") == to_buy


def test_materials_with_whole_batches(values):
    """The page's 1101.80 has a bag more of each topping than goes by volume."""
    assert values.scalar("stock.cost", "accepted") + 38.50 + 41.00 == pytest.approx(1101.80, abs=1e-9)


@pytest.mark.parametrize(("role", "loaded"), [("Finisher", 41.044), ("Helper", 31.408)])
def test_loaded_wages(values, role, loaded):
    assert named(values, "roles", role, "roles.loaded") == pytest.approx(loaded, abs=1e-12)


@pytest.mark.parametrize(
    ("task", "hours", "cost"),
    [
        ("Mask", 2.108333, 66.22),
        ("Grind", 5.761321, 180.95),
        ("Prime, first coat", 1.459717, 45.85),
        ("Prime, second coat", 0.999092, 31.38),
        ("Place", 1.245765, 51.13),
        ("First trowel", 1.522602, 62.49),
        ("Second trowel", 0.999092, 41.01),
        ("Seal, first coat", 1.755896, 55.15),
        ("Seal, second coat", 1.248865, 39.22),
    ],
)
def test_tasks(values, task, hours, cost):
    assert named(values, "tasks", task, "labour.hours", "accepted") == pytest.approx(hours, abs=SIX)
    assert named(values, "tasks", task, "labour.cost", "accepted") == cost


def test_task_hours_without_mixing_and_cleaning_up(values):
    """The page's 23.075684 h less 2.475 h of mixing and 3.5 h of cleaning up."""
    assert values.scalar("work.hours", "accepted") == pytest.approx(23.075684 - 2.475 - 3.5, abs=2 * SIX)


class TestPrice:
    """The build-up from the page's own direct lines: waiting, idle time and whole batches are among them."""

    lines: ClassVar = {
        "materials": 1101.80,
        "materials_tax": cents(1101.80 * 0.065),
        "freight": 45.00,
        "labour": 1097.88,
        "equipment": 95.00,
        "travel": travel_cost(3, 1, 36, 0.72),
        "disposal": 40.00,
        "sample_panel": 60.00,
    }

    def test_lines(self):
        assert self.lines["materials_tax"] == 71.62
        assert self.lines["travel"] == 77.76

    def test_build_up(self):
        terms = Terms(overhead=0.18, contingency=0.05, price_way="margin", margin=0.22, minimum=1500, round_to=5)
        price = build_up(self.lines, terms, hours_h=33, area_ft2=454.132741 + 33.75)

        assert cents(price.direct) == 2589.06
        assert price.overhead == 466.03
        assert price.contingency == 152.75
        assert cents(price.cost) == 3207.84
        assert price.asked == price.at_least == 4112.62
        assert price.net == price.total == 4115.00
        assert price.per_area == pytest.approx(8.4344, abs=5e-5)
        assert price.margin_had == pytest.approx(0.22045, abs=5e-6)

    def test_through_compute(self, values):
        """The same steps from what the job comes to without waiting, idle time and whole batches."""
        line = {name: values.scalar(f"price.{name}", "accepted") for name in ("direct", "overhead", "contingency", "cost")}

        assert values.scalar("price.travel", "accepted") == 77.76
        assert values.scalar("price.equipment", "accepted") == 95.00
        assert line["overhead"] == cents(line["direct"] * 0.18)
        assert line["contingency"] == cents((line["direct"] + line["overhead"]) * 0.05)
        assert values.scalar("price.asked", "accepted") == cents(line["cost"] / 0.78)
        assert values.scalar("price.net", "accepted") % 5 == 0
        assert 0 <= values.scalar("price.net", "accepted") - values.scalar("price.asked", "accepted") < 5


class TestAfterwards:
    def test_bags(self, values):
        assert named(values, "products", "Topping A", "products.used") == 13.5
        assert named(values, "products", "Topping A", "products.bought") == 14
        assert named(values, "products", "Topping A", "products.needed_done") == pytest.approx(12.772483, abs=SIX)

    def test_thickness(self, values):
        assert named(values, "systems", "System A", "systems.laid") == pytest.approx(0.133010, abs=SIX)
        assert named(values, "systems", "System A", "systems.depth_planned") == pytest.approx(0.125, abs=1e-12)
        assert named(values, "systems", "System A", "systems.depth_used") == pytest.approx(0.160526, abs=SIX)
        assert named(values, "systems", "System A", "systems.depth_used_planned") == pytest.approx(0.151875, abs=1e-12)

    def test_variances_of_the_topping(self, values):
        assert named(values, "products", "Topping A", "products.price_variance") == 7.00
        assert named(values, "products", "Topping A", "products.quantity_variance") == 28.01

    def test_grinding(self, values):
        assert named(values, "tasks", "Grind", "tasks.actual") == 6.5
        assert named(values, "tasks", "Grind", "tasks.variance") == pytest.approx(0.738679, abs=SIX)
        assert named(values, "tasks", "Grind", "tasks.efficiency") == 23.20
        assert named(values, "tasks", "Grind", "tasks.rate_variance") == 7.83
