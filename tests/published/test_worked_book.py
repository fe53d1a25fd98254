"""The worked job through a workbook: typed into a book, recalculated, and read where a person would read it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from worked_job import worked_job

from sheetgen.book.compile import compiled
from sheetgen.build import build_bid
from sheetgen.check.calculator import Calculator
from sheetgen.jobfile import starter

# Source of every figure: worked by arithmetic from the inputs of the job, by hand.
_FIGURES = (
    ("zones.area", 0, 454.132741, 1e-6),
    ("zones.area", 1, 33.75, 1e-9),
    ("laid.mixed", 0, 5.747618, 1e-6),
    ("laid.mixed", 1, 0.3796875, 1e-9),
    ("topping.bags_raw", 0, 12.772483, 1e-6),
    ("topping.bags", 0, 13, 1e-9),
    ("topping.bags_raw", 1, 0.904018, 1e-6),
    ("topping.bags", 1, 1, 1e-9),
    ("roles.loaded", "Finisher", 41.044, 1e-9),
    ("roles.loaded", "Helper", 31.408, 1e-9),
    ("needs.need", "Primer", 4.409679, 1e-6),
    ("needs.packages", "Primer", 5, 1e-9),
    ("needs.cost", "Primer", 148.75, 1e-9),
    ("products.to_buy", "Primer", 4, 1e-9),
    ("needs.need", "Colour", 19.981841, 1e-6),
    ("needs.cost", "Colour", 44.80, 1e-9),
    ("needs.need", "Sealer", 3.320679, 1e-6),
    ("needs.cost", "Sealer", 184.00, 1e-9),
    ("needs.need", "Tape", 93.5, 1e-9),
    ("needs.need", "Diamonds", 0.302755, 1e-6),
    ("labour.hours", "Mask", 2.108333, 1e-6),
    ("labour.cost", "Mask", 66.22, 1e-9),
    ("labour.hours", "Grind", 5.761321, 1e-6),
    ("labour.cost", "Grind", 180.95, 1e-9),
    ("labour.hours", "Prime, first coat", 1.459717, 1e-6),
    ("labour.hours", "Prime, second coat", 0.999092, 1e-6),
    ("labour.hours", "Place", 1.245765, 1e-6),
    ("labour.cost", "Place", 51.13, 1e-9),
    ("labour.hours", "First trowel", 1.522602, 1e-6),
    ("labour.hours", "Second trowel", 0.999092, 1e-6),
    ("labour.hours", "Seal, first coat", 1.755896, 1e-6),
    ("labour.hours", "Seal, second coat", 1.248865, 1e-6),
    ("systems.laid", 0, 0.133010, 1e-6),
    ("systems.depth_used", 0, 0.160526, 1e-6),
    ("systems.depth_used_planned", 0, 0.151875, 1e-9),
    ("products.used", "Topping A", 13.5, 1e-9),
    ("products.needed_done", "Topping A", 12.772483, 1e-6),
    ("products.price_variance", "Topping A", 7.00, 1e-9),
    ("products.quantity_variance", "Topping A", 28.01, 1e-9),
    ("tasks.variance", "Grind", 0.738679, 1e-6),
    ("tasks.efficiency", "Grind", 23.20, 1e-9),
    ("tasks.rate_variance", "Grind", 7.83, 1e-9),
)


class Sheet:
    """The book on the bench: typed into as a person would, nothing of the engine in it."""

    def __init__(self, path: Path) -> None:
        from sheetgen.check.meet import contents_of

        build_bid(starter("us"), path, made_on=dt.date(2026, 3, 2), book_id="w")
        self.job = worked_job()
        made = compiled("bid", "us")
        self.plan = made.plan
        contents = contents_of(made, self.job)
        self.calculator = Calculator(path)
        typed = {
            (cell.sheet, cell.row + 1, cell.column + 1): contents.entered(field, place)
            for block, field in self.plan.entered()
            for place, cell in self.plan.places(block, field)
        }
        self.calculator.set_all(typed)
        self.calculator.evaluate()

    def read(self, name: str, record: int) -> Any:
        block, field = name.split(".")
        cell = self.plan.spot(block, field).cell(record, 1)
        return self.calculator.get((cell.sheet, cell.row + 1, cell.column + 1))


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    return Sheet(tmp_path_factory.mktemp("worked") / "worked.xlsx")


@pytest.mark.parametrize(("name", "which", "value", "tolerance"), _FIGURES)
def test_figure(sheet: Sheet, name: str, which: int | str, value: float, tolerance: float) -> None:
    block = name.split(".", maxsplit=1)[0]
    named = {"needs": sheet.job.products, "labour": sheet.job.tasks, "products": sheet.job.products,
             "tasks": sheet.job.tasks, "roles": sheet.job.roles}  # fmt: skip
    wanted = str(which).casefold().replace(",", "")
    record = which if isinstance(which, int) else next(
        number for number, one in enumerate(named[block]) if str(one.name).casefold().replace(",", "") == wanted
    )  # fmt: skip

    assert sheet.read(name, record) == pytest.approx(value, abs=tolerance)
