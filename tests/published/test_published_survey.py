"""Substrate tests: how many, how deep, what a dish weighs, and limits where the data sheet is silent.

The standards are sold; what was read are mostly summaries of them. "Rule read": the rule was read, the number
follows from it by arithmetic.
"""

import math

import pytest

from sheetgen.engine import level, survey
from sheetgen.engine.criteria import RULES
from sheetgen.engine.job import Job, compute, convert_job
from sheetgen.engine.lists import DRYINGS, PROBE_SHARES
from sheetgen.engine.records import Reading, ToppingSystem
from sheetgen.engine.slab_limits import GRADE_PROFILES, LIMITS
from sheetgen.units import convert


def needed_for(criterion, area_ft2):
    rule = RULES[criterion]
    return survey.tests_needed(area_ft2, rule.first_count, rule.first_area_ft2, rule.more_area_ft2)


@pytest.mark.parametrize(
    ("area_ft2", "holes"),
    [(400, 3), (1000, 3), (1001, 4), (2000, 4), (2001, 5), (2500, 5), (5000, 7), (10000, 12)],
)
def test_holes_for_relative_humidity(area_ft2, holes):
    """ASTM F2170: three for the first 1000 ft², one for each further 1000 or part; rule read."""
    assert needed_for("humidity", area_ft2) == holes


@pytest.mark.parametrize(("area_ft2", "dishes"), [(400, 3), (1000, 3), (1001, 4), (5000, 7)])
def test_dishes_for_vapour_emission(area_ft2, dishes):
    """ASTM F1869: three kits for the first 1000 ft², one for each further 1000; rule read."""
    assert needed_for("mver", area_ft2) == dishes


@pytest.mark.parametrize(("area_ft2", "places"), [(500, 3), (2000, 3), (2001, 4), (5000, 4), (5001, 5)])
def test_places_for_water_drops(area_ft2, places):
    """ASTM F3191: three for the first 2000 ft², one for each further 3000; read."""
    assert needed_for("absorption", area_ft2) == places


@pytest.mark.parametrize(("area_ft2", "sheets"), [(100, 1), (500, 1), (501, 2), (2000, 4)])
def test_plastic_sheets(area_ft2, sheets):
    """ASTM D4263: one for each 500 ft²; from memory."""
    assert needed_for("plastic_sheet", area_ft2) == sheets


def test_a_size_that_does_not_matter():
    """One pH reading, whatever the area: common practice. Without an area, the first count alone."""
    assert needed_for("ph", 1e6) == 1
    assert needed_for("humidity", math.nan) == 3
    assert needed_for("humidity", -50) == 3


@pytest.mark.parametrize(("drying", "depth_in"), [("one_side", 1.6), ("two_sides", 0.8)])
def test_depth_of_the_humidity_probe(drying, depth_in):
    """ASTM F2170: 40 % of a slab that dries from one side, 20 % from two; 4 in; read."""
    share = PROBE_SHARES[DRYINGS.index(drying)]

    assert survey.probe_depth_in(4, share) == pytest.approx(depth_in, abs=1e-12)


class TestVapourEmission:
    def test_three_grams_in_72_hours(self):
        """ASTM F1869: 4.95 lb/1000 ft²/24 h (0.01); read."""
        assert survey.vapour_emission(3.0, 72) == pytest.approx(4.95, abs=0.01)

    def test_the_gross_area_is_wrong(self):
        """The old gross area of 0.486 ft² gives 4.54; read. It is guarded against by not being the default."""
        assert survey.vapour_emission(3.0, 72, dish_area_ft2=0.486) == pytest.approx(4.54, abs=0.005)
        assert survey.vapour_emission(3.0, 72) != pytest.approx(4.54, abs=0.1)

    def test_in_metric(self):
        """3 g on 0.44486 ft² of 0.09290304 m² in 72 h of 3600 s, in micrograms; arithmetic."""
        metric = convert(survey.vapour_emission(3.0, 72), "mver", "us", "metric")

        assert metric == pytest.approx(3e6 / (0.44486 * 0.09290304) / (72 * 3600), rel=1e-12)

    @pytest.mark.parametrize(("hours", "counts"), [(59.9, False), (60, True), (66, True), (72, True), (72.1, False)])
    def test_exposure(self, hours, counts):
        """ASTM F1869: 60 to 72 h; read."""
        assert survey.exposure_counts(hours) == counts

    @pytest.mark.parametrize("wrong", [{"hours": 0}, {"hours": -1}, {"dish_area_ft2": 0}])
    def test_out_of_range(self, wrong):
        with pytest.raises(ValueError, match="must be above 0"):
            survey.vapour_emission(**{"grams": 3.0, "hours": 72.0, **wrong})


class TestLimitsWhereTheDataSheetIsSilent:
    def test_moisture(self):
        """ASTM F710-03: MVER at most 3, relative humidity at most 75 %; read."""
        assert LIMITS["mver"].default_most == 3
        assert LIMITS["humidity"].default_most == 75

    def test_ph(self):
        """ASTM F710: 7 (read) to 10 (from memory)."""
        assert (LIMITS["ph"].default_least, LIMITS["ph"].default_most) == (7, 10)

    def test_water_drop(self):
        """ASTM F3191: absorbed within 60 s; read."""
        assert LIMITS["absorption"].default_most == 60

    def test_pull_off_strength(self):
        """ASTM C1583: usual least 200 psi; from memory, an input."""
        assert LIMITS["strength"].default_least == 200

    def test_profile(self):
        """ICRI 310.2R and contractors' pages, from memory: skim coats 2 to 4, self-levelling 4 to 6."""
        assert GRADE_PROFILES["squeegee"] == GRADE_PROFILES["trowel"] == (2, 4)
        assert GRADE_PROFILES["self_levelling"] == (4, 6)


@pytest.mark.parametrize(
    ("test", "value", "beyond"),
    [
        pytest.param("mver", 3.0, 0, id="MVER 3.0 passes, read"),
        pytest.param("mver", 3.1, 1, id="MVER 3.1 fails, read"),
        pytest.param("humidity", 75, 0, id="75 % passes, read"),
        pytest.param("humidity", 76, 1, id="76 % fails, read"),
        pytest.param("ph", 6.9, 1, id="pH below 7 fails, read"),
        pytest.param("ph", 10.1, 1, id="pH above 10 fails, from memory"),
        pytest.param("plastic_sheet", 1, 1, id="any moisture under the sheet fails, ASTM D4263, read"),
        pytest.param("absorption", 60, 0, id="a drop absorbed within 60 s, ASTM F3191, read"),
    ],
)
@pytest.mark.parametrize("system", ["us", "metric"])
def test_against_the_limits(test, value, beyond, system):
    """ASTM F710-03 where the data sheet is silent."""
    job = Job(readings=(Reading(test=test, value=value),), systems=(ToppingSystem(name="Silent"),))

    assert compute(convert_job(job, system)).column("readings.beyond") == (beyond,)


def test_strengths_of_one_mode_are_averaged():
    """ASTM C1583, D7234: only readings with the same mode of failure; read. All together would be 240."""
    groups = survey.strengths_by_mode((300, 320, 100), (1, 1, 3), 4)

    assert groups == ((300, 320), (), (100,), ())
    assert [survey.mean_strength(group) for group in (groups[0], groups[2])] == [310, 100]
    assert math.isnan(survey.mean_strength(groups[1]))


@pytest.mark.parametrize(
    ("change_in", "result"),
    [(0, "fine"), (0.25, "fine"), (0.26, "bevel"), (0.5, "bevel"), (0.51, "ramp"), (2, "ramp")],
)
def test_changes_of_level(change_in, result):
    """ADA 303: up to 1/4 in as it is, to 1/2 in bevelled, more a ramp; read."""
    assert level.level_result(change_in) == {"fine": level.FINE, "bevel": level.BEVEL, "ramp": level.RAMP}[result]


def test_length_of_a_ramp():
    """ADA 405.2: 1 in 12, from memory. A rise of 3 in takes 36 in."""
    assert level.ramp_length_ft(3) == 3
