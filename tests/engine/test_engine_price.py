"""The build-up of a price: each way, the discount, the least, rounding, tax, and what is missing."""

import pytest
from engine_jobs import changed, looks_but_slab, one_area, price, with_more, worked_job

from sheetgen.engine.blocks.price import Terms, build_up
from sheetgen.engine.job import compute
from sheetgen.engine.records import Equipment

JOB = worked_job(afterwards=False)


def built(direct=1000.0, hours=10.0, area=200.0, **terms):
    return build_up({"materials": direct}, Terms(**terms), hours, area)


class TestBuildUp:
    def test_overhead_by_share(self):
        assert built(overhead=0.18, overhead_hour=99).overhead == 180

    def test_overhead_by_the_hour(self):
        assert built(overhead_way="per_hour", overhead=0.18, overhead_hour=12.5).overhead == 125

    def test_contingency_is_on_direct_and_overhead(self):
        assert built(overhead=0.1, contingency=0.05).contingency == 55

    def test_markup(self):
        found = built(price_way="markup", markup=0.3, margin=0.9)

        assert found.asked == 1300
        assert (found.markup_asked, found.margin_asked) == (pytest.approx(0.3), pytest.approx(300 / 1300))

    def test_margin(self):
        found = built(price_way="margin", margin=0.2, markup=9)

        assert found.asked == 1250
        assert (found.markup_asked, found.margin_asked) == (pytest.approx(0.25), pytest.approx(0.2))

    def test_discount_then_minimum_then_rounding_then_tax(self):
        found = built(price_way="markup", markup=0.3, discount=101.5, minimum=1100, round_to=10, price_tax=0.07)

        assert (found.discounted, found.at_least, found.net, found.tax, found.total) == (1198.5, 1198.5, 1200, 84, 1284)
        assert found.per_area == 6
        assert (found.markup_had, found.margin_had) == (pytest.approx(0.2), pytest.approx(200 / 1200))

    def test_minimum(self):
        assert built(direct=10, price_way="markup", minimum=1500).net == 1500

    def test_nearest(self):
        assert built(direct=1002.49, price_way="markup", round_to=5, round_way="nearest").net == 1000
        assert built(direct=1002.50, price_way="markup", round_to=5, round_way="nearest").net == 1005

    def test_no_rounding(self):
        assert built(direct=1002.49, price_way="markup").net == 1002.49

    def test_noise_does_not_tip_the_step(self):
        """0.1 + 0.2 is a little above 0.3, but not a step above."""
        found = build_up({"materials": 0.1, "freight": 0.2}, Terms(price_way="markup", round_to=0.1), 0, 0)

        assert found.net == pytest.approx(0.3, abs=1e-12)

    def test_no_area_no_price_per_area(self):
        assert built(area=0.0).per_area != built(area=0.0).per_area  # NaN, missing

    def test_a_line_that_is_not_direct_cost(self):
        with pytest.raises(KeyError, match="profit"):
            build_up({"profit": 1}, Terms(), 0, 0)


class TestThroughTheJob:
    def test_direct_is_the_sum_of_its_lines(self):
        values = compute(JOB)
        lines = (
            "materials", "materials_tax", "freight", "labour", "overtime", "equipment", "travel", "subcontract", "disposal", "permits",
            "sample_panel",
        )  # fmt: skip
        line = {name: values.scalar(f"price.{name}", "accepted") for name in lines}

        assert values.scalar("price.direct", "accepted") == pytest.approx(sum(line.values()), abs=1e-9)
        assert line["freight"] == 45
        assert line["disposal"] == 40
        assert line["sample_panel"] == 60
        assert line["materials"] == values.scalar("stock.cost", "accepted")

    @pytest.mark.parametrize(
        "name",
        [
            "freight", "vehicles", "distance", "distance_rate", "per_diem", "subcontract", "disposal", "permits", "sample_panel", "discount",
        ],
    )
    def test_a_cost_that_is_not_known_leaves_no_price(self, name):
        assert price(changed(JOB, "costs", **{name: None})) is None

    @pytest.mark.parametrize(
        "name",
        [
            "materials_tax",
            "overhead_way",
            "overhead",
            "contingency",
            "price_way",
            "margin",
            "minimum",
            "round_to",
            "round_way",
            "price_tax",
        ],
    )
    def test_a_policy_that_is_not_known_leaves_no_price(self, name):
        assert price(changed(JOB, "policy", **{name: None})) is None

    @pytest.mark.parametrize("name", ["markup", "overhead_hour"])
    def test_only_the_way_that_is_chosen_is_read(self, name):
        assert price(changed(JOB, "policy", **{name: None})) == price(JOB)

    @pytest.mark.parametrize("margin", [1.0, 1.5])
    def test_a_margin_of_all_the_price_leaves_none(self, margin):
        assert price(changed(JOB, "policy", margin=margin)) is None

    def test_unknown_codes_leave_no_price(self):
        for name in ("overhead_way", "price_way", "round_way"):
            assert price(changed(JOB, "policy", **{name: "somehow"})) is None

    def test_below_cost_is_looked_at(self):
        values = compute(changed(JOB, "costs", discount=2000))
        short = values.scalar("price.cost", "accepted") - values.scalar("price.net", "accepted")

        assert short > 0
        assert values.scalar("checks.price_floor") == pytest.approx(short, abs=1e-9)
        assert looks_but_slab(values) == 1

    def test_no_cost_no_shares(self):
        values = compute(one_area(systems=(), areas=()))

        assert values.scalar("price.markup_had", "accepted") is None
        assert values.scalar("price.margin_asked", "accepted") is None


class TestEquipment:
    @pytest.mark.parametrize(
        ("machine", "cost"),
        [
            (Equipment(name="Mixer", day_rate=40, days=2), 80),
            (Equipment(name="Mixer", day_rate=40), 0),
            (Equipment(name="Mixer"), 0),
            (Equipment(day_rate=33.335, days=1), 33.34),
            (Equipment(name="Mixer", days=2), None),
            (Equipment(name="Mixer", days=0), 0),
            (Equipment(), None),
        ],
    )
    def test_cost(self, machine, cost):
        values = compute(with_more(JOB, "equipment", machine))

        assert values.column("equipment.cost") == (95, cost)
        if machine.days == 2 and cost is None:
            assert values.scalar("price.equipment", "accepted") is None
        else:
            assert values.scalar("price.equipment", "accepted") == 95 + (cost or 0)


def test_materials_tax():
    values = compute(JOB)

    assert values.scalar("price.materials_tax", "accepted") == pytest.approx(round(values.scalar("stock.cost", "accepted") * 0.065, 2))
