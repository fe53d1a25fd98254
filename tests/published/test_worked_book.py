"""The worked job through a workbook: typed into a book, recalculated, and read where a person would read it."""

from __future__ import annotations

import pytest
from typed_book import TypedBook
from worked_job import worked_job

# Source of every figure: worked by arithmetic from the inputs of the job, by hand.
_FIGURES = (
    ("zones.area", 0, 454.132741, 1e-6),
    ("zones.area", 1, 33.75, 1e-9),
    ("laid.mixed", 0, 5.747618, 1e-6),
    ("laid.mixed", 1, 0.3796875, 1e-9),
    ("topping.bags_raw", 0, 12.772483, 1e-6),
    ("topping.by_volume", 0, 13, 1e-9),
    ("topping.bags", 0, 14, 1e-9),
    ("topping.bags_raw", 1, 0.904018, 1e-6),
    ("topping.by_volume", 1, 1, 1e-9),
    ("topping.bags", 1, 2, 1e-9),
    ("roles.loaded", "Finisher", 41.044, 1e-9),
    ("roles.loaded", "Helper", 31.408, 1e-9),
    ("needs.cost", "Topping A", 539.00, 1e-9),
    ("products.to_buy", "Topping A", 14, 1e-9),
    ("needs.cost", "Topping B", 82.00, 1e-9),
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
    ("needs.cost", "Tape", 7.25, 1e-9),
    ("needs.cost", "Diamonds", 96.00, 1e-9),
    ("pours.batch_area", 0, 76.8, 1e-9),
    ("pours.batches", 0, 7, 1e-9),
    ("pours.batches", 1, 1, 1e-9),
    ("pours.batches", 2, 1, 1e-9),
    ("pours.batch_area", 1, 80.64, 1e-9),
    ("pours.ribbon", 0, 25.6, 1e-9),
    ("pours.ribbons", 0, 6, 1e-9),
    ("pours.strips", 0, 1, 1e-9),
    ("pours.cycle", 0, 10, 1e-9),
    ("pours.peak", 0, 1, 1e-9),
    ("pours.presence", 0, 4.966667, 1e-6),
    ("pours.presence", 1, 0.583333, 1e-6),
    ("pours.task_hours", 0, 3.326479, 1e-6),
    ("pours.task_hours", 1, 0.424242, 1e-6),
    ("pours.waiting", 0, 1.640188, 1e-6),
    ("pours.waiting_cost", 0, 62.05, 1e-9),
    ("pours.waiting", 2, 0.159091, 1e-6),
    ("pours.waiting_cost", 2, 6.02, 1e-9),
    ("labour.hours", "Mask", 2.108333, 1e-6),
    ("labour.cost", "Mask", 66.22, 1e-9),
    ("labour.hours", "Grind", 5.761321, 1e-6),
    ("labour.cost", "Grind", 180.95, 1e-9),
    ("labour.hours", "Prime, first coat", 1.459717, 1e-6),
    ("labour.hours", "Prime, second coat", 0.999092, 1e-6),
    ("labour.cost", "Prime, first coat", 45.85, 1e-9),
    ("labour.cost", "Prime, second coat", 31.38, 1e-9),
    ("labour.hours", "Mix", 2.475, 1e-9),
    ("labour.cost", "Mix", 77.73, 1e-9),
    ("labour.hours", "Place", 1.245765, 1e-6),
    ("labour.cost", "Place", 51.13, 1e-9),
    ("labour.hours", "First trowel", 1.522602, 1e-6),
    ("labour.cost", "First trowel", 62.49, 1e-9),
    ("labour.hours", "Second trowel", 0.999092, 1e-6),
    ("labour.cost", "Second trowel", 41.01, 1e-9),
    ("labour.hours", "Seal, first coat", 1.755896, 1e-6),
    ("labour.cost", "Seal, first coat", 55.15, 1e-9),
    ("labour.hours", "Seal, second coat", 1.248865, 1e-6),
    ("labour.cost", "Seal, second coat", 39.22, 1e-9),
    ("labour.hours", "Clean up", 3.5, 1e-9),
    ("labour.cost", "Clean up", 109.93, 1e-9),
    ("work.hours", 0, 23.075684, 1e-6),
    ("paid.hours", 0, 33, 1e-9),
    ("paid.overtime_hours", 0, 0, 1e-9),
    ("work.idle_hours", 0, 7.965946, 1e-6),
    ("work.idle_cost", 0, 262.73, 1e-9),
    ("price.materials", 0, 1101.80, 1e-9),
    ("price.materials_tax", 0, 71.62, 1e-9),
    ("price.labour", 0, 1097.88, 1e-9),
    ("price.equipment", 0, 95.00, 1e-9),
    ("price.travel", 0, 77.76, 1e-9),
    ("price.direct", 0, 2589.06, 1e-9),
    ("price.overhead", 0, 466.03, 1e-9),
    ("price.contingency", 0, 152.75, 1e-9),
    ("price.cost", 0, 3207.84, 1e-9),
    ("price.asked", 0, 4112.62, 1e-9),
    ("price.net", 0, 4115.00, 1e-9),
    ("price.per_area", 0, 8.4344, 5e-5),
    ("price.margin_had", 0, 0.22045, 5e-6),
    ("payments.payment", 0, 1234.50, 1e-9),
    ("payments.payment", 1, 1646.00, 1e-9),
    ("payments.payment", 2, 1234.50, 1e-9),
    ("contract.total", 0, 4115.00, 1e-9),
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


@pytest.fixture(scope="module")
def sheet(book: TypedBook) -> TypedBook:
    book.type(worked_job())
    return book


@pytest.mark.parametrize(("name", "which", "value", "tolerance"), _FIGURES)
def test_figure(sheet: TypedBook, name: str, which: int | str, value: float, tolerance: float) -> None:
    block = name.split(".", maxsplit=1)[0]
    job = worked_job()
    named = {"needs": job.products, "labour": job.tasks, "products": job.products, "tasks": job.tasks, "roles": job.roles}
    wanted = str(which).casefold().replace(",", "")
    record = which if isinstance(which, int) else next(
        number for number, one in enumerate(named[block]) if str(one.name).casefold().replace(",", "") == wanted
    )  # fmt: skip

    assert sheet.read(name, record) == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize(
    ("batch", "minutes"),
    [(1, (0, 5, 5, 13, 13, 23, 83, 92)), (2, (10, 15, 15, 23, 23, 33, 93, 102)), (7, (60, 65, 65, 73, 73, 83, 143, 152))],
)
def test_minutes_of_a_batch_from_the_opening(sheet: TypedBook, batch: int, minutes: tuple[int, ...]) -> None:
    opening = sheet.read("pours.opening", 0)
    stages = [f"batches.{stage}_{edge}" for stage in ("mix", "place", "trowel", "second") for edge in ("start", "end")]

    assert [sheet.read(name, batch - 1) - opening for name in stages] == pytest.approx(minutes, abs=1e-6)


def test_a_hot_day_wants_another_trowel_hand(sheet: TypedBook) -> None:
    """At 90 °F the second trowel begins while first trowelling goes on: two hands are needed and one is there."""
    cell = sheet.plan.spot("pours", "temperature").cell(0)
    at = (cell.sheet, cell.row + 1, cell.column + 1)
    sheet.calculator.set_all({at: 90.0})
    sheet.calculator.evaluate()
    hot = {name: sheet.read(f"pours.{name}", 0) for name in ("factor", "earliest", "open_limit", "peak", "short")}
    begins = sheet.read("batches.second_start", 0) - sheet.read("pours.opening", 0)
    sheet.calculator.set_all({at: None})
    sheet.calculator.evaluate()

    assert hot["factor"] == pytest.approx(0.447658, abs=1e-6)
    assert hot["earliest"] == pytest.approx(26.859, abs=5e-4)
    assert hot["open_limit"] == pytest.approx(4.477, abs=5e-4)
    assert begins == pytest.approx(49.859, abs=5e-4)
    assert (hot["peak"], hot["short"]) == (2, 1)
