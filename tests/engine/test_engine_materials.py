"""Systems, layers, lines and products: needs, packages and each fault."""

import pytest
from engine_jobs import changed, fault, one_area, price, with_more, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import Area, Layer, Line, Linear, Pour, Product, ToppingSystem, Zone


class TestSystems:
    @pytest.mark.parametrize(
        ("values", "expected"),
        [
            ({"name": None}, 1),
            ({"product": "Nothing"}, 3),
            ({"product": None}, 3),
            ({"yield_": None}, 4),
            ({"yield_": 0}, 4),
            ({"thickness": None}, 5),
            ({"thickness_least": 0.2}, 6),
            ({"thickness_most": 0.1}, 6),
            ({"thickness_least": 0.125, "thickness_most": 0.125}, 0),
        ],
    )
    def test_fault(self, values, expected):
        job = changed(one_area(), "systems", 0, **values)

        assert fault(job, "systems", 0) == expected
        assert compute(job).scalar("checks.systems") == (1 if expected else 0)

    def test_twins(self):
        job = with_more(one_area(), "systems", ToppingSystem(name="a", product="Topping", yield_=1, thickness=1))

        assert compute(job).column("systems.fault") == (2, 2)

    def test_blank(self):
        values = compute(one_area(systems=(*one_area().systems, ToppingSystem())))

        assert values.column("systems.fault") == (0, None)
        assert values.column("topping.bags", "accepted")[1] is None

    def test_one_that_no_zone_uses_needs_nothing(self):
        """Even where half of its data sheet is missing."""
        values = compute(with_more(one_area(), "systems", ToppingSystem(name="B", product="Topping")))

        assert [values.column(f"topping.{name}", "accepted")[1] for name in ("area", "mixed", "bags_raw", "bags")] == [0] * 4
        assert values.scalar("price.total", "accepted") == price(one_area())

    @pytest.mark.parametrize("missing", [{"yield_": None}, {"yield_": 0}, {"thickness": None}])
    def test_one_that_is_used_must_be_whole(self, missing):
        assert price(changed(one_area(), "systems", 0, **missing)) is None

    def test_mixed_volume(self):
        """A (k t + f)(1 + waste): the fill counts once, the coats k times."""
        job = changed(changed(one_area(), "systems", 0, coats=2), "zones", 0, fill=0.05)

        assert compute(job).column("laid.mixed", "accepted") == (pytest.approx(100 * (2 * 0.125 + 0.05) / 12 * 1.1),)

    def test_bags_are_rounded_once_for_the_system(self):
        """Two zones that take 2.3 bags between them take 3 by volume; poured each for itself, two batches of a bag each."""
        zones = (Zone(name="Zone 1"), Zone(name="Zone 2"))
        areas = (Area(first=9, second=5), Area(zone="Zone 2", first=9, second=5))
        values = compute(one_area(zones=zones, areas=areas))

        assert values.column("topping.bags_raw", "accepted") == (pytest.approx(90 * 0.125 / 12 * 1.1 / 0.45),)
        assert values.column("topping.by_volume", "accepted") == (3,)
        assert values.column("topping.batch_bags", "accepted") == values.column("topping.bags", "accepted") == (4,)

    def test_zones_poured_in_one_go_share_their_batches(self):
        zones = (Zone(name="Zone 1"), Zone(name="Zone 2"))
        areas = (Area(first=9, second=5), Area(zone="Zone 2", first=9, second=5))
        values = compute(one_area(zones=zones, areas=areas, pours=(Pour(zone_2="Zone 2"),)))

        assert values.column("topping.batch_bags", "accepted") == values.column("topping.bags", "accepted") == (3,)


LAYER = Layer(system="A", kind="sealer", product="Sealer", coverage=200)


def layered(*layers, **more):
    products = (*one_area().products, Product(name="Sealer", size=1, price=50))
    return one_area(layers=layers, products=products, **more)


class TestLayers:
    @pytest.mark.parametrize(
        ("layer", "need"),
        [
            (LAYER, 0.5),
            (Layer(system="A", kind="colour", product="Sealer", dose=4, per=100, coats=2, waste=0.1), 8.8),
            (Layer(system="A", kind="sealer", product="Sealer", coverage=200, dose=9, per=1), 0.5),
            (Layer(system="A", kind="primer_first", product="Sealer", coverage=100), 1.5),
            (Layer(system="A", kind="primer_first", product="Sealer", coverage=100, coats=2), 2.5),
            (Layer(system="A", kind="primer_more", product="Sealer", coverage=100), 1.0),
        ],
    )
    def test_need(self, layer, need):
        """The porosity factor, here 1.5, is for the first primer coat only."""
        values = compute(changed(layered(layer), "zones", 0, porosity="open"))

        assert values.column("layer_needs.need", "accepted") == (pytest.approx(need, rel=1e-14),)

    @pytest.mark.parametrize(
        ("values", "expected"),
        [
            ({"system": "B"}, 1),
            ({"system": None}, 1),
            ({"kind": None}, 2),
            ({"product": None}, 3),
            ({"product": "Nothing"}, 3),
            ({"coverage": None}, 4),
            ({"coverage": None, "dose": 4}, 4),
            ({"coverage": None, "per": 100}, 4),
            ({"coverage": 0}, 4),
            ({"coverage": None, "dose": 4, "per": 0}, 4),
            ({"coverage": None, "dose": 4, "per": 100}, 0),
        ],
    )
    def test_fault(self, values, expected):
        job = changed(layered(LAYER), "layers", 0, **values)

        assert fault(job, "layers", 0) == expected
        assert (price(job) is None) == (expected > 0)
        assert compute(job).scalar("checks.layers") == (1 if expected else 0)

    def test_of_another_system(self):
        job = layered(Layer(system="B", kind="sealer", product="Sealer", coverage=200))
        job = with_more(job, "systems", ToppingSystem(name="B", product="Topping", yield_=1, thickness=0.1))

        assert compute(job).column("layer_needs.need", "accepted") == (0,)


class TestLines:
    job = worked_job(afterwards=False)

    @pytest.mark.parametrize(
        ("line", "quantity"),
        [
            ({"basis": "once"}, 1),
            ({"basis": "once", "zone": "Studio"}, 1),
            ({"basis": "zones"}, 2),
            ({"basis": "zones", "system": "System B"}, 1),
            ({"basis": "area"}, 487.882741),
            ({"basis": "area", "zone": "studio "}, 454.132741),
            ({"basis": "area", "surface": "step"}, 33.75),
            ({"basis": "area", "surface": "wall"}, 0),
            ({"basis": "area", "surface": "step", "zone": "Studio"}, 0),
            ({"basis": "coat_area"}, 454.132741 + 2 * 33.75),
            ({"basis": "wall_area"}, 0),
            ({"basis": "steps"}, 5),
            ({"basis": "edge"}, 85),
            ({"basis": "cove"}, 0),
            ({"basis": "volume", "system": "System B"}, 0.3796875),
            ({"basis": "bags", "system": "System A"}, 12.772483),
        ],
    )
    def test_quantity(self, line, quantity):
        values = compute(with_more(self.job, "lines", Line(product="Tape", dose=1, **line)))

        assert values.column("line_needs.quantity", "accepted")[-1] == pytest.approx(quantity, abs=5e-7)
        assert values.column("lines.fault")[-1] == 0

    def test_wall_area(self):
        values = compute(changed(self.job, "zones", 1, surface="wall"))

        assert values.column("basis.wall_area", "accepted") == (0, 33.75)

    @pytest.mark.parametrize(("dose", "per", "waste", "need"), [(3, None, None, 15), (3, 2, 0.1, 8.25), (0, 2, 0.1, 0)])
    def test_need(self, dose, per, waste, need):
        line = Line(product="Tape", basis="steps", dose=dose, per=per, waste=waste)

        assert compute(with_more(self.job, "lines", line)).column("line_needs.need", "accepted")[-1] == pytest.approx(need)

    @pytest.mark.parametrize(
        ("values", "expected"),
        [
            ({"product": None}, 1),
            ({"product": "Nothing"}, 1),
            ({"basis": None}, 2),
            ({"basis": "bays"}, 2),
            ({"dose": None}, 3),
            ({"system": "C"}, 4),
            ({"surface": "ceiling"}, 5),
            ({"zone": "Nowhere"}, 6),
        ],
    )
    def test_fault(self, values, expected):
        job = changed(self.job, "lines", 0, **values)

        assert fault(job, "lines", 0) == expected
        assert compute(job).column("line_needs.need", "accepted")[0] is None
        assert price(job) is None
        assert compute(job).scalar("checks.lines") == 1


class TestProducts:
    def test_two_askers_share_a_package(self):
        """packages = up(need / size), once per product for the job, never per line or zone."""
        twice = layered(LAYER, LAYER)
        values = compute(changed(twice, "products", 1, size=5))

        assert values.column("needs.need", "accepted")[1] == pytest.approx(1.0)
        assert values.column("needs.packages", "accepted")[1] == 1
        assert values.column("products.left_over")[1] == pytest.approx(4)
        assert values.column("products.left_worth")[1] == 40

    def test_stock_is_cost_but_not_cash(self):
        values = compute(changed(one_area(), "products", 0, on_hand=1))

        assert values.column("needs.packages", "accepted") == (3,)
        assert values.column("needs.cost", "accepted") == (120,)
        assert values.column("products.to_buy") == (2,)

    @pytest.mark.parametrize(
        ("values", "expected"),
        [({"name": None}, 1), ({"size": None}, 3), ({"size": 0}, 3), ({"price": None}, 4)],
    )
    def test_fault(self, values, expected):
        job = changed(worked_job(), "products", 2, **values)

        assert fault(job, "products", 2) == expected
        assert price(job) is None

    def test_twins(self):
        job = with_more(one_area(), "products", Product(name="topping", size=1, price=1))

        assert compute(job).column("products.fault") == (2, 2)

    @pytest.mark.parametrize("values", [{}, {"size": 1}, {"price": 1}])
    def test_one_that_is_not_needed_costs_nothing(self, values):
        job = with_more(one_area(), "products", Product(name="Spare", **values))
        found = compute(job)

        assert found.column("products.fault")[1] == 0
        assert found.column("needs.packages", "accepted")[1] == found.column("needs.cost", "accepted")[1] == 0
        assert found.column("products.to_buy")[1] == found.column("products.left_over")[1] == 0
        assert found.scalar("price.total", "accepted") == price(one_area())

    def test_on_hand_alone_does_not_begin_a_row(self):
        assert compute(with_more(one_area(), "products", Product(on_hand=3))).column("products.started") == (1, None)

    def test_a_topping_in_bags_of_two(self):
        """A package may hold more than a bag."""
        values = compute(changed(one_area(), "products", 0, size=2))

        assert values.column("needs.need", "accepted") == (3,)
        assert values.column("needs.packages", "accepted") == (2,)

    def test_no_silent_gift(self):
        """A topping that leads to no product leaves no price, because its bags would cost nothing."""
        job = one_area(products=(*one_area().products, Product(name="Primer", size=1, price=20)))
        job = changed(job, "systems", 0, product="Nothing")

        assert price(job) is None


def test_linear_items_of_a_kind_are_a_basis():
    job = one_area(
        linear=(Linear(kind="crack", length=12), Linear(kind="joint", length=5)),
        lines=(Line(product="Topping", basis="crack", dose=1, per=4),),
    )

    assert compute(job).column("line_needs.need", "accepted") == (3,)


def test_what_the_accounts_want_to_know_does_not_begin_a_product():
    """A row with nothing but account, tax code, lots and what is on hand is no product yet."""
    bare = Product(account="5100", tax_code="T", lot_tracked="yes", on_hand=2)
    values = compute(with_more(one_area(), "products", bare))

    assert values.column("products.started") == (1, None)
    assert values.scalar("checks.products") == 0
