"""What the customer reads: the words of the page follow the job, and nothing stands there that says nothing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import attrs
import openpyxl
import pytest
from filled_books import LEAST, ROWS, metric_job
from jobs import demo_job

from sheetgen.book.compile import compiled
from sheetgen.book.page import write_page
from sheetgen.book.plan import Place
from sheetgen.check.meet import contents_of
from sheetgen.engine.job import Job
from sheetgen.proposal import SHEET

DAY = dt.date(2026, 3, 2)
TITLES = {"What we will do", "Preparation", "Not included", "Options", "Price", "Payment", "Good to know", "Using the new surface", "Agreed"}


class Page:
    """A page: its rows by the title that stands over them, each cell a value with its number format."""

    def __init__(self, job: Job, path: Path) -> None:
        rows = LEAST if job.system == "metric" else ROWS
        contents = contents_of(compiled("bid", job.system, rows), job)
        write_page(path, contents, contents.plan.book.sheet(SHEET), made_on=DAY, author=job.firm.name or "")
        self.parts: dict[str, list[list[Any]]] = {"": []}
        self.forms: dict[tuple[str, Any], str] = {}
        title = ""
        sheet = openpyxl.load_workbook(path).active
        self.tops = [sheet.cell(one.id + 1, 1).value for one in sheet.row_breaks.brk]
        for row in sheet.iter_rows():
            said = [cell.value for cell in row if cell.value is not None]
            if len(said) == 1 and said[0] in TITLES:
                title = said[0]
                self.parts[title] = []
            elif said:
                self.parts[title].append(said)
                self.forms |= {(title, cell.value): cell.number_format for cell in row if isinstance(cell.value, int | float)}

    def column(self, title: str, column: int) -> list[Any]:
        return [row[column] for row in self.parts[title] if len(row) > column]


Read = Callable[[Job], Page]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    return lambda job: Page(job, tmp_path / "page.xlsx")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Page:
    return Page(demo_job(), tmp_path_factory.mktemp("page") / "page.xlsx")


def coloured(job: Job, colour: str | None) -> Job:
    return attrs.evolve(job, zones=tuple(attrs.evolve(zone, colour=colour) for zone in job.zones))


def test_the_firm_heads_the_page(demo: Page) -> None:
    assert demo.parts[""][:4] == [
        ["Saltmarsh Slab & Surface (invented)"], ["7 Ropewalk Lane, Saltmarsh Cove"],
        ["555-0142 · office@saltmarsh.example · saltmarsh.example"], ["Proposal"],
    ]  # fmt: skip


def test_what_is_not_known_of_the_firm_leaves_no_comma_and_no_point(read: Read) -> None:
    firm = attrs.evolve(demo_job().firm, address_1=None, phone=None, web=None, licence="L-1", tax_number="T-2")

    assert read(attrs.evolve(demo_job(), firm=firm)).parts[""][1:4] == [["Saltmarsh Cove"], ["office@saltmarsh.example"], ["Licence L-1 · Tax number T-2"]]


def test_the_scope_is_said_in_words_and_sizes_in_fractions(demo: Page) -> None:
    assert demo.parts["What we will do"][0] == ["Zone", "Work", "Area, ft²", "Each coat, in"]
    assert demo.column("What we will do", 1)[1:] == [
        "Semi-self-levelling topping on the floor; colour: sea grey; sealed with Water-based sealer",
        "Squeegee topping on the floor, 2 coats; colour: driftwood; sealed with Water-based sealer",
        "Squeegee topping on the steps, 2 coats; colour: driftwood; sealed with Water-based sealer",
        "Vertical topping on the wall, 2 coats; colour: chalk white; sealed with Water-based sealer",
    ]
    assert (demo.forms["What we will do", 0.125], demo.forms["What we will do", 0.0625]) == ("# ?/?", "# ??/??")


def test_a_colour_that_is_not_known_is_still_to_be_chosen(read: Read) -> None:
    said = read(coloured(demo_job(), None)).column("What we will do", 1)[1]

    assert said == "Semi-self-levelling topping on the floor; colour: to be chosen with the sample panel; sealed with Water-based sealer"


def test_the_colour_of_an_accepted_option_stands_in_the_place_of_the_one_asked_for(read: Read) -> None:
    job = demo_job()
    option = attrs.evolve(job.options[0], system=None, colour="Colour, dry", accepted="yes")

    said = read(attrs.evolve(job, options=(option,))).column("What we will do", 1)

    assert "colour: Colour, dry; " in said[1]
    assert "colour: driftwood; " in said[2]


def test_millimetres_are_whole_where_they_are(read: Read) -> None:
    page = read(metric_job())

    assert page.parts["What we will do"][0][2:] == ["Area, m²", "Each coat, mm"]
    assert page.forms["What we will do", page.column("What we will do", 3)[1]] == "0"


def test_what_comes_again_at_each_visit_is_no_step_of_preparing(demo: Page) -> None:
    steps = demo.column("Preparation", 1)

    assert steps[:2] == ["Mask and protect", "Grind"]
    assert "Clean up" not in steps


def test_prices_of_options_have_their_sign(demo: Page) -> None:
    assert demo.parts["Options"][2:] == [
        ["Option 1", "Trowelled finish in the kitchen and hall: a livelier, hand-trowelled surface", -95, "☐"],
        ["Option 2", "Thicker patio: for chairs that are dragged", 475, "☐"],
    ]
    assert {demo.forms["Options", value] for value in (-95, 475)} == {'+#,##0.00;"−"#,##0.00;#,##0.00'}


def test_before_tax_is_said_where_there_is_a_tax_alone(demo: Page, read: Read) -> None:
    taxed = demo_job()
    taxed = attrs.evolve(taxed, policy=attrs.evolve(taxed.policy, price_tax=0.08))

    page = read(attrs.evolve(taxed, options=tuple(attrs.evolve(one, accepted="yes") for one in taxed.options[:1])))

    assert page.column("Options", 1)[1:] == ["Trowelled finish in the kitchen and hall: a livelier, hand-trowelled surface (before tax)"]
    assert page.column("Options", 3)[1:] == ["☑"]
    assert page.column("Price", 1)[1:] == ["the work described above", "Trowelled finish in the kitchen and hall", "before tax", "on the price", "to pay for the work"]
    assert page.forms["Price", -95] == '#,##0.00;"−"#,##0.00'
    assert not any("tax" in str(cell) for rows in demo.parts.values() for row in rows for cell in row)


def test_a_share_stands_beside_its_payment(demo: Page) -> None:
    assert demo.parts["Payment"][1:] == [
        ["Deposit", "on signing", 1983, 0.3], ["Progress", "when the topping is placed", 2644, 0.4], ["Final", "on completion, the rest", 1983],
    ]  # fmt: skip
    assert demo.forms["Payment", 0.3] == "0%"


def test_an_amount_has_no_share_and_one_payment_is_no_rest(read: Read) -> None:
    job = demo_job()
    deposit, _, final = job.payments

    first = read(attrs.evolve(job, payments=(attrs.evolve(deposit, share=None, amount=1000.0), attrs.evolve(final, due=None))))
    assert first.parts["Payment"][1:] == [["Deposit", "on signing", 1000], ["Final", "the rest", 5610]]
    assert read(attrs.evolve(job, payments=(final,))).parts["Payment"][1:] == [["Final", "on completion", 6610]]


def test_without_options_and_payments_their_parts_are_not_there(read: Read) -> None:
    page = read(attrs.evolve(demo_job(), options=(), payments=()))

    assert page.parts.keys() & TITLES == TITLES - {"Options", "Payment"}
    assert page.parts["Price"][-1] == ["Payment", "all of it when the work is complete", 6610]


def test_hours_of_use_are_whole_and_a_system_without_them_has_no_row(demo: Page, read: Read) -> None:
    job = demo_job()
    bare = tuple(
        attrs.evolve(one, foot_traffic=None, full_traffic=None) if one.name == "Squeegee topping" else one for one in job.systems
    )

    assert demo.parts["Using the new surface"][:2] == [["Zone", "Surface", "Walk after, h", "Full use, h"], ["Kitchen and hall", "Semi-self-levelling topping", 24, 72]]
    assert demo.forms["Using the new surface", 24] == "#,##0"
    assert [row[0] for row in read(attrs.evolve(job, systems=bare)).parts["Using the new surface"][1:3]] == ["Kitchen and hall", "Hearth wall"]


def test_a_further_page_begins_with_a_title(demo: Page, read: Read) -> None:
    assert demo.tops == ["Price"]
    assert read(metric_job()).tops == ["Agreed"]


def test_the_crew_reads_the_colour_on_the_day_sheet_and_who_buys_on_the_buy_list() -> None:
    job = demo_job()
    contents = contents_of(compiled("bid", "us", ROWS), attrs.evolve(job, day=attrs.evolve(job.day, visit=2.0)))
    block = contents.plan.book.blocks["day_pours"]
    field = block.field("called")
    assert field is not None

    assert contents.shown(block, field, Place("day_pours", "called", 0, None)) == "1: Kitchen and hall, sea grey"
    shades = contents.plan.book.blocks["shades"]
    said = [contents.value(shades, one, record, None) for record in (0, 1) for one in shades.fields]
    assert said == ["Kitchen and hall", "sea grey", "Patio", "driftwood"]
