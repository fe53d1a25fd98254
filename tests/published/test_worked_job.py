"""The whole job that is worked by arithmetic, through the engine.

Every figure is the page's own, worked by hand; counts and money are exact, the rest is to the digits that
the page shows.
"""

import math

import attrs
import pytest
from worked_job import worked_job

from sheetgen.engine.inputs import convert_job
from sheetgen.engine.job import compute

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
        """13 bags by volume, 7 batches of 2 by whole batches: the larger counts."""
        assert values.column("topping.mixed", "accepted")[0] == pytest.approx(5.747618, abs=SIX)
        assert values.column("topping.bags_raw", "accepted")[0] == pytest.approx(12.772483, abs=SIX)
        assert values.column("topping.by_volume", "accepted")[0] == 13
        assert values.column("topping.batch_bags", "accepted")[0] == 14
        assert values.column("topping.bags", "accepted")[0] == 14

    def test_steps(self, values):
        assert values.column("topping.mixed", "accepted")[1] == pytest.approx(0.3796875, abs=1e-12)
        assert values.column("topping.bags_raw", "accepted")[1] == pytest.approx(0.904018, abs=SIX)
        assert values.column("topping.by_volume", "accepted")[1] == 1
        assert values.column("topping.bags", "accepted")[1] == 2


@pytest.mark.parametrize(
    ("product", "need", "packages", "cost", "to_buy"),
    [
        ("Topping A", 14, 14, 539.00, 14),
        ("Topping B", 2, 2, 82.00, 2),
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


def test_materials(values):
    assert values.scalar("stock.cost", "accepted") == pytest.approx(1101.80, abs=1e-9)


class TestPours:
    def test_studio(self, values):
        """Batch area 76.8, 7 batches, a ribbon 25.6 ft long, 6 to a strip, 1 strip; the trowel's cycle of 10 min."""
        figures = {"batch_area": 76.8, "batches": 7, "bags_all": 14, "ribbon": 25.6, "ribbons": 6, "strips": 1, "cycle": 10}

        for name, figure in figures.items():
            assert values.column(f"pours.{name}")[0] == pytest.approx(figure, abs=SIX), name

    @pytest.mark.parametrize(("row", "coat"), [(1, 1), (2, 2)])
    def test_steps(self, values, row, coat):
        """80.64 ft² a batch, one batch to a coat: mix 0–4, place 4–10, first trowel 10–15."""
        first = int(values.column("pours.first_row")[row]) - 1
        opening = values.column("pours.opening")[row]
        parts = ("mix_start", "mix_end", "place_start", "place_end", "trowel_start", "trowel_end", "second_start")

        assert values.column("pours.coat_no")[row] == coat
        assert values.column("pours.batch_area")[row] == pytest.approx(80.64, abs=SIX)
        assert values.column("pours.batches")[row] == 1
        times = [values.column(f"batches.{part}")[first] for part in parts]
        assert [time and time - opening for time in times] == [0, 4, 4, 10, 10, 15, None]

    @pytest.mark.parametrize(
        ("batch", "times"),
        [
            (1, (0, 5, 5, 13, 13, 23, 83, 92)),
            (2, (10, 15, 15, 23, 23, 33, 93, 102)),
            (7, (60, 65, 65, 73, 73, 83, 143, 152)),
        ],
    )
    def test_batches(self, values, batch, times):
        opening = values.column("pours.opening")[0]
        bounds = [f"{part}_{edge}" for part in ("mix", "place", "trowel", "second") for edge in ("start", "end")]

        assert tuple(values.column(f"batches.{bound}")[batch - 1] - opening for bound in bounds) == times

    def test_checks(self, values):
        """Wet edge 2 min ≤ 10; one strip; at most 1 trowel hand."""
        assert values.column("pours.first_edge")[0] == 0
        assert values.column("pours.first_ends")[0] == 0
        assert values.column("pours.peak")[0] == 1
        assert values.column("pours.short")[0] == 0
        assert values.column("pours.widest_bay")[0] == pytest.approx(3, abs=SIX)

    @pytest.mark.parametrize(
        ("row", "presence", "tasks", "waiting", "cost"),
        [(0, 4.966667, 3.326479, 1.640188, 62.05), (1, 0.583333, 0.424242, 0.159091, 6.02), (2, 0.583333, 0.424242, 0.159091, 6.02)],
    )
    def test_waiting(self, values, row, presence, tasks, waiting, cost):
        assert values.column("pours.presence")[row] == pytest.approx(presence, abs=SIX)
        assert values.column("pours.task_hours")[row] == pytest.approx(tasks, abs=SIX)
        assert values.column("pours.waiting")[row] == pytest.approx(waiting, abs=SIX)
        assert values.column("pours.wage")[row] == pytest.approx((31.408 + 2 * 41.044) / 3, abs=1e-12)
        assert values.column("pours.waiting_cost")[row] == cost

    def test_as_fast_as_hands_allow(self):
        """Batch 7 is mixed 30–35, placed 53–61, trowelled 73–83."""
        job = worked_job(afterwards=False)
        values = compute(attrs.evolve(job, crew=attrs.evolve(job.crew, pace="fast")))
        bounds = [f"{part}_{edge}" for part in ("mix", "place", "trowel") for edge in ("start", "end")]

        assert [values.column(f"batches.{bound}")[6] - values.column("pours.opening")[0] for bound in bounds] == [30, 35, 53, 61, 73, 83]

    def test_at_90_degrees(self):
        """Factor 0.447658, second trowel from 26.859 min, open 4.477; batch 1 again at 49.859: 2 hands, one there: it fails."""
        job = worked_job(afterwards=False)
        studio, *steps = job.pours
        values = compute(attrs.evolve(job, pours=(attrs.evolve(studio, temperature=90), *steps)))

        assert values.column("pours.factor")[0] == pytest.approx(0.447658, abs=SIX)
        assert values.column("pours.earliest")[0] == pytest.approx(26.859, abs=5e-4)
        assert values.column("pours.open_limit")[0] == pytest.approx(4.477, abs=5e-4)
        assert values.column("batches.second_start")[0] - values.column("pours.opening")[0] == pytest.approx(49.859, abs=5e-4)
        assert values.column("pours.peak")[0] == 2
        assert values.column("pours.short")[0] == 1
        assert values.column("pours.looks")[0] == 1


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
        ("Mix", 2.475000, 77.73),
        ("Place", 1.245765, 51.13),
        ("First trowel", 1.522602, 62.49),
        ("Second trowel", 0.999092, 41.01),
        ("Seal, first coat", 1.755896, 55.15),
        ("Seal, second coat", 1.248865, 39.22),
        ("Clean up", 3.500000, 109.93),
    ],
)
def test_tasks(values, task, hours, cost):
    assert named(values, "tasks", task, "labour.hours", "accepted") == pytest.approx(hours, abs=SIX)
    assert named(values, "tasks", task, "labour.cost", "accepted") == cost


class TestLabour:
    def test_hours(self, values):
        assert values.scalar("work.hours", "accepted") == pytest.approx(23.075684, abs=SIX)
        assert values.scalar("paid.hours") == 33
        assert values.scalar("work.paid_hours", "accepted") == pytest.approx(33, abs=1e-12)

    def test_idle(self, values):
        assert values.scalar("work.idle_hours", "accepted") == pytest.approx(7.965946, abs=SIX)
        assert values.scalar("work.idle_cost", "accepted") == 262.73

    def test_cost(self, values):
        assert values.scalar("work.cost", "accepted") == pytest.approx(1097.88, abs=1e-9)

    def test_nobody_is_paid_over_40_hours(self, values):
        assert values.scalar("paid.overtime_hours") == 0
        assert values.scalar("price.overtime", "accepted") == 0


@pytest.mark.parametrize(
    ("line", "amount"),
    [
        ("materials", 1101.80),
        ("materials_tax", 71.62),
        ("freight", 45.00),
        ("labour", 1097.88),
        ("equipment", 95.00),
        ("travel", 77.76),
        ("disposal", 40.00),
        ("sample_panel", 60.00),
        ("direct", 2589.06),
        ("overhead", 466.03),
        ("contingency", 152.75),
        ("cost", 3207.84),
        ("asked", 4112.62),
        ("at_least", 4112.62),
        ("net", 4115.00),
        ("total", 4115.00),
    ],
)
def test_price(values, line, amount):
    assert values.scalar(f"price.{line}", "accepted") == pytest.approx(amount, abs=1e-9)


def test_price_per_area_and_margin(values):
    assert values.scalar("price.per_area", "accepted") == pytest.approx(8.4344, abs=5e-5)
    assert values.scalar("price.margin_had", "accepted") == pytest.approx(0.22045, abs=5e-6)


def test_payments(values):
    """30 %, 40 % and the rest of 4115.00."""
    assert values.column("payments.payment") == pytest.approx((1234.50, 1646.00, 1234.50), abs=1e-9)
    assert values.scalar("paying.sum") == values.scalar("contract.total") == 4115


def test_bought_as_the_list_says(values):
    """Of the primer one can is on hand."""
    assert values.column("buy.to_buy")[:8] == (14, 2, 4, 2, 4, 1, 1, None)
    assert values.scalar("buying.cost") == pytest.approx(1101.80 - 29.75, abs=1e-9)


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
