"""Options and scenarios: what is matched, which option is heard, and what it makes of a zone. Hand-worked but where said."""

import attrs
import pytest
from engine_jobs import changed, one_area, with_more, worked_job

from sheetgen.engine.inputs import PLAN_ROWS
from sheetgen.engine.job import compute
from sheetgen.engine.records import (
    Area,
    Crew,
    Layer,
    Option,
    Product,
    Role,
    Task,
    ToppingSystem,
    Visit,
    WhatIf,
    Zone,
)
from sheetgen.engine.scenarios import BY_NAME
from sheetgen.engine.values import SCENARIOS

# Two zones of 100 ft² and 60 ft²: A is 1/8 in, B 1/16 in and 1/4 in at most.
TWO = one_area(
    zones=(Zone(name="Hall"), Zone(name="Yard")),
    areas=(Area(first=10, second=10), Area(zone="Yard", first=6, second=10)),
    systems=(
        ToppingSystem(name="A", product="Topping", yield_=0.45, thickness=0.125, thickness_least=0.1, thickness_most=0.2),
        ToppingSystem(name="B", product="Fine", yield_=0.4, thickness=0.0625, thickness_most=0.25, coats=2),
    ),
    products=(
        Product(name="Topping", size=1, price=40),
        Product(name="Fine", size=1, price=50),
        Product(name="Colour", size=1, price=10),
        Product(name="Gloss", size=1, price=30),
    ),
    layers=(
        Layer(system="A", kind="colour", product="Colour", coverage=50, coats=2, waste=0.1),
        Layer(system="A", kind="sealer", product="Gloss", coverage=200),
        Layer(system="A", kind="primer_first", product="Gloss", coverage=400),
    ),
)


def offer(*options, job=TWO):
    return compute(attrs.evolve(job, options=options))


def test_scenarios_in_their_order():
    assert tuple(BY_NAME) == SCENARIOS
    assert [scenario.alone for scenario in BY_NAME.values()] == [0, 0, 1, 2, 3, 4, 5, 6, 0, 0, 0, 0, 0, 0]


class TestFaults:
    @pytest.mark.parametrize(
        ("option", "fault"),
        [
            (Option(name="Fine", zone="Yard", system="B"), 0),
            (Option(system="B"), 1),
            (Option(name="  ", system="B"), 1),
            (Option(name="Fine", zone="Shed", system="B"), 3),
            (Option(name="Fine", system="C"), 4),
            (Option(name="Fine", colour="Paint"), 5),
            (Option(name="Fine", sealer="Paint"), 6),
            (Option(name="Fine", extra_area=10), 7),
            (Option(name="Fine", extra_area=0), 0),
            (Option(name="Fine", zone="Hall", extra_area=10), 0),
            (Option(name="Fine", thickness=0.0999), 8),
            (Option(name="Fine", thickness=0.1), 0),
            (Option(name="Fine", thickness=0.2000001), 0),  # as shown, to 6 places
            (Option(name="Fine", zone="Yard", system="B", thickness=0.24), 0),
            (Option(name="Fine", zone="Yard", system="B", thickness=0.26), 8),
        ],
    )
    def test_fault(self, option, fault):
        assert offer(option).column("options.fault") == (fault,)

    def test_two_of_a_name(self):
        assert offer(Option(name="Fine", system="B"), Option(name=" FINE ", system="A")).column("options.fault") == (2, 2)

    def test_every_zone_counts_for_a_thickness(self):
        """0.22 in is within B, which the Yard has, and not within A, which the Hall has."""
        job = changed(TWO, "zones", 1, system="B")

        assert offer(Option(name="Thick", thickness=0.22), job=job).column("options.fault") == (8,)
        assert offer(Option(name="Thick", zone="Yard", thickness=0.22), job=job).column("options.fault") == (0,)

    def test_more_area_of_the_only_zone_needs_no_name(self):
        values = offer(Option(name="More", extra_area=20), job=one_area())

        assert values.column("options.fault") == (0,)
        assert values.column("laid.area", "option_1") == (120,)
        assert values.column("laid.area", "as_bid") == (100,)

    def test_a_row_with_nothing_but_yes_is_not_begun(self):
        values = offer(Option(accepted="yes"), Option(note="we will see"))

        assert values.column("options.started") == (None, 1)
        assert values.column("options.fault") == (None, 1)
        assert values.column("option_on.on", "accepted") == (None, 0)

    def test_a_faulty_option_that_is_taken_leaves_no_figure(self):
        """What is asked for is not known: no price, rather than one without it."""
        values = offer(Option(name="Fine", system="C", accepted="yes"))

        assert values.scalar("scene.faults", "accepted") == 1
        assert values.column("laid.area", "accepted") == (None, None)
        assert values.scalar("price.net", "accepted") is None
        assert values.column("options.price") == (None,)
        assert values.scalar("contract.net") is None

    def test_a_faulty_option_that_nobody_takes_harms_only_itself(self):
        values = offer(Option(name="Fine", system="C"))

        assert values.scalar("price.net", "accepted") is not None
        assert values.scalar("price.net", "option_1") is None
        assert values.column("options.price_now") == (None,)

    @pytest.mark.parametrize(
        ("option", "idle"),
        [
            (Option(name="Talk", fixed=50), 1),
            (Option(name="Talk", extra_area=0), 1),
            (Option(name="Talk", colour_coverage=80), 1),
            (Option(name="Talk", sealer="Gloss"), 0),
            (Option(name="Talk", system="C"), 0),
        ],
    )
    def test_idle(self, option, idle):
        assert offer(option).column("options.idle") == (idle,)


class TestWhoIsHeard:
    def test_the_last_one_that_says_something(self):
        """Whether it is for one zone or for every zone."""
        values = offer(
            Option(name="1", zone="Hall", system="B", accepted="yes"),
            Option(name="2", system="A", accepted="yes"),
            Option(name="3", zone="Yard", system="B", colour="Gloss", accepted="yes"),
            Option(name="4", zone="Yard", system="A"),
        )

        assert values.column("laid.system_option", "accepted") == (2, 3)
        assert values.column("laid.colour_option", "accepted") == (0, 3)
        assert values.column("laid.system_no", "accepted") == values.column("zones.system_no") == (1, 2)
        assert values.column("zones.typed_system_no") == values.column("laid.system_no", "as_bid") == (1, 1)

    def test_another_system_is_laid_at_its_target(self):
        job = changed(TWO, "zones", 0, thickness=0.15)
        values = offer(Option(name="1", zone="Hall", system="B"), Option(name="2", zone="Hall", system="B", thickness=0.1), job=job)

        assert values.column("laid.depth", "as_bid") == (0.15, 0.125)
        assert values.column("laid.depth", "option_1") == (0.0625, 0.125)
        assert values.column("laid.depth", "option_2") == (0.1, 0.125)
        assert values.column("laid.coats", "option_1") == (2, 1)

    def test_a_thickness_alone_is_not_for_another_option_s_system(self):
        values = offer(Option(name="1", zone="Hall", system="B", accepted="yes"), Option(name="2", thickness=0.18, accepted="yes"))

        assert values.column("laid.depth", "accepted") == values.column("zones.depth") == (0.0625, 0.18)
        assert values.column("zones.typed_depth") == (0.125, 0.125)

    def test_a_zone_must_be_sound_as_typed_and_as_accepted(self):
        thick = changed(TWO, "zones", 0, thickness=0.24)
        values = offer(Option(name="1", zone="Hall", system="B", accepted="yes"), job=thick)

        assert values.column("zones.fault") == (5, 0)

    def test_survey_and_pours_follow_the_accepted_system(self):
        values = offer(Option(name="1", zone="Hall", system="B", accepted="yes"))

        assert values.column("zones.build") == (0.125, 0.125)
        assert values.scalar("planned.pours") == 3
        assert values.column("pours.system_no")[:4] == (2, 2, 1, None)

    def test_area_that_is_added_and_left_out(self):
        values = offer(
            Option(name="1", zone="Yard", extra_area=-10, accepted="yes"),
            Option(name="2", zone="Yard", extra_area=25, accepted="yes"),
            Option(name="3", zone="Yard", extra_area=-60),
        )

        assert values.column("laid.area", "accepted") == (100, 75)
        assert values.column("pours.area")[:2] == (100, 75)
        assert values.column("zones.area") == (100, 60)
        assert values.column("laid.faulty", "option_3") == (0, 1)
        assert values.scalar("price.net", "option_3") is None


class TestSwaps:
    def test_as_many_coats_and_as_much_waste(self):
        """60 ft² at 80 ft² a pack, two coats, 10 % lost: 1.65; the rest of the colour is that of the Hall: 4.4."""
        values = offer(Option(name="1", zone="Yard", colour="Gloss", colour_coverage=80))

        assert values.column("swaps.colour_need", "option_1") == pytest.approx((1.65,), abs=1e-12)
        assert values.column("layer_needs.need", "option_1")[0] == pytest.approx(100 / 50 * 2 * 1.1, abs=1e-12)
        assert values.column("layer_needs.need", "as_bid")[0] == pytest.approx(160 / 50 * 2 * 1.1, abs=1e-12)
        # Gloss: sealer of both zones, primer of both, and the colour of the Yard.
        assert values.column("needs.need", "option_1")[3] == pytest.approx(160 / 200 + 160 / 400 + 1.65, abs=1e-12)
        assert values.column("swaps.colour_need", "as_bid") == (0,)

    def test_without_a_coverage_at_the_rate_of_what_it_replaces(self):
        values = offer(Option(name="1", zone="Yard", colour="Gloss", sealer="Colour"))

        assert values.column("swaps.colour_need", "option_1") == pytest.approx((60 / 50 * 2 * 1.1,), abs=1e-12)
        assert values.column("swaps.sealer_need", "option_1") == pytest.approx((60 / 200,), abs=1e-12)
        # The primer is no sealer: it stays.
        assert values.column("layer_needs.need", "option_1")[1:] == pytest.approx((100 / 200, 160 / 400), abs=1e-12)

    def test_a_system_without_such_a_layer_takes_one_coat(self):
        """B has no colour: 60 ft² at 80 ft² a pack; nothing is known without a coverage."""
        job = changed(TWO, "zones", 1, system="B")
        values = offer(Option(name="1", zone="Yard", colour="Gloss", colour_coverage=80), Option(name="2", zone="Yard", colour="Gloss"), job=job)

        assert values.column("swaps.colour_need", "option_1") == pytest.approx((0.75, 0), abs=1e-12)
        assert values.column("swaps.colour_need", "option_2") == (None, None)
        assert values.scalar("price.net", "option_2") is None


class TestScenes:
    def test_steps(self):
        job = attrs.evolve(changed(TWO, "effort", difficulty=1.2), what_if=WhatIf(waste_step=0.12, difficulty_step=0.25, thickness_step=0.2))
        values = compute(job)

        assert values["scene.waste"] == {of: {"waste_low": 0, "waste_high": 0.22}.get(of, 0.1) for of in SCENARIOS}
        assert values["scene.difficulty"] == pytest.approx({of: {"difficulty_low": 0.9, "difficulty_high": 1.5}.get(of, 1.2) for of in SCENARIOS})
        assert values["scene.depth_factor"] == pytest.approx({of: {"thickness_low": 0.8, "thickness_high": 1.2}.get(of, 1) for of in SCENARIOS})
        assert values.column("laid.depth", "thickness_high") == pytest.approx((0.15, 0.15))

    def test_what_if_without_a_step_is_not_known_and_harms_nothing_else(self):
        values = compute(attrs.evolve(TWO, what_if=WhatIf(waste_step=None)))

        assert values.scalar("price.net", "waste_high") is None
        assert all(values.scalar("price.net", of) is not None for of in SCENARIOS if not of.startswith("waste"))

    def test_only_what_is_laid_grows_with_the_thickness_not_the_fill(self):
        """100 ft² of 1/8 in at 1.15 and 1/50 in of fill, 10 % lost."""
        values = compute(one_area(zones=(Zone(name="Zone 1", fill=0.02),)))

        assert values.column("laid.mixed", "thickness_high") == pytest.approx((100 * (0.125 * 1.15 + 0.02) / 12 * 1.1,))

    def test_side_by_side(self):
        values = compute(attrs.evolve(TWO, options=(Option(name="1", zone="Hall", system="B", accepted="yes"),)))

        assert values.column("what_ifs.net") == tuple(values["price.net"].values())
        assert values.column("what_ifs.bags")[1] == sum(values.column("topping.bags", "accepted"))
        assert values.column("what_ifs.difference")[1] == 0
        assert values.column("what_ifs.difference")[0] == values.scalar("price.net", "as_bid") - values.scalar("price.net", "accepted")


class TestWholeBatches:
    def test_bags_of_other_scenarios_follow_the_planned_batches(self):
        """100 ft² of 1/8 in and 10 %: 2.546 bags, 2 batches of 2 and so 4; 150 ft²: 4 · 1.5 = 6; half bags stay half as planned."""
        job = changed(one_area(), "systems", 0, bags_per_batch=2)
        values = offer(Option(name="More", extra_area=50), job=job)

        assert values.column("topping.batch_bags", "accepted") == values.column("topping.batch_bags", "as_bid") == (4,)
        assert values.column("topping.batch_bags", "option_1") == (6,)
        assert compute(changed(one_area(), "systems", 0, bags_per_batch=1.5)).column("topping.batch_bags", "as_bid") == (3,)
        assert compute(changed(one_area(), "systems", 0, bags_per_batch=0.5)).column("topping.batch_bags", "as_bid") == (3,)

    def test_part_bags_are_taken_off_after_rounding(self):
        job = changed(changed(one_area(), "systems", 0, bags_per_batch=2), "crew", part_bags=1)
        values = offer(Option(name="More", extra_area=30), job=job)

        assert values.column("topping.batch_bags", "option_1") == (5,)  # up(4 · 1.3) - 1

    def test_a_system_that_no_pour_is_planned_for_goes_by_volume(self):
        """B on 100 ft²: 2 coats of 1/16 in, 10 % lost, 0.4 ft³ a bag: 2.865, so 3 bags."""
        values = offer(Option(name="1", zone="Hall", system="B"))

        assert values.column("topping.batch_bags", "option_1")[1] == 0
        assert values.column("topping.bags", "option_1")[1] == 3
        assert values.column("topping.bags", "as_bid")[1] == 0


class TestHours:
    """One person lays 100 ft² in 2 h, waits, and is paid 8 h; the pour is one batch of 30 + 30 + 30 minutes."""

    JOB = one_area(
        roles=(Role(name="Finisher", wage=20),),
        tasks=(Task(name="Lay", role="Finisher", basis="area", rate=50, stage="place"),),
        crew=Crew(mix=60, place=60, trowel=60, second=0, grouping="all", least_paid=0),
        systems=(ToppingSystem(name="A", product="Topping", yield_=0.45, thickness=0.125, bags_per_batch=4),),
        visits=(Visit(kind="pour", people=1, hours=8),),
    )

    def test_as_planned(self):
        values = compute(self.JOB)

        assert values.scalar("work.hours", "accepted") == 2
        assert values.scalar("work.waiting_hours", "accepted") == pytest.approx(1)
        assert values.scalar("work.idle_hours", "accepted") == pytest.approx(5)
        assert values.scalar("price.labour", "as_bid") == values.scalar("price.labour", "accepted")

    def test_waiting_follows_the_batches_and_idle_hours_the_rest(self):
        """150 ft²: 1.5 batches, 3 h of tasks, 1.5 h of waiting, and 5 · 4.5/3 = 7.5 h idle; each in cents. Trade, scenarios."""
        values = offer(Option(name="More", extra_area=50), job=self.JOB)
        wage = values.column("roles.loaded")[0]

        assert values.scalar("work.hours", "option_1") == pytest.approx(3)
        assert values.scalar("work.waiting_hours", "option_1") == pytest.approx(1.5)
        assert values.scalar("work.idle_hours", "option_1") == pytest.approx(7.5)
        assert values.scalar("work.waiting_cost", "option_1") == pytest.approx(1.5 * wage, abs=0.01)
        assert values.scalar("work.idle_cost", "option_1") == round(7.5 * wage, 2)

    def test_difficulty_of_a_scenario_is_on_its_tasks(self):
        values = compute(changed(self.JOB, "effort", difficulty=1.1))

        assert values.scalar("work.hours", "difficulty_high") == pytest.approx(2 * 1.1 * 1.15)
        assert values.scalar("work.waiting_hours", "difficulty_high") == values.scalar("work.waiting_hours", "accepted")

    def test_what_every_visit_takes_too(self):
        """Cleaning 30 minutes a visit by rate is multiplied; set-up a visit is not. Trade, labour."""
        job = with_more(
            self.JOB, "tasks",
            Task(name="Sweep", role="Finisher", basis="visits", rate=2), Task(name="Unload", role="Finisher", set_up=0.5, set_up_per="visit"),
        )  # fmt: skip
        values = compute(job)

        assert values.column("labour.visit_hours", "accepted")[1:] == (0.5, 0.5)
        assert values.column("labour.visit_hours", "difficulty_high")[1:] == pytest.approx((0.575, 0.5))


def test_every_scenario_of_the_worked_job_without_options():
    """As bid, accepted and every option alone are the worked price; nothing is planned twice."""
    values = compute(worked_job())

    for scenario in SCENARIOS[:8]:
        assert values.scalar("price.total", scenario) == 4115
    assert len(values.column("buy.product_no")) == PLAN_ROWS["buy"]
