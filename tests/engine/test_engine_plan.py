"""The pour plan through the job: pours laid out or typed, each fault, days and clocks, checks, bags, and the layers' clock."""

import attrs
import pytest
from engine_jobs import changed, fault, one_area, with_more, worked_job

from sheetgen.engine.job import compute, padded
from sheetgen.engine.records import Area, Crew, Layer, Pour, Product, ToppingSystem, Weather, Zone

JOB = worked_job(afterwards=False)
AUTO = attrs.evolve(JOB, pours=())
MINUTES = Crew(mix=5, place=8, trowel=10, second=9)


def pours(job, *names):
    """Return the figures of all pours there are, one tuple for each name."""
    values = compute(job)
    count = int(values.scalar("planned.pours"))
    return tuple(values.column(f"pours.{name}")[:count] for name in names)


def first(job, name):
    return compute(job).column(f"pours.{name}")[0]


def typed(row, **values):
    """Return a figure of a pour of the worked job with some of its inputs changed."""
    return compute(changed(JOB, "pours", row, **values))


class TestLaidOut:
    def test_every_coat_of_every_zone_in_turn(self):
        zones, coats, systems = pours(AUTO, "zone_no", "coat_no", "system_no")

        assert zones == (1, 2, 2)
        assert coats == (1, 1, 2)
        assert systems == (1, 2, 2)

    def test_a_zone_with_a_fault_is_not_poured(self):
        zones = (Zone(name="A"), Zone(name="B", system="Nobody's"), Zone(name="C"))
        areas = tuple(Area(zone=name, first=10, second=10) for name in "ABC")
        values = compute(one_area(zones=zones, areas=areas))

        assert values.column("pours.zone_no")[:3] == (1, 3, None)
        assert values.column("zones.coats_planned") == (1, 0, 1)
        assert values.scalar("planned.uncovered") == 0

    def test_one_typed_row_ends_it(self):
        values = compute(attrs.evolve(JOB, pours=(Pour(coat=1),)))

        assert values.scalar("planned.typed") == values.scalar("planned.pours") == 1
        assert values.column("zones.uncovered") == (0, 1)
        assert values.scalar("checks.pour_plan") == 1

    def test_blank_rows_between_do_not_count(self):
        job = attrs.evolve(JOB, pours=(Pour(), JOB.pours[0], Pour(), *JOB.pours[1:]))
        values = compute(job)

        assert values.column("pours.started")[:5] == (None, 1, None, 1, 1)
        assert values.column("pours.gap")[:5] == (None, 2, None, 2, 1)
        assert values.scalar("planned.uncovered") == 0

    @pytest.mark.parametrize(("coats", "wrong"), [((1, 2), 0), ((1, 1), 1), ((2, 2), 1), ((1,), 1), ((1, 2, 1), 1)])
    def test_each_coat_once(self, coats, wrong):
        studio, steps, _ = JOB.pours
        job = attrs.evolve(JOB, pours=(studio, *(attrs.evolve(steps, coat=coat) for coat in coats)))

        assert compute(job).scalar("planned.uncovered") == wrong

    def test_more_pours_than_rows_are_looked_at(self):
        """Thirteen zones for twelve pours: the last is not covered."""
        zones = tuple(Zone(name=f"Z{at}") for at in range(13))
        values = compute(one_area(zones=zones, areas=tuple(Area(zone=zone.name, first=10, second=10) for zone in zones)))

        assert values.scalar("planned.pours") == 12
        assert values.scalar("planned.uncovered") == 1
        assert compute(padded(one_area(zones=zones, areas=tuple(Area(zone=zone.name, first=10, second=10) for zone in zones)), {"pours": 13})).scalar("planned.uncovered") == 0


class TestFaults:
    @pytest.mark.parametrize(
        ("values", "expected"),
        [
            ({}, 0),
            ({"zone": "Nowhere"}, 1),
            ({"zone_2": "Nowhere"}, 1),
            ({"zone_3": "Front steps"}, 2),
            ({"coat": 2}, 3),
            ({"coat": 0}, 3),
            ({"coat": 1.5}, 3),
            ({"bags": 0}, 5),
            ({"mixers": 0}, 6),
            ({"trowellers": 1.5}, 6),
            ({"trowellers": 0, "grouping": "all"}, 0),
            ({"mixers": 0, "grouping": "mix_place"}, 0),
            ({"mix": 0, "mixers": 0}, 0),
        ],
    )
    def test_fault(self, values, expected):
        job = changed(JOB, "pours", 0, **values)

        assert fault(job, "pours", 0) == expected
        assert compute(job).column("pours.lost")[0] == (expected > 0)
        assert (compute(job).column("pours.batches")[0] is None) == (expected > 0)

    def test_a_fault_of_its_zone(self):
        assert fault(changed(JOB, "zones", 0, thickness=-1), "pours", 0) in {4, 5}
        assert fault(changed(JOB, "areas", 0, first=None, first_in=None), "pours", 0) == 4

    @pytest.mark.parametrize("change", [{"yield_": None}, {"yield_": 0}])
    def test_batches_that_cannot_be_reckoned(self, change):
        assert fault(changed(JOB, "systems", 0, **change), "pours", 0) == 5

    def test_more_batches_than_rows(self):
        """A bag a batch of 1/100 of the floor: 12.77 bags of 0.45 ft³ are 1278 batches for 300 rows; nor do the steps fit after it."""
        job = changed(JOB, "pours", 0, bags=0.01)
        values = compute(job)

        assert values.column("pours.fault")[:3] == (7, 7, 7)
        assert values.scalar("planned.batches") == 0
        assert compute(padded(job, {"batches": 1300})).column("pours.fault")[:3] == (0, 0, 0)

    def test_without_a_clock_the_batches_stay(self):
        """Prepared visits that are not known leave no day, but bags and batches do not wait for it."""
        job = changed(changed(JOB, "pours", 0, day=None), "crew", people_prepare=None)
        values = compute(job)

        assert values.column("pours.fault")[0] == 8
        assert values.column("pours.batches")[0] == 7
        assert values.column("topping.bags", "accepted") == (14, 2)
        assert values.column("pours.opening")[0] is None
        assert values.column("batches.mix_start")[0] is None
        assert values.column("batches.mix_on")[1] == 10

    def test_bags_by_volume_where_a_pour_is_lost(self):
        values = typed(0, mixers=0)

        assert values.column("topping.lost_pours", "accepted") == (1, 0)
        assert values.column("topping.batch_bags", "accepted") == (None, 2)
        assert values.column("topping.bags", "accepted") == (13, 2)
        assert values.scalar("price.total", "accepted") is None  # what waits is not known

    def test_a_pour_that_is_lost_leaves_those_after_it_without_times(self):
        assert typed(0, mixers=0).column("pours.opening")[:3] == (None, None, None)

    def test_minutes_that_are_missing_are_no_fault(self):
        values = compute(changed(JOB, "crew", trowel=None))

        assert values.column("pours.fault")[:2] == (0, 0)
        assert values.column("pours.batches")[0] == 7
        assert values.column("pours.end")[:2] == (None, None)


class TestSizes:
    def test_part_bags_are_allowed_once_for_each_system(self):
        values = compute(changed(JOB, "crew", part_bags=1))

        assert values.column("topping.batch_bags", "accepted") == (13, 1)
        assert values.column("topping.bags", "accepted") == (13, 1)

    def test_a_bay_that_nobody_measured_is_square(self):
        across, along = pours(AUTO, "bay_across", "bay_along")

        assert across[0] == along[0] == pytest.approx(454.132741**0.5, abs=1e-6)

    def test_its_own_before_the_crews(self):
        job = changed(JOB, "pours", 0, ribbon_width=6, bags=1)

        assert first(job, "width") == 6
        assert first(job, "batch_area") == pytest.approx(38.4)
        assert first(job, "ribbon") == pytest.approx(6.4)
        assert first(job, "batches") == 13  # 12.772483 of one bag

    def test_only_the_first_coat_fills(self):
        job = changed(AUTO, "zones", 1, fill=1 / 32)

        assert pours(job, "depth")[0] == pytest.approx((0.140625, 0.09375, 0.0625))

    def test_zones_in_one_go_share_by_area(self):
        """Three parts of one zone and one of another: 4 of 75 ft², batches of 43.2 ft² with 10 % waste: 7.64, so 8."""
        zones = (Zone(name="A"), Zone(name="B"))
        areas = (Area(zone="A", first=15, second=15), Area(zone="B", first=15, second=5))
        values = compute(one_area(zones=zones, areas=areas, pours=(Pour(zone="A", zone_2="B"),)))

        assert values.column("pours.batches")[0] == 8
        assert values.column("basis.batches", "accepted") == pytest.approx((6, 2))
        assert values.column("basis.pours", "accepted") == pytest.approx((0.75, 0.25))
        assert values.scalar("planned.uncovered") == 0

    def test_weight(self):
        assert first(changed(JOB, "systems", 0, bag_mass=50), "weight") == 14 * 50


class TestDaysAndClocks:
    def test_pours_follow_the_visits_that_prepare(self):
        """10.328463 h by two people in days of 7.5 h are one visit: pours from day 2 on, the second coat a day later."""
        (days,) = pours(AUTO, "day_no")

        assert compute(AUTO).scalar("plan_work.prepare_count") == 1
        assert days == (2, 2, 3)

    def test_a_pour_opens_when_the_trowel_hands_are_free(self):
        """Both at eight: the studio's last first trowelling ends at 9:23."""
        values = typed(1, opens=8 / 24)

        assert values.column("pours.opening")[:2] == (1920, 2003)
        assert values.column("pours.opens_clock")[1] == pytest.approx((9 * 60 + 23) / 1440)

    def test_its_trowelling_meets_the_second_trowelling_of_the_one_before(self):
        """From 9:33 on the steps, and again in the studio from 9:23: two trowel hands for one."""
        values = typed(1, opens=8 / 24)

        assert values.column("pours.peak")[:3] == (2, 2, 1)
        assert values.column("pours.short")[:3] == (1, 1, 0)
        assert values.column("pours.mend_no")[:3] == (5, 5, 0)
        assert values.scalar("checks.pours") == 2

    def test_over_midnight(self):
        """Opened at 22:00 of day 2 it ends 152 min later, at 0:32 of day 3."""
        values = typed(0, opens=22 / 24)

        assert values.column("pours.end_day")[0] == 3
        assert values.column("pours.ends_clock")[0] == pytest.approx(32 / 1440)
        assert values.column("pours.late")[0] == 1  # access ends at 18:00

    @pytest.mark.parametrize(("latest", "late"), [(632, 0), (631, 1)])
    def test_daylight(self, latest, late):
        """The studio ends at 8:00 and 152 min."""
        assert first(changed(JOB, "crew", latest=latest / 1440), "late") == late

    def test_the_longest_is_chosen(self):
        values = compute(JOB)

        assert (values.scalar("planned.longest"), values.scalar("planned.chosen")) == (1, 1)
        assert compute(changed(JOB, "crew", chosen_pour=3)).scalar("planned.chosen") == 3
        assert compute(changed(JOB, "crew", chosen_pour=4)).scalar("planned.chosen") is None


class TestTemperature:
    def at(self, **values):
        return changed(changed(JOB, "pours", 0, temperature=None), "pours", 0, **values)

    @pytest.mark.parametrize(("temperature", "factor"), [(70, 1), (90, 0.447658), (None, 1)])
    def test_of_the_pour(self, temperature, factor):
        assert first(self.at(temperature=temperature), "factor") == pytest.approx(factor, abs=5e-7)

    def test_of_the_weather(self):
        job = attrs.evolve(self.at(), weather=(Weather(air=60, humidity=50, mix=90),))

        assert first(job, "temperature_used") == 90
        assert first(job, "factor") == pytest.approx(0.447658, abs=5e-7)

    def test_the_sun_shortens_the_open_time_only(self):
        job = changed(attrs.evolve(JOB, weather=(Weather(air=70, humidity=50, sun="yes"),)), "systems", 0, sun_factor=0.5, working_time=30)

        assert first(job, "open_limit") == 5
        assert first(job, "working_limit") == 30

    def test_a_temperature_without_its_constant(self):
        job = changed(self.at(temperature=90), "systems", 0, q_hot=None)

        assert first(job, "factor") is None
        assert first(job, "end") is None

    def test_as_warm_as_on_the_data_sheet_needs_no_constant(self):
        assert first(changed(self.at(temperature=70), "systems", 0, q_hot=None, q_cold=None), "factor") == 1

    def test_nothing_known_leaves_the_data_sheet_as_it_is(self):
        job = changed(self.at(), "systems", 0, reference_temperature=None, q_hot=None, q_cold=None)

        assert first(job, "factor") == 1
        assert first(job, "earliest") == 60


class TestVerdicts:
    @pytest.mark.parametrize(
        ("limits", "check", "batch", "mend"),
        [
            ({"working_time": 12.9}, "first_working", 1, 1),
            ({"working_time": 13}, "first_working", 0, 0),
            ({"trowel_limit": 0}, "first_wait", 0, 0),
            ({"open_time": 1.9}, "first_edge", 2, 3),
            ({"second_latest": 68}, "window", 1, 6),
            ({"second_latest": 69}, "window", 0, 0),
            ({"mixing_minutes": 6}, "mixing_short", 1, 8),
            ({"mixing_minutes": 5}, "mixing_short", 0, 0),
        ],
    )
    def test_limits_of_the_data_sheet(self, limits, check, batch, mend):
        """One of each in the studio: placed 13 min after mixing begins, trowelled at once, the next ribbon 2 min later."""
        job = changed(JOB, "systems", 0, **limits)

        assert first(job, check) == batch
        assert first(job, "looks") == (batch > 0)
        assert first(job, "mend_no") == mend

    def test_what_is_not_known_is_nothing_to_look_at(self):
        assert first(JOB, "first_working") is None
        assert first(JOB, "looks") == 0

    def test_ends_meet_only_where_there_are_strips(self):
        """A bay of 6 ft: two ribbons to a strip of 25.6 ft, along 75.7 ft: batch 3 begins 12 min after batch 1 was placed."""
        wide = changed(JOB, "pours", 0, bay_width=6, bay_length=None)

        assert first(wide, "strips") == 3
        assert first(wide, "first_ends") == 3
        assert first(changed(wide, "systems", 0, open_time=12), "first_ends") == 0
        assert first(JOB, "first_ends") == 0
        assert first(JOB, "ends_met") == 7  # but one strip meets no other

    def test_fast_batches_stand(self):
        """Batch 7 is mixed at 30 and placed at 61: 31 min."""
        job = changed(changed(JOB, "crew", pace="fast"), "systems", 0, working_time=30, trowel_limit=3)

        assert first(job, "first_working") == 7
        assert first(job, "first_wait") == 3


class TestLayers:
    waits = (
        Layer(system="System A", kind="primer_first", product="Primer", coverage=250, coats=1, wait=10, window=24),
        Layer(system="System A", kind="primer_more", product="Primer", coverage=250, coats=1, wait=2, window=20),
    )

    def test_primed_the_evening_before(self):
        """Topping at 8:00 of day 2: the second coat by 6:00 and not before 12:00 of day 1; the first by 20:00 of day 1."""
        values = compute(attrs.evolve(JOB, layers=self.waits))

        assert values.column("pours.last_primer_by")[0] == 1440 + 6 * 60
        assert values.column("pours.last_primer_from")[0] == 12 * 60
        assert values.column("pours.first_primer_by")[0] == 20 * 60
        assert values.column("pours.first_primer_by_day")[0] == 1
        assert values.column("pours.first_primer_by_clock")[0] == pytest.approx(20 / 24)

    def test_before_the_first_day(self):
        """At 8:00 of day 1 the first coat belongs to the evening before, day 0."""
        job = changed(attrs.evolve(JOB, layers=self.waits), "pours", 0, day=1)

        assert first(job, "first_primer_by") == -4 * 60
        assert first(job, "first_primer_by_day") == 0
        assert first(job, "first_primer_by_clock") == pytest.approx(20 / 24)

    def test_one_layer_of_two_coats(self):
        job = attrs.evolve(JOB, layers=(attrs.evolve(self.waits[0], coats=2),))

        assert first(job, "last_primer_by") == 1440 - 2 * 60
        assert first(job, "first_primer_by") == 1440 - 12 * 60

    def test_one_coat(self):
        assert first(attrs.evolve(JOB, layers=self.waits[:1]), "first_primer_by") == 1440 - 2 * 60

    def test_without_primer(self):
        assert first(attrs.evolve(JOB, layers=()), "last_primer_by") is None

    def test_afterwards(self):
        """From 10:32 of day 2: sealed after 24 h, walked on after 16, driven on after 72."""
        job = changed(JOB, "systems", 0, topping_wait=24, foot_traffic=16, full_traffic=72)

        assert first(job, "seal_from") == 1920 + 152 + 1440
        assert (first(job, "foot_from_day"), first(job, "foot_from_clock")) == (3, pytest.approx((2 * 60 + 32) / 1440))
        assert first(job, "full_from_day") == 5


class TestCharts:
    def test_bars(self):
        """Batch 2: from 10 min on, mixed 5, placed 8, trowelled 10, 60 min later 9; nothing stands."""
        values = compute(JOB)
        parts = ("lead", "mix", "hold_1", "place", "hold_2", "trowel", "hold_3", "second")

        assert [values.column(f"schedule.{part}")[1] for part in parts] == [10, 5, 0, 8, 0, 10, 60, 9]
        assert [values.column(f"schedule.{part}")[7] for part in parts] == [0] * 8

    def test_who_is_busy(self):
        """After 11·152/59 = 28.34 min: batch 3 is placed since 25, batch 2 trowelled until 33; nobody mixes until 30."""
        values = compute(JOB)

        assert values.column("hands.elapsed")[11] == pytest.approx(28.338983)
        assert [values.column(f"hands.{stage}")[11] for stage in ("mixing", "placing", "trowelling", "second")] == [0, 1, 1, 0]
        assert values.column("hands.elapsed")[59] == 152


class TestBestCrew:
    def test_of_the_chosen_pour(self):
        """Nobody alone or in pairs keeps the studio's edge of 10 min and its trowel hands; three do, one of each being split 7 of
        the list: 1 together, 2 and 3 for two people, 4 to 6 for three, then 1 · 1 · 1."""
        values = compute(JOB)

        assert values.column("best_crew.number") == (1, 2, 3, 4, 5, 6, 7, 8)
        assert values.column("best_crew.split_no")[2] == 7
        assert values.column("crews.cycle")[6] == 10
        assert values.column("crews.time_at_most")[6] == 83
        assert values.column("crews.fails")[6] == 0
        assert values.column("crews.cost")[6] == 187.90  # 298 min at 37.832

    def test_nothing_without_a_pour(self):
        values = compute(changed(JOB, "crew", chosen_pour=9))

        assert set(values.column("crews.fails")) == {None}
        assert set(values.column("best_crew.split_no")) == {None}


def test_a_product_shared_by_two_systems_gets_all_batches():
    system = ToppingSystem(name="B", product="Topping", yield_=0.45, thickness=0.125)
    zones = (Zone(name="Zone 1", system="A"), Zone(name="Zone 2", system="B"))
    job = with_more(one_area(zones=zones, areas=(Area(first=9, second=5), Area(zone="Zone 2", first=9, second=5))), "systems", system)
    job = attrs.evolve(job, products=(Product(name="Topping", unit="bag", size=1, price=40),))

    assert compute(job).column("needs.need", "accepted") == (4,)
