"""What one job tells of the rates, what of it does not count, and how many jobs become one table."""

from __future__ import annotations

import datetime as dt

import attrs
import pytest
from tuned_jobs import past_job

from sheetgen.engine.inputs import convert_job
from sheetgen.engine.job import Job, compute
from sheetgen.engine.present_rates import with_present_rates
from sheetgen.engine.records import Area, HoursEntry
from sheetgen.gathered import gather
from sheetgen.jobfile import starter
from sheetgen.past_work import REASONS, Worked, worked

RATES = starter("us")
DONE = past_job(1, {})


def told(job: Job, rates: Job = RATES, name: str = "a.xlsx", book_id: str = "a") -> Worked:
    return worked(job, rates, workbook=name, book_id=book_id)


def of_task(found: Worked, task: str) -> object:
    return next((one for one in found.hours if one.task == task), None)


def why(found: Worked, task: str | None = None) -> str | None:
    return next((one.code for one in found.left_out if one.task == task), None)


def logged(job: Job, *entries: HoursEntry, instead_of: str = "") -> Job:
    kept = tuple(entry for entry in job.hours_log if entry.task != instead_of)
    return attrs.evolve(job, hours_log=(*kept, *entries))


def with_status(status: str) -> Job:
    return attrs.evolve(DONE, job=attrs.evolve(DONE.job, status=status))


def with_task(job: Job, which: str, /, **changes: object) -> Job:
    return attrs.evolve(job, tasks=tuple(attrs.evolve(task, **changes) if task.name == which else task for task in job.tasks))


class TestHours:
    def test_what_was_logged_stands_beside_what_the_rates_give(self):
        """Grind: set-up 0.75 h, the area at 120 ft²/h."""
        found = of_task(told(DONE), "Grind")
        area = DONE.areas[0].first * DONE.areas[0].second

        assert found.reckoned == pytest.approx(0.75 + area / 120)
        assert found.set_up == pytest.approx(0.75)
        assert found.actual == next(entry.hours_each for entry in DONE.hours_log if entry.task == "Grind")

    def test_the_rates_are_those_of_the_rate_book_and_not_of_the_bid(self):
        bid_otherwise = with_task(DONE, "Grind", rate=40.0, set_up=3.0, wall=9.0)

        assert of_task(told(bid_otherwise), "Grind") == of_task(told(DONE), "Grind")

    def test_a_faster_rate_in_the_rate_book_reckons_fewer_hours(self):
        faster = with_task(RATES, "Grind", rate=240.0, set_up=0.0)
        area = DONE.areas[0].first * DONE.areas[0].second

        assert of_task(told(DONE, faster), "Grind").reckoned == pytest.approx(area / 240)
        assert of_task(told(DONE, faster), "Grind").set_up == 0

    def test_a_task_is_known_by_name_whatever_the_case(self):
        renamed = with_task(RATES, "Grind", name="  gRIND ")

        assert of_task(told(DONE, renamed), "Grind") == of_task(told(DONE), "Grind")

    def test_difficulty_of_the_job_counts(self):
        hard = attrs.evolve(DONE, effort=attrs.evolve(DONE.effort, difficulty=1.5))
        one, other = of_task(told(DONE), "Grind"), of_task(told(hard), "Grind")

        assert (other.reckoned, other.set_up) == pytest.approx((1.5 * one.reckoned, 1.5 * one.set_up))

    def test_set_up_by_the_visit(self):
        found = of_task(told(DONE), "Clean up")

        assert found.set_up == found.reckoned > 0

    def test_a_metric_rate_book_and_a_metric_bid_tell_the_same(self):
        """Unit system does not change hours."""
        metric = told(convert_job(DONE, "metric"), convert_job(convert_job(RATES, "metric"), "us"))

        for one, other in zip(told(DONE).hours, metric.hours, strict=True):
            assert (other.task, other.actual) == (one.task, one.actual)
            assert (other.reckoned, other.set_up) == pytest.approx((one.reckoned, one.set_up))

    def test_part_of_the_area_is_part_of_the_hours(self):
        area = DONE.areas[0].first * DONE.areas[0].second
        log = tuple(attrs.evolve(entry, area_done=None if entry.area_done is None else 0.8 * area) for entry in DONE.hours_log)
        found = of_task(told(attrs.evolve(DONE, hours_log=log)), "Grind")

        assert found.reckoned == pytest.approx(0.8 * of_task(told(DONE), "Grind").reckoned)

    def test_rework_counts(self):
        again = logged(DONE, HoursEntry(date=dt.date(2025, 4, 1), task="Grind", hours_each=2.0, rework="yes"))

        assert of_task(told(again), "Grind").actual == pytest.approx(of_task(told(DONE), "Grind").actual + 2)

    def test_it_ends_with_the_last_day_of_its_log(self):
        later = logged(DONE, HoursEntry(date=dt.date(2026, 1, 9), task="Grind", hours_each=1.0))

        assert told(later).ended == dt.date(2026, 1, 9)


class TestPackages:
    def test_waste_is_that_of_the_rate_book(self):
        """Needed with 5 % waste is 1.05/1.10 of what it is with 10 %."""
        thrifty = attrs.evolve(RATES, takeoff=attrs.evolve(RATES.takeoff, waste=0.05))
        one, other = (next(use for use in told(DONE, rates).used if use.topping) for rates in (RATES, thrifty))

        assert other.bags_needed == pytest.approx(one.bags_needed * 1.05 / 1.10)
        assert other.bags == one.bags

    def test_what_was_not_logged_is_not_known(self):
        assert told(attrs.evolve(DONE, materials_log=())).used == ()


class TestLeftOut:
    @pytest.mark.parametrize("status", ["bid", "sent", "won", "lost", "running"])
    def test_a_job_that_is_not_done(self, status):
        found = told(with_status(status))

        assert (why(found), found.counts) == ("running", False)

    def test_a_job_without_an_area(self):
        """Zero area would make every rate look wrong."""
        assert why(told(attrs.evolve(DONE, areas=()))) == "area"
        assert why(told(attrs.evolve(DONE, areas=(Area(label="Floor", first=0.0, second=4.0),)))) == "area"

    def test_a_job_of_which_less_than_half_was_done(self):
        area = DONE.areas[0].first * DONE.areas[0].second
        log = tuple(attrs.evolve(entry, area_done=None if entry.area_done is None else 0.3 * area) for entry in DONE.hours_log)

        assert why(told(attrs.evolve(DONE, hours_log=log))) == "unfinished"

    def test_hours_under_a_task_that_the_rate_book_does_not_have(self):
        found = told(DONE, with_task(RATES, "Grind", name="Shot-blast"))

        assert (why(found, "Grind"), of_task(found, "Grind")) == ("unknown_task", None)

    def test_a_task_without_a_rate_in_the_rate_book(self):
        assert why(told(DONE, with_task(RATES, "Grind", rate=None)), "Grind") == "no_rates"

    def test_a_task_under_which_nothing_was_logged(self):
        found = told(logged(DONE, instead_of="Grind"))
        left = next(one for one in found.left_out if one.task == "Grind")

        assert (left.code, left.hours) == ("no_hours", None)
        assert left.reckoned == pytest.approx(of_task(told(DONE), "Grind").reckoned)

    def test_hours_for_which_there_was_nothing_to_do(self):
        found = told(logged(DONE, HoursEntry(task="Repair cracks", hours_each=3.0)))
        left = next(one for one in found.left_out if one.task == "Repair cracks")

        assert (left.code, left.hours, left.reckoned) == ("not_reckoned", 3.0, None)

    def test_a_row_of_the_log_that_cannot_be_used(self):
        found = told(logged(DONE, HoursEntry(task="Grind", hours_each=-2.0)))

        assert (why(found, "Grind"), found.log_faults) == ("log_fault", 1)

    def test_a_pour_that_waiting_governed(self):
        """Three people who mix, place and trowel wait for one another."""
        crew = attrs.evolve(DONE.crew, grouping="separate", placers=1.0, mix=5.0, place=25.0, trowel=10.0, second=9.0)
        waited = attrs.evolve(DONE, crew=crew)
        values = compute(waited)
        found = told(waited)

        assert values.column("pours.waiting")[0] > 0.1 * values.column("pours.task_hours")[0]
        assert {one.task for one in found.left_out if one.code == "waiting"} == {"Mix", "Place", "First trowel", "Second trowel"}
        assert of_task(found, "Grind") is not None

    def test_every_reason_has_words(self):
        assert all(words for words, _ in REASONS.values())


class TestSite:
    def test_what_the_book_tells(self):
        found = told(DONE).site

        assert (found.surface, found.grade, found.place) == ("floor", "semi_self_levelling", "inside")
        assert found.crew_size == 1
        assert found.job_size == pytest.approx(DONE.areas[0].first * DONE.areas[0].second)
        assert found.temperature is None

    def test_people_count_by_their_hours(self):
        """Three people for one hour and one for three: six hours, of which three at three hands: 2."""
        some = attrs.evolve(DONE, hours_log=(HoursEntry(task="Grind", people=3.0, hours_each=1.0), HoursEntry(task="Grind", hours_each=3.0)))

        assert told(some).site.crew_size == pytest.approx(2)


class TestPresentRates:
    def test_what_is_the_jobs_own_stays(self):
        own = with_task(DONE, "Grind", zone="Zone 1", used="no", role="Mason", rate=1.0)
        task = next(one for one in with_present_rates(own, RATES).tasks if one.name == "Grind")

        assert (task.zone, task.used, task.role, task.rate) == ("Zone 1", "no", "Mason", 120.0)

    def test_a_task_of_the_job_only_stays_as_it_was(self):
        own = with_task(DONE, "Grind", name="Polish", rate=7.0)

        assert next(one for one in with_present_rates(own, RATES).tasks if one.name == "Polish").rate == 7.0


class TestGathered:
    NAMES = ([task.name for task in RATES.tasks], [product.name for product in RATES.products])

    def test_a_job_that_is_met_twice_counts_once(self):
        """A job logged twice must not move a rate unseen."""
        one, again = told(DONE), told(DONE, name="copy.xlsx")
        found = gather([one, again], *self.NAMES)

        assert found.jobs == (one,)
        assert [(job.workbook, left.code) for job, left in found.left_out if left.task is None] == [("copy.xlsx", "twice")]

    def test_a_copied_book_with_a_number_of_its_own_is_another_job(self):
        other = attrs.evolve(DONE, job=attrs.evolve(DONE.job, number="999"))

        assert len(gather([told(DONE), told(other)], *self.NAMES).jobs) == 2

    def test_tasks_are_numbered_as_in_the_rate_book(self):
        found = gather([told(DONE)], *self.NAMES)
        names = [self.NAMES[0][task] for task in found.hours.task]

        assert names == [one.task for one in found.jobs[0].hours]

    def test_a_product_of_a_job_only_comes_last(self):
        products = tuple(attrs.evolve(one, name="Other mix") if one.name == "Semi-self-levelling mix" else one for one in DONE.products)
        systems = tuple(
            attrs.evolve(one, product="Other mix") if one.product == "Semi-self-levelling mix" else one for one in DONE.systems
        )
        log = tuple(attrs.evolve(one, product="Other mix") if one.product == "Semi-self-levelling mix" else one for one in DONE.materials_log)
        found = gather([told(attrs.evolve(DONE, products=products, systems=systems, materials_log=log))], *self.NAMES)

        assert found.products[-1] == "Other mix"
        assert found.toppings[-1]

    def test_toppings_of_a_job_are_added_up(self):
        found = gather([told(DONE)], *self.NAMES)

        assert found.bags.actual == pytest.approx([sum(one.bags for one in found.jobs[0].used)])

    def test_half_life_counts_from_the_last_day_of_the_log(self):
        job = told(DONE)
        found = gather([job], *self.NAMES, today=job.ended + dt.timedelta(days=365), half_life_days=365.0)

        assert found.hours.weight == pytest.approx(0.5)

    def test_a_job_without_a_date_counts_in_full(self):
        undated = attrs.evolve(DONE, hours_log=tuple(attrs.evolve(entry, date=None) for entry in DONE.hours_log))
        found = gather([told(undated)], *self.NAMES, today=dt.date(2026, 1, 1), half_life_days=30.0)

        assert found.hours.weight == pytest.approx(1)

    def test_no_jobs(self):
        found = gather([], *self.NAMES)

        assert (len(found.hours), found.jobs, found.left_out) == (0, (), ())
