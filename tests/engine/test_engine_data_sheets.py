"""The limits that a system holds a slab to, and the doubts about its data sheet."""

import datetime as dt
import math

import attrs
import pytest
from engine_jobs import changed, one_area, with_more

from sheetgen.engine.criteria import RULES
from sheetgen.engine.job import compute, convert_job
from sheetgen.engine.lists import CRITERIA, GRADES, LIMIT_SOURCES, TESTS
from sheetgen.engine.records import ToppingSystem, Zone
from sheetgen.engine.slab_limits import GRADE_PROFILES, LIMITS

NONE = math.inf
SOUND = {
    "bag_mass": 50,
    "yield_": 0.45,
    "water_least": 4.5,
    "water_most": 5,
    "second_earliest": 60,
    "second_latest": 90,
    "data_sheet_date": dt.date(2024, 1, 1),
}


def limits(**typed):
    """Return the limits of a system in US units: low, high and source by criterion."""
    values = compute(one_area(systems=(ToppingSystem(name="A", **typed),)))
    found = {}
    for criterion in LIMITS:
        parts = (f"systems.{criterion}_{part}" for part in ("low", "high", "source"))
        low, high, source = (values.column(name)[0] if name in values else None for name in parts)
        found[criterion] = (low, high, LIMIT_SOURCES[int(source) - 1])
    return found


class TestLimits:
    def test_a_silent_data_sheet(self):
        """A default applies only where the data sheet states nothing, and says so: trade, survey."""
        assert limits(grade="self_levelling") == {
            "humidity": (None, 75, "default"),
            "mver": (None, 3, "default"),
            "ph": (7, 10, "default"),
            "strength": (200, None, "default"),
            "absorption": (None, 60, "default"),
            "profile": (4, 6, "default"),
            "age": (28, None, "default"),
            "temperature": (50, 90, "default"),
        }

    @pytest.mark.parametrize(
        ("criterion", "typed", "expected"),
        [
            ("humidity", {"humidity_most": 90}, (None, 90, "data_sheet")),
            ("humidity", {"humidity_most": NONE}, (None, None, "no_limit")),
            ("strength", {"strength_least": 150}, (150, None, "data_sheet")),
            ("age", {"age_least": NONE}, (None, None, "no_limit")),
            ("ph", {"ph_least": 5, "ph_most": 12}, (5, 12, "data_sheet")),
            ("ph", {"ph_least": 5}, (5, 10, "default")),
            ("ph", {"ph_least": NONE}, (None, 10, "default")),
            ("ph", {"ph_least": NONE, "ph_most": NONE}, (None, None, "no_limit")),
            ("ph", {"ph_least": NONE, "ph_most": 12}, (None, 12, "data_sheet")),
            ("profile", {}, (None, None, "not_stated")),
            ("profile", {"grade": "no such grade"}, (None, None, "not_stated")),
            ("profile", {"profile_least": 3}, (3, None, "data_sheet")),
            ("profile", {"profile_least": NONE}, (None, None, "not_stated")),
            ("profile", {"profile_least": NONE, "profile_most": NONE}, (None, None, "no_limit")),
            ("profile", {"profile_least": NONE, "grade": "trowel"}, (None, 4, "default")),
            ("temperature", {"temperature_most": NONE}, (50, None, "default")),
        ],
    )
    def test_typed(self, criterion, typed, expected):
        """A limit is a number, "no limit", or not stated."""
        assert limits(**typed)[criterion] == expected

    def test_in_metric(self):
        here = compute(convert_job(one_area(systems=(ToppingSystem(name="A"),)), "metric")).in_job_system()

        assert here.column("systems.mver_high")[0] == pytest.approx(169.5289, rel=1e-6)
        assert here.column("systems.strength_low")[0] == pytest.approx(1.378951, rel=1e-6)
        assert here.column("systems.temperature_low")[0] == pytest.approx(10, rel=1e-12)
        assert here.column("systems.humidity_high")[0] == 75

    def test_a_blank_column_has_none(self):
        values = compute(one_area(systems=(ToppingSystem(),)))

        for name in values:
            if name.startswith("systems.") and name.endswith(("_low", "_high", "_source", ".doubt", "doubtful", "used", "density")):
                assert values.column(name) == (None,), name

    def test_every_grade_has_a_profile(self):
        assert tuple(GRADE_PROFILES) == GRADES

    def test_every_criterion_has_a_rule(self):
        assert tuple(RULES) == CRITERIA
        assert [code for code in CRITERIA if RULES[code].stops] == list(TESTS[:4])


def doubt(bid_date=dt.date(2025, 3, 3), system="us", **typed):
    job = one_area(systems=(ToppingSystem(name="A", **{**SOUND, **typed}),))
    values = compute(convert_job(changed(job, "job", bid_date=bid_date), system))
    assert values.column("systems.doubtful")[0] == (values.column("systems.doubt")[0] > 0)
    return values.column("systems.doubt")[0]


class TestDoubts:
    @pytest.mark.parametrize(
        ("number", "typed"),
        [
            (0, {}),
            (1, {"yield_": 0.3}),
            (1, {"yield_": 0.7}),
            (1, {"bag_mass": 5}),
            (2, {"water_least": 6}),
            (3, {"second_earliest": 91}),
            (0, {"second_earliest": 0, "second_latest": 0}),
            (4, {"ph_least": 11, "ph_most": 10}),
            (4, {"profile_least": 5, "profile_most": 4}),
            (4, {"temperature_least": 95, "temperature_most": 90}),
            (0, {"temperature_least": NONE, "temperature_most": 90}),
            (0, {"temperature_least": 95, "temperature_most": NONE}),
            (0, {"ph_least": 10, "ph_most": 10}),
            (5, {"data_sheet_date": dt.date(2022, 3, 2)}),
            (0, {"data_sheet_date": dt.date(2022, 3, 4)}),
        ],
    )
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_first_doubt(self, number, typed, system):
        assert doubt(system=system, **typed) == number

    def test_the_first_that_applies(self):
        assert doubt(yield_=0.1, water_least=9, ph_least=12, ph_most=7) == 1
        assert doubt(water_least=6, ph_least=12, ph_most=7) == 2

    @pytest.mark.parametrize("blank", [*SOUND])
    def test_what_is_missing_gives_no_doubt(self, blank):
        assert doubt(**{blank: None}) == 0

    def test_no_bid_date(self):
        assert doubt(bid_date=None, data_sheet_date=dt.date(1990, 1, 1)) == 0

    @pytest.mark.parametrize(("yield_ft3", "number"), [(90, 0), (90.1, 1), (160 / 3, 0), (53, 1)])
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_the_bounds_of_density(self, yield_ft3, number, system):
        """Between 90 and 160 lb/ft³, ends included: trade, materials. 8100 lb and no water in 90 ft³ is 90."""
        mass = 8100 if yield_ft3 > 60 else 160 * 160 / 3

        assert doubt(system=system, bag_mass=mass, water_least=0, water_most=0, yield_=yield_ft3) == number

    def test_density_with_the_most_water(self):
        """50 lb and 5 qt in 0.45 ft³: 134.2928 lb/ft³, published; with 4.5 qt 131.9746."""
        job = one_area(systems=(ToppingSystem(name="A", **SOUND),))

        assert compute(job).column("systems.density")[0] == pytest.approx(134.2928, abs=5e-5)
        assert compute(job).column("systems.water_used") == (5,)
        assert compute(changed(job, "systems", 0, water_most=None)).column("systems.density")[0] == pytest.approx(131.9746, abs=5e-5)

    def test_used(self):
        job = with_more(one_area(), "systems", ToppingSystem(name="B"))
        job = attrs.evolve(job, zones=(Zone(name="a"), Zone(name="b", system="B"), Zone(name="c", system="x"), Zone(name="d"), Zone()))

        assert compute(job).column("systems.used") == (2, 1)


@pytest.mark.parametrize(
    ("typed", "flags"),
    [
        ({}, (None,) * 5),
        ({"typed_by": "me"}, (1, None, None, None, None)),
        ({"open_time": 0}, (None, 1, None, None, None)),
        ({"q_cold": 4500}, (None, None, 1, None, None)),
        ({"strength_least": NONE}, (None, None, None, 1, None)),
        ({"temperature_most": NONE}, (None, None, None, None, 1)),
    ],
)
def test_where_something_is_typed(typed, flags):
    """A column is begun by whatever is typed in it, "no limit" too."""
    values = compute(one_area(systems=(ToppingSystem(**typed),)))
    names = ("typed_sheet", "typed_depth", "typed_times", "typed_waits", "typed_limits")

    assert tuple(values.column(f"systems.{name}")[0] for name in names) == flags
    assert values.column("systems.started") == (1 if typed else None,)
