"""Every book that we build keeps the rules of form that can be tested on a saved file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from jobs import demo_job

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.book import check_form
from sheetgen.check.meet import contents_of
from sheetgen.engine.job import Job
from sheetgen.findings import Finding
from sheetgen.jobfile import starter
from sheetgen.reader.raw import read_raw


@pytest.mark.parametrize("job", [demo_job(), starter("metric")], ids=["demo", "blank metric"])
def test_a_fresh_book_keeps_the_rules_of_form(tmp_path: Path, job: Job) -> None:
    path = tmp_path / "book.xlsx"
    write(path, contents_of(compiled("bid", job.system), job), Stamp.of(compiled("bid", job.system).plan, "x", dt.date(2026, 3, 2)))
    contents = contents_of(compiled("bid", job.system), job)

    found: tuple[Finding, ...] = check_form(read_raw(path), contents, fresh=True)

    assert [one.line() for one in found] == []


def test_template_inputs_are_the_inputs_of_a_job() -> None:
    """An input's name is its place in ``Job``: the template has no other, and the job has no other."""
    import attrs

    of_template = {(block.name, field.name) for block, field in compiled("bid", "us").plan.entered()}
    of_job = {
        (one.name, inner.name.rstrip("_"))
        for one in attrs.fields(Job)
        if "record" in one.metadata
        for inner in attrs.fields(one.metadata["record"])
    }

    assert of_template == of_job


@pytest.mark.parametrize("system", ["us", "metric"])
def test_template_defaults_are_the_defaults_of_a_job(system: str) -> None:
    """Every shown default of a single field is what a new job has."""
    made = compiled("bid", system)
    job = Job(system=system)
    for block, field in made.plan.entered():
        if block.kind == "fields" and field.default:
            held, shown = getattr(getattr(job, block.name), field.name), field.default[system]
            same = held == (shown if isinstance(shown, str) else pytest.approx(shown, rel=1e-12))
            assert same, f"{block.name}.{field.name}"
