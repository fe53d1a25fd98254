"""A book on the bench: typed into as a person would, recalculated, and read where a person would read it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from jobs import SMALL

from sheetgen.book.compile import compiled
from sheetgen.build import build_bid, too_many
from sheetgen.check.calculator import Calculator
from sheetgen.check.meet import contents_of
from sheetgen.engine.job import Job
from sheetgen.engine.values import SCENARIOS
from sheetgen.jobfile import starter

_ACCEPTED = SCENARIOS.index("accepted")


class TypedBook:
    """A starter book in US units; nothing of the engine is in what it shows."""

    def __init__(self, path: Path) -> None:
        build_bid(starter("us"), path, made_on=dt.date(2026, 3, 2), book_id="w", rows=SMALL)
        self.made = compiled("bid", "us", SMALL)
        self.plan = self.made.plan
        self.calculator = Calculator(path)
        self.typed: dict[tuple[str, int, int], Any] = {}

    def type(self, job: Job) -> None:
        """Type every input of a job, where it differs from what stands there."""
        assert too_many(self.made, job) == []
        contents = contents_of(self.made, job)
        wanted = {
            (cell.sheet, cell.row + 1, cell.column + 1): contents.entered(field, place)
            for block, field in self.plan.entered()
            for place, cell in self.plan.places(block, field)
        }
        self.calculator.set_all({cell: value for cell, value in wanted.items() if self.typed.get(cell, "?") != value})
        self.typed = wanted
        self.calculator.evaluate()

    def read(self, name: str, record: int = 0) -> Any:
        """Return what a cell shows; of the accepted scenario where there are several."""
        block, field = name.split(".")
        cell = self.plan.spot(block, field).cell(record, _ACCEPTED)
        return self.calculator.get((cell.sheet, cell.row + 1, cell.column + 1))
