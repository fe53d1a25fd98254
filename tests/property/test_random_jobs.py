"""Formulas against engine: random jobs typed into one book per unit system, recalculated, compared cell by cell."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from jobs import SMALL, demo_job, random_job

from sheetgen.book.compile import compiled
from sheetgen.build import build_bid, too_many
from sheetgen.check.calculator import Calculator
from sheetgen.check.meet import contents_of, expected
from sheetgen.check.values import agree
from sheetgen.engine.job import Job
from sheetgen.jobfile import starter
from sheetgen.units import SYSTEMS, System

DAY = dt.date(2026, 3, 2)
# Jobs in a batch, and batches in each unit system: a few always, many with -m long.
BATCH, ALWAYS, LONG = 10, 1, 100
# Every input is blanked with -m long, one in so many always.
PARTS = 128


class Bench:
    """A book held open in a spreadsheet engine, into which one job after the other is typed."""

    def __init__(self, path: Path, system: System) -> None:
        build_bid(starter(system), path, made_on=DAY, book_id="bench", rows=SMALL)
        self.compiled = compiled("bid", system, SMALL)
        self.calculator = Calculator(path)
        self.typed: dict[tuple[str, int, int], object] = {}

    def differences(self, job: Job) -> list[str]:
        assert too_many(self.compiled, job) == []
        contents = contents_of(self.compiled, job)
        wanted: dict[tuple[str, int, int], object] = {}
        for block, field in self.compiled.plan.entered():
            for place, cell in self.compiled.plan.places(block, field):
                wanted[cell.sheet, cell.row + 1, cell.column + 1] = contents.entered(field, place)
        self.calculator.set_all({cell: value for cell, value in wanted.items() if self.typed.get(cell, "?") != value})
        self.typed = wanted
        self.calculator.evaluate()
        found = []
        for sheet, cells in expected(contents).items():
            for (row, column), one in cells.items():
                got = self.calculator.get((sheet, row, column))
                if not agree(one.value, got):
                    found.append(f"{one.name} {sheet} {row},{column}: engine {one.value!r}, formula {got!r}")
        return found


@pytest.fixture(scope="module")
def benches(tmp_path_factory: pytest.TempPathFactory) -> dict[System, Bench]:
    folder = tmp_path_factory.mktemp("bench")
    return {system: Bench(folder / f"{system}.xlsx", system) for system in SYSTEMS}


@pytest.mark.parametrize("batch", [*range(ALWAYS), *(pytest.param(n, marks=pytest.mark.long) for n in range(ALWAYS, LONG))])
@pytest.mark.parametrize("system", SYSTEMS)
def test_random_jobs_agree(benches: dict[System, Bench], system: System, batch: int) -> None:
    """Both witnesses say the same of every formula cell."""
    bench = benches[system]
    found = []
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        found += [f"seed {seed}: {line}" for line in bench.differences(random_job(seed, system))]

    assert found[:20] == []


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("system", SYSTEMS)
def test_full_build_of_a_random_job(tmp_path: Path, system: System, seed: int) -> None:
    built = build_bid(random_job(9000 + seed, system), tmp_path / "b.xlsx", made_on=DAY, book_id="b")

    assert built.counts.compared + built.counts.shows == built.counts.found == built.counts.recalculated


@pytest.mark.parametrize("part", [0, *(pytest.param(n, marks=pytest.mark.long) for n in range(1, PARTS))])
def test_blanking_any_input_blanks_what_depends_on_it(benches: dict[System, Bench], part: int) -> None:
    """Missing is never zero: blank any one input of a full job and both witnesses say the same, with no error value."""
    bench = benches["us"]
    job = demo_job()
    assert bench.differences(job) == []
    contents = contents_of(bench.compiled, job)
    found = []
    for block, field in [*bench.compiled.plan.entered()][part::PARTS]:
        place = next((p for p, _ in bench.compiled.plan.places(block, field) if contents.entered(field, p) is not None), None)
        if place is None:
            continue
        blanked = _without(job, block.name, field.name, place.record)
        found += [f"{place.name}: {line}" for line in bench.differences(blanked)]

    assert found[:20] == []


def _without(job: Job, block: str, field: str, record: int) -> Job:
    import attrs

    from sheetgen.check.meet import attribute

    held = getattr(job, block)
    if not isinstance(held, tuple):
        return attrs.evolve(job, **{block: attrs.evolve(held, **{attribute(field): None})})
    changed = attrs.evolve(held[record], **{attribute(field): None})
    return attrs.evolve(job, **{block: (*held[:record], changed, *held[record + 1 :])})
