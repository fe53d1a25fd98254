"""Tuning: what is found in past jobs, what is said of it, and what the owner's decision does."""

from __future__ import annotations

import datetime as dt
import functools
import math
from pathlib import Path

import attrs
import pytest
from tuned_jobs import past_job

from sheetgen import tune, tuning_tables, tuning_words
from sheetgen.book.compile import compiled
from sheetgen.engine.inputs import convert_job
from sheetgen.engine.job import Job
from sheetgen.engine.tuning.conditions import Effect
from sheetgen.engine.tuning_figures import tuning_figures
from sheetgen.findings import Refused, Severity
from sheetgen.jobfile import starter
from sheetgen.past_work import Worked, worked
from sheetgen.rate_changes import changes
from sheetgen.rates import Rates, with_rates

DAY = dt.date(2026, 3, 2)
WRONG = {"Grind": 1.5, "Clean up": 0.7}
BASE = starter("us")


def rates_of(job: Job = BASE, tables: tuning_tables.Tables | None = None) -> Rates:
    return Rates(Path("rates.xlsx"), job, compiled("rates", job.system), (), tables or {})


@functools.cache
def by_starter_rates(place: int) -> Worked:
    """What one of JOBS tells of the starter rates; reckoned once for all tests."""
    return told(JOBS[place], BASE)


def told(job: Job, rates: Job) -> Worked:
    return worked(job, rates, workbook=f"{job.job.number}.xlsx", book_id=str(job.job.number))


def learn(jobs: list[Job], rates: Rates | None = None, **options: float) -> tune.Learned:
    if rates is None:
        met = [by_starter_rates(JOBS.index(job)) if job in JOBS else told(job, BASE) for job in jobs]
    else:
        met = [told(job, convert_job(rates.in_use().job, "us")) for job in jobs]
    return tune.learn(((one, ()) for one in met), rates or rates_of(), day=DAY, **options)


def codes(learned: tune.Learned) -> dict[str | None, str]:
    return {
        task.name: code for task, code, jobs in zip(learned.rates.job.tasks, learned.hours.codes, learned.hours.tuned.jobs, strict=True) if jobs
    }


JOBS = [past_job(number, WRONG, waste=1.08) for number in range(12)]


@pytest.fixture(scope="module")
def learned() -> tune.Learned:
    return learn(JOBS)


@pytest.fixture(scope="module")
def tables(learned: tune.Learned) -> tuning_tables.Tables:
    return tuning_tables.tables_of(learned)


class TestWhatIsFound:
    def test_the_rates_that_are_wrong_and_no_other(self, learned: tune.Learned) -> None:
        assert {task for task, code in codes(learned).items() if code == "change"} == set(WRONG)

    def test_by_how_much(self, tables: tuning_tables.Tables) -> None:
        figures = tuning_figures(BASE, tables)
        change = dict(zip([task.name for task in BASE.tasks], figures["tuning.change"], strict=True))

        for task, factor in WRONG.items():
            assert change[task] == pytest.approx(factor - 1, abs=0.1)

    def test_the_waste(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        """10 % in the rate book; 1.10 · 1.08 - 1 = 18.8 % in truth."""
        assert learned.bags.codes == ("change",)
        assert tuning_figures(BASE, tables)["tuning_of.waste_suggested"] == pytest.approx(0.188, abs=0.02)

    def test_it_would_have_bid_past_jobs_better(self, tables: tuning_tables.Tables) -> None:
        figures = tuning_figures(BASE, tables)

        assert figures["tuning_of.error_after"] < 0.5 * figures["tuning_of.error_before"]

    def test_rates_that_were_tuned_leave_nothing_to_tune(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        """A rate book in which the owner said yes, tuned again on the same jobs."""
        again = learn(JOBS, attrs.evolve(learned.rates, tables=tables))

        assert set(codes(again).values()) <= {"keep", "watch"}
        assert again.bags.codes == ("keep",)

    def test_what_the_sheet_computes_is_what_the_engine_found(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        """P50 and P80 of the job of middle size, and the errors of whole jobs, come out the same on both ways."""
        figures, found = tuning_figures(BASE, tables), learned.hours
        number = next(number for number, task in enumerate(BASE.tasks) if task.name == "Grind")

        assert figures["tuning.hours_p50"][number] == pytest.approx(found.tuned.p50[number])
        assert figures["tuning.hours_p80"][number] == pytest.approx(found.tuned.p80[number])
        assert math.log1p(figures["tuning_of.error_after"]) == pytest.approx(found.test.total_after.error[0])
        assert math.log1p(figures["tuning_of.bias_before"]) == pytest.approx(found.test.total_before.bias[0])
        assert figures["tuning_of.inside"] == pytest.approx(found.test.total_inside)

    def test_old_jobs_may_count_less(self) -> None:
        """Grinding became slower half a year ago: with a half-life of a month the new pace is the one suggested."""
        jobs = [past_job(number, {"Grind": 1.0 if number < 6 else 1.6}) for number in range(12)]
        even, recent = learn(jobs), learn(jobs, half_life=14.0)
        grind = next(number for number, task in enumerate(BASE.tasks) if task.name == "Grind")

        assert recent.hours.tuned.centre[grind] > even.hours.tuned.centre[grind] + 0.1


class TestBadData:
    """Nothing that is wrong with the data moves a rate unseen: each is a finding."""

    GRIND = next(number for number, task in enumerate(BASE.tasks) if task.name == "Grind")

    def with_job(self, job: Job, place: int = 3) -> tune.Learned:
        return learn([*JOBS[:place], job, *JOBS[place + 1 :]])

    def of(self, found: tune.Learned, code: str) -> list[str]:
        return [one.line() for one in found.findings if one.code == code]

    def test_hours_under_the_wrong_task(self, learned: tune.Learned) -> None:
        log = tuple(attrs.evolve(entry, task="Grind") if entry.task == "Colour" else entry for entry in JOBS[3].hours_log)
        more = tuple(attrs.evolve(entry, hours_each=9 * entry.hours_each) if entry.task == "Grind" else entry for entry in log)
        found = self.with_job(attrs.evolve(JOBS[3], hours_log=more))

        assert any("103.xlsx" in line and "Grind" in line for line in self.of(found, "tune-odd"))
        assert found.hours.tuned.rest[self.GRIND] == pytest.approx(learned.hours.tuned.rest[self.GRIND], rel=0.06)

    def test_a_job_logged_twice(self, learned: tune.Learned) -> None:
        found = learn([*JOBS, JOBS[3]])

        assert len(self.of(found, "tune-twice")) == 1
        assert found.hours.tuned.rest == pytest.approx(learned.hours.tuned.rest, nan_ok=True)

    def test_zero_area(self) -> None:
        found = self.with_job(attrs.evolve(JOBS[3], areas=()))

        assert len(self.of(found, "tune-area")) == 1
        assert len(found.gathered.jobs) == 11

    @pytest.mark.parametrize(("status", "code", "severity"), [("running", "tune-running", Severity.NOTE), ("bid", "tune-running", Severity.NOTE)])
    def test_an_unfinished_job(self, status: str, code: str, severity: Severity) -> None:
        found = self.with_job(attrs.evolve(JOBS[3], job=attrs.evolve(JOBS[3].job, status=status)))

        assert [one.severity for one in found.findings if one.code == code] == [severity]
        assert len(found.gathered.jobs) == 11

    def test_waiting(self) -> None:
        crew = attrs.evolve(JOBS[3].crew, grouping="separate", placers=1.0, mix=5.0, place=25.0, trowel=10.0)
        found = self.with_job(attrs.evolve(JOBS[3], crew=crew))

        assert any("103.xlsx" in line for line in self.of(found, "tune-waiting"))

    def test_a_task_that_the_rate_book_does_not_have(self) -> None:
        tasks = tuple(attrs.evolve(task, name="Shot-blast") if task.name == "Grind" else task for task in BASE.tasks)
        found = learn(JOBS, rates_of(attrs.evolve(BASE, tasks=tasks)))

        assert len(self.of(found, "tune-unknown-task")) == 12
        assert "Shot-blast" not in codes(found)

    def test_much_work_without_hours(self) -> None:
        log = tuple(entry for entry in JOBS[3].hours_log if entry.task not in {"Grind", "Colour", "Clean up", "Mix"})
        found = self.with_job(attrs.evolve(JOBS[3], hours_log=log))

        assert any("Grind" in line and "103.xlsx" in line for line in self.of(found, "tune-unlogged"))

    def test_rows_of_the_log_that_cannot_be_used(self) -> None:
        log = (*JOBS[3].hours_log, attrs.evolve(JOBS[3].hours_log[0], task="No such task"))
        found = self.with_job(attrs.evolve(JOBS[3], hours_log=log))

        assert any("1 rows" in line for line in self.of(found, "log-rows"))

    def test_no_job_that_counts(self) -> None:
        with pytest.raises(Refused) as refused:
            learn([attrs.evolve(job, job=attrs.evolve(job.job, status="running")) for job in JOBS[:2]])

        none = refused.value.findings[-1]
        assert (none.code, none.what) == ("tune-none", "no job counts: 2 books, the job is not done")
        assert none.mend.startswith("a job counts when its status is done or closed")

    def test_a_clean_history_has_no_findings(self) -> None:
        quiet = [past_job(number, {}, spread=0.03) for number in range(5)]

        assert [one.line() for one in learn(quiet).findings if one.severity > Severity.NOTE] == []


class TestTables:
    def test_a_row_for_each_task_of_the_rate_book(self, tables: tuning_tables.Tables) -> None:
        by_name = dict(zip([task.name for task in BASE.tasks], tables["tuning"], strict=True))

        assert (by_name["Grind"]["code"], by_name["Grind"]["take"], by_name["Grind"]["rate_before"]) == ("change", "yes", 120.0)
        assert (by_name["Colour"]["take"], by_name["Repair cracks"]) == ("no", {})

    def test_too_few_jobs_suggest_nothing(self) -> None:
        few = tuning_tables.tables_of(learn(JOBS[:3]))
        rows = [row for row in few["tuning"] if row]

        assert {row["code"] for row in rows} == {"few"}
        assert all(row.get("rest_factor") is None and row["take"] is None for row in rows)
        assert few["tuning_of"][0]["take_waste"] is None

    def test_every_hour_that_was_logged_counts_or_is_left_out(self, tables: tuning_tables.Tables) -> None:
        logged = sum((entry.people or 1) * entry.hours_each for job in JOBS for entry in job.hours_log)
        told = sum(row["actual"] for row in tables["tuned_rows"]) + sum(row["hours"] or 0 for row in tables["tuned_left_out"])

        assert told == pytest.approx(logged)
        assert sum(row["actual"] for row in tables["tuned_jobs"]) == pytest.approx(sum(row["actual"] for row in tables["tuned_rows"]))

    def test_rows_that_do_not_fit_are_named(self, learned: tune.Learned, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(tuning_tables, "MOST_ROWS", 10)
        fitting, findings = tuning_tables.fitting(tuning_tables.tables_of(learned))

        assert [len(fitting[name]) for name in ("tuned_rows", "tuned_jobs", "tuned_left_out", "tuning")] == [10, 10, 8, len(BASE.tasks)]
        assert [one.what for one in findings] == [
            "shows the last 10 of 12 jobs; those before them count all the same",
            f"shows the last 10 of {len(learned.hours.past)} tasks of jobs; those before them count all the same",
        ]

    def test_nothing_is_cut_off_otherwise(self, tables: tuning_tables.Tables) -> None:
        assert tuning_tables.fitting(tables) == (tables, ())

    def test_conditions_are_told_and_nothing_is_tuned_on_them(self, tables: tuning_tables.Tables) -> None:
        by_name = {row["condition"]: row for row in tables["tuned_conditions"]}

        assert list(by_name) == ["surface", "grade", "place", "temperature", "crew_size", "job_size"]
        assert (by_name["surface"]["code"], by_name["temperature"]["code"]) == ("alike", "few")
        assert "8 are needed" in by_name["temperature"]["words"]


class TestWords:
    def test_a_line_for_each_task(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        said = list(tuning_words.lines(learned, tables))
        grind = next(line for line in said if line.startswith("Grind: "))

        assert "takes 4" in grind or "takes 5" in grind
        assert "rate 120 → " in grind
        assert "ft²/h" in grind
        assert any(line.startswith("Colour: the rate stands (12 jobs") for line in said)
        assert any(line.startswith("No job tells anything of: ") and "Repair cracks" in line for line in said)
        assert any(line.startswith("All suggestions together, on 12 jobs") for line in said)

    def test_three_jobs_hold_their_tongue(self) -> None:
        few = learn(JOBS[:3])
        said = list(tuning_words.lines(few, tuning_tables.tables_of(few)))

        assert "Grind: not enough jobs (3 of 4)" in said
        assert "Waste of topping: not enough jobs (3 of 4)" in said
        assert not any(line.startswith("All suggestions") for line in said)

    @pytest.mark.parametrize(
        ("name", "effect", "system", "words"),
        [
            ("temperature", Effect(9, "explains", 0.01, 0.5, math.log(1.04) / 10), "us", "10 °F more: 4 % more hours"),
            ("temperature", Effect(9, "explains", 0.01, 0.5, math.log(1.04) / 18), "metric", "10 °C more: 4 % more hours"),
            ("job_size", Effect(9, "explains", 0.01, 0.5, -0.1), "us", "twice the area: 7 % fewer hours for the same work"),
            ("crew_size", Effect(9, "explains", 0.01, 0.5, math.log(1.1)), "us", "one more: 10 % more hours"),
            (
                "surface", Effect(9, "explains", 0.01, 0.5, kinds=(("floor", 5, math.log(0.9)), ("wall", 4, math.log(1.2)))), "us",
                "floor 10 % fewer (5 jobs), wall 20 % more (4 jobs)",
            ),
            ("crew_size", Effect(9, "nothing", 0.5, 0.1, 0.0), "us", "explains nothing that chance would not (one more: 0 % more hours)"),
        ],
    )  # fmt: skip
    def test_conditions(self, name: str, effect: Effect, system: str, words: str) -> None:
        assert tuning_words.condition_words(name, effect, system) == words


class TestDecision:
    def test_a_bid_takes_the_rates_in_use(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        rates = attrs.evolve(learned.rates, tables=tables)
        bid = with_rates(starter("us"), rates)
        used = {task.name: task.rate for task in bid.tasks}
        figures = tuning_figures(BASE, tables)
        grind = next(number for number, task in enumerate(BASE.tasks) if task.name == "Grind")

        assert used["Grind"] == figures["tuning.expected_rate"][grind]
        assert used["Colour"] == 400.0
        assert bid.takeoff.waste == figures["tuning_of.waste_used"] == figures["tuning_of.waste_suggested"]

    def test_until_the_owner_says_yes_a_bid_takes_the_present_ones(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        no = {**tables, "tuning": tuple({**row, "take": None} for row in tables["tuning"]), "tuning_of": ({},)}

        assert with_rates(starter("us"), attrs.evolve(learned.rates, tables=no)).tasks == BASE.tasks

    def test_a_metric_bid_takes_them_converted(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        rates = attrs.evolve(learned.rates, tables=tables)
        us, metric = (next(one for one in rates.in_system(system).job.tasks if one.name == "Grind").rate for system in ("us", "metric"))

        assert metric == pytest.approx(us * 0.3048**2)

    def test_compare_names_what_the_decision_changed(self, learned: tune.Learned, tables: tuning_tables.Tables) -> None:
        found = changes(rates_of(), attrs.evolve(learned.rates, tables=tables))

        assert {one.record for one in found if one.field and "Rate" in one.field} >= {"Grind"}
        assert all(one.kind == "changed" for one in found)
