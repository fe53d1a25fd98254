"""The state of every criterion and the verdict of each zone."""

import math

import attrs
import pytest
from engine_jobs import GOOD, accepted, changed, one_area, ready_job, state, with_check, with_more

from sheetgen.engine import survey
from sheetgen.engine.job import compute, convert_job
from sheetgen.engine.lists import CRITERIA, LIMIT_SOURCES, TESTS
from sheetgen.engine.records import Joint, Level, Reading, SlabCheck, ToppingSystem, Weather, Zone

PASS, FAIL, NOT_TESTED, ACCEPTED, NOT_ASKED = 1, 2, 3, 4, 5
STOPPING = ("humidity", "mver", "plastic_sheet", "strength")
WORSE = {"humidity": 90, "mver": 5, "plastic_sheet": 1, "strength": 100, "ph": 12, "absorption": 90, "profile": 1}


def without(job, test, count=3):
    """Return a job with the last readings of a test left out."""
    of_test = [reading for reading in job.readings if reading.test == test]
    return attrs.evolve(job, readings=tuple(one for one in job.readings if one not in of_test) + tuple(of_test[: 3 - count]))


def with_reading(job, test, value, mode="concrete"):
    return with_more(job, "readings", Reading(test=test, value=value, mode=mode if test == "strength" else None))


def verdict(job):
    values = compute(job)
    return tuple(values.column(f"verdicts.{name}")[0] for name in ("verdict_no", "failing", "stopping", "untested"))


# How each criterion is made to fail, from a slab that is ready.
FAILURES = {
    **{test: (lambda job, test=test: with_reading(job, test, WORSE[test])) for test in TESTS if test != "strength"},
    "strength": lambda job: with_reading(job, "strength", WORSE["strength"], mode="glue"),
    "hollow": lambda job: changed(job, "zones", 0, hollow_area=2),
    "cracks": lambda job: changed(job, "zones", 0, moving_cracks="yes"),
    "contamination": lambda job: changed(job, "zones", 0, contaminated="yes"),
    "age": lambda job: changed(job, "zones", 0, concrete_age=27),
    "temperature": lambda job: changed(job, "zones", 0, slab_temperature=95),
    "dew": lambda job: changed(job, "zones", 0, slab_temperature=54),
    "level": lambda job: with_more(job, "levels", Level(now=2)),
}


class TestStates:
    @pytest.mark.parametrize("criterion", CRITERIA)
    def test_one_that_fails(self, criterion):
        """Break one criterion on purpose: it alone fails, and the verdict follows from whether it stops the work."""
        values = compute(FAILURES[criterion](ready_job()))
        failing = [code for code in CRITERIA if state(values, code) == FAIL]

        assert failing == [criterion]
        assert values.column("verdicts.verdict_no") == (1 if criterion in STOPPING else 2,)
        assert values.column("verdicts.reason_no") == (CRITERIA.index(criterion) + 1,)
        assert values.scalar("checks.slab") == 1

    def test_two_of_three_is_not_tested(self):
        """Too few readings: "2 of 3" is not tested; trade, survey."""
        values = compute(without(ready_job(), "humidity", 1))

        assert (state(values, "humidity", figure="have"), state(values, "humidity", figure="needed")) == (2, 3)
        assert state(values, "humidity") == NOT_TESTED
        assert values.column("verdicts.verdict_no") == (3,)

    def test_one_bad_reading_is_enough(self):
        """However few the tests."""
        job = with_reading(without(ready_job(), "humidity"), "humidity", 90)

        assert state(compute(job), "humidity") == FAIL

    def test_a_faulty_reading_does_not_count(self):
        values = compute(changed(ready_job(), "readings", 0, value=None))

        assert state(values, "humidity", figure="have") == 2

    @pytest.mark.parametrize(("reason", "by", "expected"), [("dry for years", "owner", ACCEPTED), ("dry", None, NOT_TESTED), (None, "owner", NOT_TESTED)])
    def test_accepted_without_test(self, reason, by, expected):
        job = with_check(without(ready_job(), "mver"), "mver", reason=reason, by=by)
        values = compute(job)

        assert state(values, "mver") == expected
        assert values.column("verdicts.accepted") == (expected == ACCEPTED,)
        assert values.column("verdicts.verdict_no") == (4 if expected == ACCEPTED else 3,)

    def test_what_fails_is_not_accepted_away(self):
        job = with_check(FAILURES["humidity"](ready_job()), "humidity", reason="never mind", by="owner")

        assert state(compute(job), "humidity") == FAIL

    def test_what_passes_needs_no_reason(self):
        job = with_check(ready_job(), "humidity", reason="never mind", by="owner")

        assert state(compute(job), "humidity") == PASS

    def test_readings_of_a_larger_floor(self):
        """1001 ft² take four: ASTM F2170, published."""
        values = compute(changed(ready_job(), "areas", 0, first=1001, second=1))

        assert state(values, "humidity", figure="needed") == 4
        assert state(values, "humidity") == NOT_TESTED
        assert state(values, "absorption") == PASS

    def test_without_an_area_the_first_count(self):
        values = compute(changed(ready_job(), "areas", 0, second=None))

        assert values.column("zones.area") == (None,)
        assert state(values, "humidity", figure="needed") == 3
        assert state(values, "humidity") == PASS

    @pytest.mark.parametrize(
        ("surface", "place", "applying"),
        [
            ("floor", "inside", set(CRITERIA) - {"plastic_sheet"}),
            ("floor", "outside", set(CRITERIA) - {"plastic_sheet", "humidity", "mver", "ph"}),
            ("step", "outside", set(CRITERIA) - {"plastic_sheet", "humidity", "mver", "ph", "level"}),
            ("wall", "inside", set(CRITERIA) - {"plastic_sheet", "humidity", "mver", "ph", "level", "absorption"}),
        ],
    )
    def test_where_a_criterion_applies(self, surface, place, applying):
        values = compute(one_area(zones=(Zone(name="Zone 1", surface=surface, place=place),)))

        assert {code for code in CRITERIA if state(values, code, figure="applies") == 1} == applying
        for code in set(CRITERIA) - applying:
            assert state(values, code) == NOT_ASKED
            assert state(values, code, figure="needed") == 0

    def test_the_plastic_sheet_only_where_it_was_laid(self):
        values = compute(with_reading(ready_job(), "plastic_sheet", 0))

        assert state(values, "plastic_sheet", figure="applies") == 1
        assert state(values, "plastic_sheet") == PASS

    def test_no_limit_asks_for_no_test(self):
        """Whatever the readings say."""
        job = changed(FAILURES["humidity"](ready_job()), "systems", 0, humidity_most=math.inf)
        values = compute(job)

        assert state(values, "humidity") == NOT_ASKED
        assert values.column("verdicts.verdict_no") == (4,)

    def test_not_stated_cannot_pass(self):
        values = compute(changed(ready_job(), "systems", 0, grade=None))

        assert state(values, "profile", figure="source_no") == LIMIT_SOURCES.index("not_stated") + 1
        assert state(values, "profile") == NOT_TESTED


class TestStrength:
    def test_modes_are_not_averaged_together(self):
        """Readings of 300 in the concrete and 150 in the glue: 262.5 on average, but the glue fails. Published, ASTM C1583."""
        values = compute(with_reading(ready_job(), "strength", 150, mode="glue"))

        assert values.column("strength_by_mode.concrete") == (300,)
        assert values.column("strength_by_mode.glue") == (150,)
        assert values.column("strength_by_mode.bond") == (None,)
        assert state(values, "strength", figure="bad") == 1
        assert state(values, "strength") == FAIL

    def test_one_weak_reading_of_a_strong_mean(self):
        """It is beyond its limit for itself, but the mean of its mode decides."""
        values = compute(with_reading(ready_job(), "strength", 150))

        assert values.column("readings.beyond")[-1] == 1
        assert values.column("strength_by_mode.concrete") == (262.5,)
        assert state(values, "strength") == PASS


class TestLooking:
    @pytest.mark.parametrize(
        ("criterion", "change", "expected"),
        [
            ("hollow", {"hollow_area": None}, NOT_TESTED),
            ("cracks", {"moving_cracks": None}, NOT_TESTED),
            ("contamination", {"contaminated": None}, NOT_TESTED),
            ("contamination", {"contaminated": None, "finish": "bare"}, NOT_TESTED),
            ("contamination", {"contaminated": None, "finish": "painted"}, FAIL),
            ("contamination", {"contaminated": "no", "finish": "sealed"}, FAIL),
            ("contamination", {"contaminated": "no", "finish": "bare"}, PASS),
            ("age", {"concrete_age": None}, NOT_TESTED),
            ("age", {"concrete_age": 28}, PASS),
            ("temperature", {"slab_temperature": 50, "concrete_age": 60}, PASS),
            ("temperature", {"slab_temperature": 49.9}, FAIL),
            ("temperature", {"slab_temperature": 90.1}, FAIL),
            ("level", {"doors": None}, NOT_TESTED),
            ("level", {"doors": "yes"}, NOT_TESTED),
        ],
    )
    def test_what_is_known(self, criterion, change, expected):
        assert state(compute(changed(ready_job(), "zones", 0, **change)), criterion) == expected

    def test_a_moving_crack_among_the_joints(self):
        job = changed(with_more(ready_job(), "joints", Joint(kind="moving_crack", length=3)), "zones", 0, moving_cracks="no")

        assert state(compute(job), "cracks") == FAIL

    def test_a_still_crack_is_no_moving_one(self):
        job = changed(with_more(ready_job(), "joints", Joint(kind="still_crack", length=3)), "zones", 0, moving_cracks=None)

        assert state(compute(job), "cracks") == NOT_TESTED

    def test_a_door_that_clears(self):
        job = changed(with_more(ready_job(), "levels", Level(kind="door", now=1)), "zones", 0, doors="yes")

        assert state(compute(job), "level") == PASS

    def test_dew_without_weather(self):
        values = compute(attrs.evolve(ready_job(), weather=()))

        assert state(values, "dew") == state(values, "temperature") == NOT_TESTED

    def test_a_warm_wall_in_cold_air(self):
        """The zone's own temperature comes before the weather's."""
        job = changed(ready_job(), "zones", 0, slab_temperature=75)

        assert compute(job).column("zones.surface_temperature") == (75,)
        assert compute(ready_job()).column("zones.surface_temperature") == (70,)


class TestVerdicts:
    def test_ready(self):
        assert verdict(ready_job()) == (4, 0, 0, 0)

    def test_not_known(self):
        """A quick bid: nothing was looked at; the figures stay."""
        values = compute(one_area())

        assert values.column("verdicts.verdict_no") == (3,)
        assert values.column("verdicts.untested") == (13,)
        assert values.column("verdicts.reason_no") == (0,)
        assert values.scalar("price.total", "accepted") is not None

    def test_worst_first(self):
        """Moisture before hollow: the first that fails is named, and how many more."""
        job = FAILURES["hollow"](FAILURES["ph"](FAILURES["mver"](ready_job())))
        values = compute(job)

        assert verdict(job) == (1, 3, 1, 0)
        assert values.column("verdicts.reason_no") == (CRITERIA.index("mver") + 1,)
        assert [state(values, code, figure="fails_so_far") for code in CRITERIA] == [0, 1, 1, 1, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3]

    def test_a_failure_hides_no_gap(self):
        assert verdict(without(FAILURES["hollow"](ready_job()), "humidity")) == (2, 1, 0, 1)

    def test_zones_apart(self):
        job = with_more(ready_job(), "zones", Zone(name="Wall", surface="wall"))
        values = compute(with_more(job, "readings", Reading(zone="Wall", test="strength", value=90, mode="glue")))

        assert values.column("verdicts.verdict_no") == (4, 1)
        assert values.scalar("checks.slab") == 1

    def test_blank_zones_have_none(self):
        values = compute(with_more(ready_job(), "zones", Zone()))

        for name in ("slab", "verdicts", "repairs", "observed_count", "observed_bad", "observed_source", "times"):
            for full in values:
                if full.startswith(f"{name}."):
                    column = values.column(full)
                    assert set(column[len(column) // 2 :]) == {None}, full

    @pytest.mark.parametrize("criterion", TESTS)
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_a_worse_reading_never_gives_a_better_verdict(self, criterion, system):
        """Worst first: do not cover yet, ready after repair, not known, ready; trade, survey."""
        good, bad = GOOD.get(criterion, 0), WORSE[criterion]
        verdicts = []
        for step in range(21):
            job = with_reading(ready_job(), criterion, good + (bad - good) * step / 20, mode="glue")
            verdicts.append(compute(convert_job(job, system)).column("verdicts.verdict_no")[0])

        assert verdicts == sorted(verdicts, reverse=True)
        assert verdicts[0] == 4
        assert verdicts[-1] < 4

    @pytest.mark.parametrize("applies", [0, 1])
    @pytest.mark.parametrize("have", [0, 2, 3])
    def test_one_more_bad_reading_never_mends(self, applies, have):
        """The same in the rule itself, whatever was accepted."""
        order = [FAIL, NOT_TESTED, ACCEPTED, PASS, NOT_ASKED]
        for was_accepted in (False, True):
            states = [survey.state_no(applies=applies, have=have, needed=3, bad=bad, accepted=was_accepted) for bad in (0, 1, 2)]

            assert [order.index(one) for one in states] == sorted((order.index(one) for one in states), reverse=True)


class TestFewerRecords:
    def test_slab_and_weather_are_padded(self):
        few = compute(attrs.evolve(accepted(one_area()), slab=accepted(one_area()).slab[:3], weather=(Weather(air=70),)))

        assert len(few.column("slab.state_no")) == 14
        assert [state(few, code) for code in CRITERIA[:5]] == [ACCEPTED, ACCEPTED, NOT_ASKED, NOT_TESTED, NOT_TESTED]
        assert few.column("weather.slab_used") == (70, None)

    def test_records_beyond_the_zones_are_left_out(self):
        job = attrs.evolve(one_area(), slab=(SlabCheck(reason="x", by="y"),) * 40, weather=(Weather(),) * 5)
        values = compute(job)

        assert len(values.column("slab.state_no")) == 14
        assert len(values.column("weather.air" if "weather.air" in values else "weather.slab_used")) == 2


def test_every_criterion_has_a_column():
    """The tables that are read by number have the criteria in their order."""
    values = compute(ready_job())
    for block in ("observed_count", "observed_bad", "observed_source"):
        assert [name.partition(".")[2] for name in values if name.startswith(f"{block}.")] == list(CRITERIA)


def test_a_second_system_is_judged_for_itself():
    job = with_more(ready_job(), "systems", ToppingSystem(name="B", humidity_most=60, product="Topping", yield_=0.4, thickness=0.1))

    assert state(compute(job), "humidity") == PASS
    assert state(compute(changed(job, "zones", 0, system="B")), "humidity") == FAIL
