"""The rate book: made, filled, copied into bids, compared; what the owner adds works everywhere."""

from __future__ import annotations

import datetime as dt
import random
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import attrs
import openpyxl
import pytest
from click.testing import CliRunner, Result
from jobs import SMALL as OF_JOBS
from jobs import demo_job

from sheetgen.book.compile import compiled, shipped
from sheetgen.book.validate import bounds
from sheetgen.build import build_bid
from sheetgen.check.book import check_form
from sheetgen.check.filled import check_filled
from sheetgen.check.meet import attribute, contents_of
from sheetgen.cli import main
from sheetgen.engine.job import Job, compute
from sheetgen.engine.records import Account, HoursEntry, Line, MaterialsEntry, Product, Task
from sheetgen.findings import Refused, Severity
from sheetgen.jobfile import starter
from sheetgen.rate_changes import changes
from sheetgen.rates import Rates, build_rates, only_rates, rates_of, read_rates, with_rates
from sheetgen.reader.raw import read_raw
from sheetgen.units import SYSTEMS, System

DAY = dt.date(2026, 3, 2)
# A bid takes the row counts of the rate book for what the rate book has.
SMALL = {name: count for name, count in OF_JOBS.items() if name not in {"tasks", "products", "lines", "layers"}}


def made(folder: Path, job: Job, name: str = "rates.xlsx") -> Path:
    """Return a rate book with the rates of a job."""
    build_rates(job, folder / name, made_on=DAY, book_id="x")
    return folder / name


def read_back(folder: Path, job: Job, name: str = "rates.xlsx") -> Rates:
    return read_rates(made(folder, job, name))


def typed(book: Path, change: Callable[[openpyxl.Workbook], None]) -> Path:
    """Return a copy of a book in which a person typed."""
    path = book.with_name(f"typed-{book.name}")
    workbook = openpyxl.load_workbook(book)
    change(workbook)
    workbook.save(path)
    return path


def put(workbook: openpyxl.Workbook, block: str, field: str, record: int, value: object) -> None:
    cell = compiled("rates", "us").plan.spot(block, field).cell(record)
    workbook[cell.sheet].cell(cell.row + 1, cell.column + 1).value = value


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments])


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[System, Path]:
    folder = tmp_path_factory.mktemp("rates")
    return {system: made(folder, starter(system), f"{system}.xlsx") for system in SYSTEMS}


# A new book


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_new_rate_book_passes_every_check(books: dict[System, Path], system: System) -> None:
    checked = check_filled(books[system])

    assert [one.code for one in checked.findings] == ["rates-starter"]
    assert checked.counts.found == checked.counts.recalculated == checked.counts.compared + checked.counts.shows
    assert checked.counts.compared > 3000


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_new_rate_book_keeps_the_rules_of_form(books: dict[System, Path], system: System) -> None:
    plan = compiled("rates", system)
    contents = contents_of(plan, only_rates(starter(system), plan))

    assert [one.line() for one in check_form(read_raw(books[system]), contents, fresh=True)] == []


def test_a_rate_book_has_every_input_of_the_bids_rates() -> None:
    """A field added to Rates or Systems of the bid is in the rate book too."""
    bid, rates = shipped("bid"), {(block.name, field.name) for block, field in compiled("rates", "us").plan.entered()}
    wanted = {
        (part.block, name)
        for sheet in bid.sheets
        if sheet.code in {"rates", "systems"}
        for part in sheet.parts
        for name in part.fields
        if (field := bid.blocks[part.block].field(name)) and field.kind in {"input", "choice"}
    }

    assert wanted <= rates


def test_starter_values_are_marked_until_they_are_replaced(books: dict[System, Path]) -> None:
    def replace(workbook: openpyxl.Workbook) -> None:
        for block, field in (("systems", "data_sheet"), ("roles", "source"), ("lines", "source"), ("equipment", "source")):
            for number in range(len(getattr(starter("us"), block))):
                put(workbook, block, field, number, "own")
        put(workbook, "tasks", "source", 0, "Starter Value")
        put(workbook, "tasks", "source", 1, "measured in May")

    first, then = (read_rates(book).findings for book in (books["us"], typed(books["us"], replace)))

    left = "systems 5, products 14, lines 7, roles 3, tasks 19, equipment 3"
    assert [one.what for one in first] == [f"still holds starter values: {left}"]
    assert [one.what for one in then] == ["still holds starter values: products 14, tasks 18"]
    assert {one.severity for one in (*first, *then)} == {Severity.NOTE}


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_bid_from_an_unchanged_rate_book_is_the_bid_of_the_starter_values(books: dict[System, Path], system: System) -> None:
    # Steps of payment are a job's own: no rate book holds them.
    blank = Job(system=system, payments=starter(system).payments)

    assert with_rates(blank, read_rates(books[system])) == starter(system)


def test_the_same_rates_give_the_same_file(tmp_path: Path) -> None:
    first, second = made(tmp_path, starter("us"), "a.xlsx"), made(tmp_path, starter("us"), "b.xlsx")

    assert first.read_bytes() == second.read_bytes()


# Filled


def randomly(job: Job, dice: random.Random) -> Job:
    """Return a job whose numbers in the rate book are others, some blank, all within their bounds, and some names are wrong."""
    plan = compiled("rates", job.system).plan
    fresh: dict[str, list[Any]] = {}
    for block, field in rates_of(plan):
        held = getattr(job, block.name)
        records = fresh.setdefault(block.name, list(held) if isinstance(held, tuple) else [held])
        name = attribute(field.name)
        if field.name == "name" or "." in field.choices:
            wrong = [dice.choice((None, "Nowhere", "=odd*")) if dice.random() < 0.1 else getattr(one, name) for one in records]
            fresh[block.name] = [attrs.evolve(one, **{name: said}) for one, said in zip(records, wrong, strict=True)]
        if field.unit in {"text", "date", "clock"} or field.kind == "choice":
            continue
        for number, record in enumerate(records):
            least, most = bounds(field, plan)
            value = round(dice.uniform(least, min(most, 0.95 if field.unit == "share" else 50.0)), 4) if most > least else most
            if getattr(record, name) is not None:
                records[number] = attrs.evolve(record, **{name: None if dice.random() < 0.1 else min(max(value, least), most)})
    found = {name: tuple(records) if isinstance(getattr(job, name), tuple) else records[0] for name, records in fresh.items()}
    return attrs.evolve(job, **found)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("seed", range(3))
def test_random_changes_are_read_back(tmp_path: Path, system: System, seed: int) -> None:
    """Write then read gives the same rates, and both witnesses agree on every one of them (else there is no book)."""
    job = randomly(starter(system), random.Random(f"rates {seed}"))

    back = read_back(tmp_path, job)

    assert back.job == only_rates(job, compiled("rates", system))
    assert {one.code for one in back.findings} >= {"check-look", "rates-starter"}


@pytest.mark.office
@pytest.mark.skipif(not (shutil.which("soffice") or shutil.which("libreoffice")), reason="LibreOffice is not installed")
def test_libreoffice_and_engine_say_the_same_of_changed_rates(tmp_path: Path) -> None:
    job = randomly(starter("us"), random.Random("rates in LibreOffice"))

    built = build_rates(job, tmp_path / "rates.xlsx", made_on=DAY, program="libreoffice")

    assert built.counts.compared > 3000


def test_what_belongs_to_one_job_stays_in_the_bid(tmp_path: Path) -> None:
    rates = read_back(tmp_path, attrs.evolve(demo_job(), costs=attrs.evolve(demo_job().costs, per_diem=61.0, freight=999.0)))
    job = with_rates(starter("us"), rates)

    assert (job.costs.per_diem, job.costs.freight) == (61.0, 0)
    assert rates.job.zones == rates.job.areas == rates.job.hours_log == ()
    assert job.crew.first_weekday == 1
    assert job.job == starter("us").job


def test_a_product_without_a_price_says_look(books: dict[System, Path]) -> None:
    book = typed(books["us"], lambda workbook: put(workbook, "products", "price", 1, None))

    rates = read_rates(book)

    assert [(one.code, one.severity) for one in rates.findings] == [("check-look", Severity.LOOK), ("rates-starter", Severity.NOTE)]
    assert "'Squeegee mix': LOOK: price missing" in rates.findings[0].what
    assert rates.findings[0].what in {one.what for one in check_filled(book).findings}


def test_an_old_data_sheet_says_look(tmp_path: Path) -> None:
    job = starter("us")
    systems = (attrs.evolve(job.systems[0], data_sheet_date=dt.date(2021, 5, 1)), *job.systems[1:])

    rates = read_back(tmp_path, attrs.evolve(job, systems=systems, job=attrs.evolve(job.job, bid_date=DAY)))

    assert ["Data sheets are plausible" in one.what for one in rates.findings] == [True, False]


def test_a_rate_that_is_no_number_is_refused(books: dict[System, Path], tmp_path: Path) -> None:
    book = typed(books["us"], lambda workbook: put(workbook, "tasks", "rate", 0, "quick"))

    with pytest.raises(Refused) as refused:
        read_rates(book)
    result = run("bid", tmp_path / "bid.xlsx", "--rates", book)

    assert {one.code for one in refused.value.findings} == {"input-unread"}
    assert result.exit_code == 1
    assert "Tasks and wages!" in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_bid_book_is_no_rate_book(tmp_path: Path) -> None:
    build_bid(starter("us"), tmp_path / "bid.xlsx", made_on=DAY, rows=SMALL)

    with pytest.raises(Refused) as refused:
        read_rates(tmp_path / "bid.xlsx")

    assert [one.code for one in refused.value.findings] == ["stamp-kind"]


# Into a bid


def test_what_the_owner_adds_works_through_bid_hours_and_log(books: dict[System, Path], tmp_path: Path) -> None:
    """A task, product and line typed into the rate book work in hours, materials and log without touching Python."""

    def add(workbook: openpyxl.Workbook) -> None:
        for field, value in {"name": "Polish", "role": "Finisher", "basis": "area", "rate": 200, "set_up": 1}.items():
            put(workbook, "tasks", field, len(starter("us").tasks), value)
        for field, value in {"name": "Polishing pads", "unit": "pad", "size": 10, "price": 80}.items():
            put(workbook, "products", field, len(starter("us").products), value)
        for field, value in {"product": "Polishing pads", "basis": "area", "dose": 1, "per": 100}.items():
            put(workbook, "lines", field, len(starter("us").lines), value)

    rates = read_rates(typed(books["us"], add))
    job = with_rates(starter("us"), rates)
    side = attrs.evolve(demo_job().areas[0], zone=None, shape=None, first=20.0, first_in=None, second=30.0, second_in=None, how_many=None, sign=None)
    job = attrs.evolve(
        job, areas=(side,), hours_log=(HoursEntry(date=DAY, task="Polish", hours_each=5.0),),
        materials_log=(MaterialsEntry(date=DAY, product="Polishing pads", taken=3.0, returned=1.0),),
    )  # fmt: skip
    task, product = len(starter("us").tasks), len(starter("us").products)
    values = compute(job)

    assert [one.code for one in rates.findings] == ["rates-starter"]
    assert (job.tasks[task], job.products[product]) == (
        Task(name="Polish", role="Finisher", basis="area", rate=200.0, set_up=1.0),
        Product(name="Polishing pads", unit="pad", size=10.0, price=80.0),
    )
    assert job.lines[-1] == Line(product="Polishing pads", basis="area", dose=1.0, per=100.0)
    assert values.column("labour.hours", "accepted")[task] == pytest.approx(1 + 600 / 200)
    assert values.column("needs.packages", "accepted")[product] == 1.0
    assert values.column("tasks.variance")[task] == pytest.approx(5 - 4)
    assert values.column("products.used")[product] == pytest.approx(2.0)
    built = build_bid(job, tmp_path / "bid.xlsx", made_on=DAY, rows=SMALL)
    assert built.counts.compared > 0


def test_bid_takes_its_copy_from_the_rate_book(books: dict[System, Path], tmp_path: Path) -> None:
    small = [f"--rows={name}={count}" for name, count in SMALL.items()]
    same = ["--date", DAY.isoformat(), "--id", "x", *small]

    results = [
        run("bid", tmp_path / "starter.xlsx", "--units", "metric", *same),
        run("bid", tmp_path / "rates.xlsx", "--rates", books["metric"], *same),
    ]

    assert [one.exit_code for one in results] == [0, 0]
    assert (tmp_path / "starter.xlsx").read_bytes() == (tmp_path / "rates.xlsx").read_bytes()


def test_rates_in_other_units_are_converted_and_that_is_said(books: dict[System, Path], tmp_path: Path) -> None:
    small = [f"--rows={name}={count}" for name, count in SMALL.items()]

    result = run("bid", tmp_path / "bid.xlsx", "--units", "us", "--rates", books["metric"], *small)

    converted = with_rates(starter("us"), read_rates(books["metric"]).in_system("us"))
    assert result.exit_code == 0
    assert "look rates-units metric.xlsx: is in metric units" in result.output
    assert converted.costs.distance_rate == pytest.approx(0.45 * 1.609344)
    assert check_filled(tmp_path / "bid.xlsx").counts.compared > 0


def test_a_rate_that_other_units_do_not_take_is_named(tmp_path: Path) -> None:
    job = starter("metric")
    rates = read_back(tmp_path, attrs.evolve(job, systems=(attrs.evolve(job.systems[0], bag_mass=100.0), *job.systems[1:])))

    with pytest.raises(Refused) as refused:
        rates.in_system("us")

    cell = compiled("rates", "us").plan.spot("systems", "bag_mass").cell().a1
    assert [(one.code, one.place) for one in refused.value.findings] == [("input-bounds", f"rates.xlsx {cell}")]


def test_a_rate_book_among_jobs_is_passed_over(books: dict[System, Path]) -> None:
    result = run("reconcile", books["us"])

    assert "note book-other us.xlsx: is a rate book" in result.output


def test_a_larger_rate_book_makes_a_larger_bid(tmp_path: Path) -> None:
    job = starter("us")
    many = tuple(Product(name=f"Product {number}", unit="bag", size=1.0, price=1.0) for number in range(60))
    build_rates(attrs.evolve(job, products=(*job.products, *many)), tmp_path / "r.xlsx", made_on=DAY, rows={"products": 80})
    small = [f"--rows={name}={count}" for name, count in SMALL.items()]

    result = run("bid", tmp_path / "bid.xlsx", "--rates", tmp_path / "r.xlsx", *small)

    assert result.exit_code == 0, result.output


def test_a_rate_book_is_never_written_over(books: dict[System, Path]) -> None:
    before = books["us"].read_bytes()

    results = [
        run("bid", books["us"], "--rates", books["us"], "--replace"),
        run("rates", books["us"]),
    ]

    assert [one.exit_code for one in results] == [1, 1]
    assert ["output-input" in results[0].stderr, "output-there" in results[1].stderr] == [True, True]
    assert books["us"].read_bytes() == before


# Compared


def test_compare_says_what_changed_added_and_removed(books: dict[System, Path], tmp_path: Path) -> None:
    job = starter("us")
    products = (attrs.evolve(job.products[0], price=41.25), *job.products[1:-1], Product(name="Pads", unit="pad", size=1.0, price=2.0))
    tasks = (job.tasks[1], attrs.evolve(job.tasks[0], rate=75.0, caution=None), *job.tasks[2:])
    layers = (attrs.evolve(job.layers[0], waste=0.075), *job.layers[1:])
    systems = (attrs.evolve(job.systems[0], humidity_most=float("inf")), *job.systems[1:])
    policy, crew = attrs.evolve(job.policy, price_way="markup"), attrs.evolve(job.crew, opens=0.3125)
    changed = attrs.evolve(job, products=products, tasks=tasks, layers=layers, systems=systems, policy=policy, crew=crew)

    found = changes(read_rates(books["us"]), read_back(tmp_path, changed))

    assert [one.line() for one in found] == [
        "Systems · Limits of the slab · Semi-self-levelling topping · Slab humidity, most: 80 % → no limit",
        "Systems · Layers: primer, colour, sealer · Semi-self-levelling topping, first primer coat, Acrylic primer · Waste: 5 % → 7.5 %",
        "Products and lines · Products · Semi-self-levelling mix · Price: 38.5 $/pkg → 41.25 $/pkg",
        "Products and lines · Products · Pads: added",
        "Products and lines · Products · Plastic sheeting: removed",
        "Tasks and wages · Tasks · Mask and protect · Rate: 60 ft/h → 75 ft/h",
        "Tasks and wages · Tasks · Mask and protect · Caution: heavy bags → blank",
        "Tasks and wages · Crew and pace, for every pour that says nothing else · First batch is mixed at: 08:00 → 07:30",
        "Price policy · Price policy · Price from: margin in price → markup on cost",
    ]


def test_compare_calls_a_text_and_an_account_by_their_kind(books: dict[System, Path], tmp_path: Path) -> None:
    job = starter("us")
    texts = (attrs.evolve(job.texts[0], text="Welcome."), *job.texts[1:])
    changed = attrs.evolve(job, texts=texts, accounts=(Account(account="5100"), *job.accounts[1:]))

    found = changes(read_rates(books["us"]), read_back(tmp_path, changed))

    assert {(one.record, one.kind, one.new) for one in found} == {("opening", "changed", "Welcome."), ("equipment", "added", "")}


def test_a_text_without_a_kind_is_looked_at_on_checks(tmp_path: Path) -> None:
    """The book is built only where both witnesses count it."""
    job = starter("us")

    back = read_back(tmp_path, attrs.evolve(job, texts=(attrs.evolve(job.texts[0], kind=None), *job.texts[1:])))

    assert any(one.code == "check-look" and "Texts of the proposal" in one.what for one in back.findings)


def test_compare_finds_nothing_between_a_book_and_itself(books: dict[System, Path]) -> None:
    result = run("rates", "--compare", books["us"], books["us"], "--json")

    assert result.exit_code == 0
    assert '"changes": []' in result.output


def test_compare_of_two_systems_of_units_converts(books: dict[System, Path]) -> None:
    old, new = read_rates(books["us"]).in_system("metric"), read_rates(books["us"])

    # Only a blank that means one foot is a number in the other system, so it comes back as that.
    assert [one.line() for one in changes(old.in_system("us"), new)] == [
        "Products and lines · Lines: other materials · Tape along edges · Dose is for: 1 ft → blank"
    ]
    assert "rates-units" in run("rates", "--compare", books["us"], books["metric"]).output
