"""Takeoff: rows become areas and lengths, zones add them up, and each fault is found."""

import math

import pytest
from engine_jobs import changed, fault, looks_but_slab, one_area, price, with_more, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import Area, Linear, Offset, Product, ToppingSystem, Zone


def row(area, *offsets):
    """Return the values of a job with one area row."""
    return compute(one_area(areas=(area,), offsets=offsets))


class TestAreas:
    @pytest.mark.parametrize(
        ("shape", "sizes", "area", "perimeter"),
        [
            (None, (10, 8), 80, 36),
            ("rectangle", (10, 8), 80, 36),
            ("triangle", (10, 8), 40, None),
            ("trapezoid", (10, 8, 5), 45, None),
            ("circle", (10,), 25 * math.pi, 10 * math.pi),
            ("half_circle", (10,), 12.5 * math.pi, 5 * math.pi + 10),
            ("quarter_circle", (10,), 25 * math.pi, 5 * math.pi + 20),
            ("ellipse", (10, 10), 25 * math.pi, 10 * math.pi),
            ("ring", (10, 4), 21 * math.pi, 14 * math.pi),
            ("ring", (10, 0), 25 * math.pi, 10 * math.pi),
            ("ring", (10, 10), 0, 20 * math.pi),
            ("steps", (10, 1, 0.5), 15, None),
            ("steps", (10, 1, 0), 10, None),
            ("three_sides", (3, 4, 5), 6, 12),
        ],
    )
    def test_shape(self, shape, sizes, area, perimeter):
        named = dict(zip(("first", "second", "third"), sizes, strict=False))
        values = row(Area(shape=shape, how_many=3, **named))

        assert values.column("areas.fault") == (0,)
        assert values.column("areas.each") == (pytest.approx(area, abs=1e-12),)
        assert values.column("areas.area") == (pytest.approx(3 * area, abs=1e-12),)
        around = None if perimeter is None else pytest.approx(3 * perimeter, rel=1e-14)
        assert values.column("areas.perimeter") == (around,)

    def test_typed(self):
        values = row(Area(shape="typed", typed=120, typed_perimeter=50, how_many=2))

        assert values.column("areas.area") == (240,)
        assert values.column("areas.perimeter") == (100,)

    def test_typed_perimeter_goes_before_the_shape_s(self):
        assert row(Area(first=10, second=8, typed_perimeter=5)).column("areas.perimeter") == (5,)

    @pytest.mark.parametrize(("first", "first_in", "length"), [(24, 6, 24.5), (None, 18, 1.5), (3, None, 3), (None, None, None)])
    def test_feet_and_inches(self, first, first_in, length):
        assert row(Area(label="x", first=first, first_in=first_in, second=1)).column("areas.size_a") == (length,)

    def test_deduct(self):
        job = one_area(areas=(Area(first=10, second=10), Area(first=2, second=3, how_many=2, sign="deduct")))
        values = compute(job)

        assert values.column("areas.area") == (100, -12)
        assert values.column("areas.perimeter") == (40, 20)
        assert values.scalar("measured.area") == 88
        assert values.scalar("measured.perimeter_known") == 40

    @pytest.mark.parametrize(
        ("area", "expected"),
        [
            (Area(first=1, second=1, zone="Nowhere"), 1),
            (Area(first=1, second=1, shape="blob"), 2),
            (Area(first=1, second=1, zone="Nowhere", shape="blob"), 1),
            (Area(first=1), 3),
            (Area(first=1, second=0), 3),
            (Area(first=-1, second=2), 3),
            (Area(first=1, second=2, shape="trapezoid"), 3),
            (Area(first=4, second=1, shape="steps"), 3),
            (Area(first=4, second=1, third=-1, shape="steps"), 3),
            (Area(first=4, shape="ring"), 3),
            (Area(label="x", shape="typed"), 3),
            (Area(typed=0, shape="typed"), 3),
            (Area(first=1, second=2, third=3, shape="three_sides"), 4),
            (Area(first=1, second=2, third=2.9999999, shape="three_sides"), 4),
            (Area(first=4, second=4.1, shape="ring"), 4),
            (Area(label="x", first=4, shape="offsets"), 5),
            (Area(first=1, second=1, how_many=0), 6),
            (Area(first=1, second=1, how_many=1.5), 6),
            (Area(first=1, second=1, how_many=-1), 6),
            (Area(first=1, second=1, how_many=1.0000001), 0),
            (Area(first=1, second=2, third=2.99999, shape="three_sides"), 0),
            (Area(first=4, second=4, shape="ring"), 0),
        ],
    )
    def test_fault(self, area, expected):
        values = row(area)

        assert values.column("areas.fault") == (expected,)
        if expected:
            assert values.column("areas.each") == values.column("areas.area") == values.column("areas.perimeter") == (None,)
            assert values.scalar("price.total", "accepted") is None
            assert values.scalar("checks.rows") == 1

    def test_sizes_that_a_shape_does_not_use_do_not_matter(self):
        assert row(Area(shape="circle", first=2, second=-3, third=-4)).column("areas.fault") == (0,)

    def test_closing_is_judged_in_the_unit_of_the_sheet(self):
        """0.6 µm is noise in metres; as feet it would be 2 millionths, which is none."""
        sides = Area(shape="three_sides", first=1, second=2, third=3 - 6e-7)
        noise = Area(shape="three_sides", first=1, second=2, third=3 - 4e-7)

        assert fault(one_area("metric", areas=(sides,)), "areas", 0) == 0
        assert fault(one_area("metric", areas=(noise,)), "areas", 0) == 4

    def test_blank_row(self):
        values = compute(one_area(areas=(Area(), Area(zone="Zone 1", shape="circle", sign="add"), Area(first=1, second=1))))

        assert values.column("areas.started") == (None, None, 1)
        assert values.column("areas.fault") == (None, None, 0)
        assert values.scalar("measured.area") == 1


class TestOffsets:
    area = Area(label="Bay", shape="offsets", first=2)

    def widths(self, *widths, label=" bay "):
        return [Offset(label=label, width=width) for width in widths]

    def test_simpson(self):
        values = row(self.area, *self.widths(1, 4, 3))

        assert values.column("areas.widths") == (3,)
        assert values.column("offsets.area_no") == (1, 1, 1)
        assert values.column("offsets.at") == (1, 2, 3)
        assert values.column("offsets.weight") == (1 / 3, 4 / 3, 1 / 3)
        assert values.column("areas.area") == (pytest.approx(2 / 3 * (1 + 16 + 3), rel=1e-14),)

    def test_trapezoids(self):
        assert row(self.area, *self.widths(1, 4, 3, 2)).column("areas.area") == (pytest.approx(2 * 8.5, rel=1e-14),)

    def test_five_widths(self):
        assert row(self.area, *self.widths(1, 1, 1, 1, 1)).column("offsets.weight") == (1 / 3, 4 / 3, 2 / 3, 4 / 3, 1 / 3)

    def test_a_width_of_0_at_an_end(self):
        assert row(self.area, *self.widths(0, 3)).column("areas.area") == (3,)

    def test_inches(self):
        assert row(self.area, Offset(label="Bay", width=1, width_in=6), Offset(label="Bay", width_in=6)).column("areas.area") == (2,)

    def test_one_width_is_not_enough(self):
        assert row(self.area, *self.widths(3)).column("areas.fault") == (5,)

    def test_a_width_that_is_missing(self):
        values = row(self.area, *self.widths(3, 4), Offset(label="Bay"))

        assert values.column("areas.fault") == (3,)
        assert values.column("areas.each") == (None,)

    def test_a_width_of_no_area(self):
        values = row(self.area, *self.widths(3, 4), *self.widths(9, label="Bey"), Offset(width=3))

        assert values.column("offsets.area_no") == (1, 1, None, None)
        assert values.column("areas.fault") == (0,)
        assert values.scalar("checks.offsets") == 2
        assert looks_but_slab(values) == 1

    def test_only_an_area_by_offsets_has_widths(self):
        """The first row with the label and that shape: trade, takeoff."""
        job = one_area(areas=(Area(label="Bay", first=1, second=1), self.area, self.area), offsets=tuple(self.widths(3, 4)))
        values = compute(job)

        assert values.column("offsets.area_no") == (2, 2)
        assert values.column("areas.widths") == (None, 2, 0)
        assert values.column("areas.fault") == (0, 0, 5)


class TestLinear:
    def test_length(self):
        values = compute(one_area(linear=(Linear(length=10, length_in=6, how_many=3), Linear(), Linear(length=4, kind="cove"))))

        assert values.column("linear.total") == (31.5, None, 4)
        assert values.column("zones.edge") == (31.5,)
        assert values.column("zones.cove") == (4,)
        assert values.column("zones.crack") == (0,)

    @pytest.mark.parametrize(
        ("linear", "expected"),
        [
            (Linear(length=1, zone="Nowhere"), 1),
            (Linear(length=1, kind="fringe"), 2),
            (Linear(label="x"), 3),
            (Linear(length=0), 3),
            (Linear(length=1, how_many=0.5), 6),
        ],
    )
    def test_fault(self, linear, expected):
        values = compute(one_area(linear=(linear, Linear(length=5))))

        assert values.column("linear.fault") == (expected, 0)
        assert values.column("linear.total") == (None, 5)
        assert values.column("zones.edge") == (None,)
        assert values.scalar("checks.rows") == 1


TWO = (
    ToppingSystem(name="A", product="Topping", yield_=0.45, thickness=0.125, thickness_least=0.0625, thickness_most=0.25),
    ToppingSystem(name="B", product="Topping", yield_=0.45),
)


class TestZones:
    def test_defaults(self):
        """Defaults so that one area gives a price: zone 1, a floor of system 1, the system's target."""
        values = compute(one_area())

        assert values.column("zones.surface_no") == (1,)
        assert values.column("zones.porosity_no") == (1,)
        assert values.column("zones.system_no") == (1,)
        assert values.column("zones.depth") == (0.125,)
        assert values.column("laid.coats", "as_bid") == (1,)
        assert values.column("laid.fill", "as_bid") == (0,)

    @pytest.mark.parametrize(
        ("zone", "expected"),
        [
            (Zone(system="A"), 1),
            (Zone(name="   ", system="A"), 1),
            (Zone(name=" zone  1"), 2),
            (Zone(name="Z", system="C"), 3),
            (Zone(name="Z", system="B"), 4),
            (Zone(name="Z", thickness=0.3), 5),
            (Zone(name="Z", thickness=0.0624), 5),
            (Zone(name="Z"), 8),
        ],
    )
    def test_fault(self, zone, expected):
        job = one_area(systems=TWO, zones=(Zone(name="Zone 1"), zone))
        values = compute(job)

        assert values.column("zones.fault")[1] == expected
        assert values.column("laid.area", "accepted")[1] is None
        assert values.column("basis.once", "accepted")[1] is None
        assert values.scalar("price.total", "accepted") is None
        assert values.scalar("checks.zones") == (2 if expected == 2 else 1)

    @pytest.mark.parametrize("thickness", [0.0625, 0.25, 0.25 + 4e-7, 0.0625 - 4e-7])
    def test_limits_belong_to_the_range(self, thickness):
        job = one_area(systems=TWO, zones=(Zone(name="Zone 1", thickness=thickness),))

        assert fault(job, "zones", 0) == 0

    def test_limits_are_judged_in_the_unit_of_the_sheet(self):
        """0.3 millionths of an inch is noise on a US sheet; on one in millimetres it is 8 millionths."""
        beyond = 0.25 + 3e-7
        us = one_area(systems=TWO, zones=(Zone(name="Zone 1", thickness=beyond),))
        in_mm = (ToppingSystem(name="A", product="Topping", yield_=12, thickness=3, thickness_most=6.35),)
        metric = one_area("metric", systems=in_mm, zones=(Zone(name="Zone 1", thickness=beyond * 25.4),))

        assert fault(us, "zones", 0) == 0
        assert fault(metric, "zones", 0) == 5

    def test_a_typed_thickness_needs_no_target(self):
        job = one_area(systems=TWO, zones=(Zone(name="Zone 1", system="B", thickness=0.1),))

        assert fault(job, "zones", 0) == 0

    def test_a_limit_that_is_not_given_does_not_limit(self):
        assert fault(changed(one_area(), "zones", 0, thickness=9), "zones", 0) == 0

    def test_area_missing(self):
        """No zone has its area while any started row lacks its own."""
        job = with_more(worked_job(afterwards=False), "areas", Area(zone="Studio", first=3))
        values = compute(job)

        assert values.column("zones.area") == (None, None)
        assert values.column("zones.steps") == (None, None)
        assert values.column("zones.fault") == (6, 6)

    def test_area_below_0(self):
        """Deducts never make a zone negative."""
        job = with_more(one_area(), "areas", Area(first=11, second=10, sign="deduct"))

        assert fault(job, "zones", 0) == 7

    def test_area_of_0_but_for_noise(self):
        job = one_area(areas=(Area(first=0.1, second=3), Area(shape="typed", typed=0.3, sign="deduct")))

        assert compute(job).scalar("measured.area") != 0
        assert fault(job, "zones", 0) == 8

    def test_twins_both_have_the_fault(self):
        job = one_area(zones=(Zone(name="Zone 1"), Zone(name="ZONE 1 ")))

        assert compute(job).column("zones.twin") == (2, 2)
        assert compute(job).column("zones.fault") == (2, 2)

    def test_blank_zones_between(self):
        job = one_area(zones=(Zone(), Zone(name="Hall"), Zone(), Zone(name="Yard")))
        job = changed(job, "areas", 0, zone="hall")
        values = compute(with_more(job, "areas", Area(zone="Yard", first=1, second=1)))

        assert values.column("zones.started") == (None, 1, None, 1)
        assert values.column("zones.area") == (None, 100, None, 1)
        assert values.scalar("measured.area") == 101

    def test_steps(self):
        job = with_more(
            worked_job(),
            "areas",
            Area(zone="Front steps", shape="steps", first=4.5, second=1, third=0.5, how_many=2, sign="deduct"),
        )

        assert compute(job).column("zones.steps") == (0, 3)

    def test_an_area_nobody_adds_up(self):
        """Nothing is silently left out: an area for a zone that is not there is a check that looks."""
        values = compute(one_area(zones=(Zone(), Zone(name="Hall", system="A"))))

        assert values.scalar("checks.areas_add_up") == 100
        assert values.scalar("master.looks") >= 1


def test_a_product_is_found_by_name_whatever_case():
    job = one_area(products=(Product(name=" TOPPING ", size=1, price=40),))

    assert price(job) == price(one_area())
