"""A bid inside a person's own workbook: works there, is read back from there, and comes out again."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import openpyxl
import pytest
import xlsxwriter
from click.testing import CliRunner, Result
from features import RESULT
from filled_books import DAY, metric_job
from hosts import FIRM, ROWS, invalid, parts_of, save
from jobs import OF_STARTER
from PIL import Image

from sheetgen import post, reconcile
from sheetgen.build import picture_in
from sheetgen.check.calculator import Calculator
from sheetgen.check.compare import Counts
from sheetgen.check.filled import check_filled
from sheetgen.cli import main
from sheetgen.engine.job import compute
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.host.add import Added, add
from sheetgen.host.take_out import take_out
from sheetgen.reader import ours
from sheetgen.reader.filled import read_each, read_filled
from sheetgen.reader.limits import HOST
from sheetgen.reader.prefixes import sheets_of_ours
from sheetgen.reader.raw import read_raw


def codes(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.code for finding in findings]


def refused(*arguments: object, **more: object) -> list[str]:
    with pytest.raises(Refused) as caught:
        add(*arguments, **more)  # type: ignore[arg-type]
    return codes(caught.value.findings)


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments])


def test_the_host_names_what_the_bid_computes(one: Path) -> None:
    job = read_filled(one)
    from sheetgen.check.meet import job_of

    price = compute(job_of(job.entries, "metric")).in_system("metric").scalar("price.total", "accepted")
    assert price is not None
    sheet = Calculator(one)
    sheet.evaluate()

    assert sheet.get(("Summary", 1, 2)) == pytest.approx(price)
    assert sheet.get(("Summary", 2, 2)) == pytest.approx(round(price / 2, 2))
    assert sheet.get(("Summary", 4, 2)) == 9.0


def test_what_is_taken_over_follows_the_cell_of_the_host(one: Path) -> None:
    sheet = Calculator(one)
    waste = sheet.place("Job_7_takeoff_waste")
    for value in (0.25, 0.0, None, "x"):
        sheet.set(("Customers", 5, 2), value)
        sheet.evaluate()
        assert sheet.get(waste) == value


def test_linked_inputs_are_read_from_the_host(one: Path) -> None:
    filled = read_filled(one)

    assert filled.entries["job", "customer"] == ("Ann Example",)
    assert filled.entries["takeoff", "waste"] == (0.125,)
    assert filled.entries["areas", "first"][0] == 5.5
    assert {place.name for place in filled.links} == {"job.customer", "takeoff.waste", "areas.first"}
    assert filled.raw.locked("Job 7 Takeoff", *[number + 1 for number in filled.compiled.plan.spot("takeoff", "waste").cell()[1:]])
    assert codes(filled.findings) == []


def test_a_link_whose_cell_changed_without_a_recalculation_is_stale(one: Path, tmp_path: Path) -> None:
    parts = parts_of(one)
    parts["xl/worksheets/sheet2.xml"] = parts["xl/worksheets/sheet2.xml"].replace(b"0.125", b"0.5")
    found = check_filled(save(parts, tmp_path / "stale.xlsx")).findings

    assert "stored-stale" in codes(found)
    assert any("takeoff.waste stores 0.125, recalculated 0.5" in finding.what for finding in found)


def test_the_combined_book_checks_out(one: Path) -> None:
    checked = check_filled(one)

    assert [finding for finding in checked.findings if finding.severity is Severity.ERROR] == []
    assert checked.counts.compared > 1000
    assert invalid(one) == ""


def test_the_host_was_not_touched(host: Path, one: Path) -> None:
    before, after = parts_of(host), parts_of(one)
    changed = {"[Content_Types].xml", "xl/_rels/workbook.xml.rels", "xl/workbook.xml", "xl/styles.xml", "xl/calcChain.xml"}

    assert {name for name in before if after.get(name) != before[name]} == changed


def test_fields_say_what_is_linked(one: Path) -> None:
    fields = {field["name"]: field for field in json.loads(run("fields", one, "--json").output)["fields"]}

    assert fields["takeoff.waste"]["kind"] == "linked"
    assert fields["takeoff.waste"]["sheet"] == "Job 7 Takeoff"
    assert fields["job.name"]["kind"] == "input"


def test_a_bid_that_is_used_stays_unless_its_figures_may(host: Path, one: Path, tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        take_out(one, tmp_path / "no.xlsx")
    assert [finding.place for finding in caught.value.findings] == ["office-7.xlsx Summary!B1", "office-7.xlsx Summary!B3"]

    sheet = Calculator(one)
    sheet.evaluate()
    clean = take_out(one, tmp_path / "clean.xlsx", leave=True)

    assert codes(clean.findings) == ["host-figure", "host-figure"]
    left = read_raw(clean.path)
    assert [tab.name for tab in left.sheets] == [tab.name for tab in read_raw(host).sheets]
    assert left.cell("Summary", 1, 2)[:3] == (sheet.get(("Summary", 1, 2)), "number", None)
    assert left.cell("Summary", 3, 2)[:3] == ("Price", "text", None)
    assert left.cell("Summary", 2, 2).formula is not None
    before, after = parts_of(host), parts_of(clean.path)
    assert {name for name in before if before[name] != after[name]} == {
        "xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/calcChain.xml",
    }  # fmt: skip
    assert invalid(clean.path) == ""


def test_a_rule_or_a_name_that_uses_the_bid_is_named(one: Path, tmp_path: Path) -> None:
    parts = parts_of(one)
    rule = b'<conditionalFormatting sqref="A1"><cfRule type="expression" priority="1"><formula>%b&gt;1</formula></cfRule></conditionalFormatting>'
    sheet = "xl/worksheets/sheet2.xml"
    parts[sheet] = parts[sheet].replace(b"<pageMargins", rule % RESULT.encode() + b"<pageMargins")
    name = b"<definedName name=\"mine\">'Job 7 Price'!$B$4</definedName>"
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b"<definedNames>", b"<definedNames>" + name)
    with pytest.raises(Refused) as caught:
        take_out(save(parts, tmp_path / "used.xlsx"), tmp_path / "no.xlsx", leave=True)

    assert codes(caught.value.findings) == ["host-uses-elsewhere", "host-uses-elsewhere"]
    assert "sheet 'Customers'" in caught.value.findings[0].place
    assert "name mine" in caught.value.findings[1].place
    assert not (tmp_path / "no.xlsx").exists()


def test_a_sheet_of_the_bid_under_another_name_is_named(one: Path, tmp_path: Path) -> None:
    parts = parts_of(one)
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b'name="Job 7 Price"', b'name="Mine"').replace(b"'Job 7 Price'!", b"Mine!")
    with pytest.raises(Refused) as caught:
        take_out(save(parts, tmp_path / "renamed.xlsx"), tmp_path / "no.xlsx", leave=True)

    assert codes(caught.value.findings) == ["sheet-renamed"]


def test_two_jobs_in_one_file_are_read_checked_and_compared(two: Path) -> None:
    assert [(filled.prefix, filled.stamp.book_id) for filled in read_each(two)] == [("Job 7 ", "seven"), ("Job 8 ", "eight")]
    checked = check_filled(two)
    assert [finding for finding in checked.findings if finding.severity is Severity.ERROR] == []
    assert checked.counts.others == 3

    compared = reconcile.reconcile([two])
    assert [(row["workbook"], row["job_number"]) for row in compared.tables["jobs"]] == [
        ("office-78.xlsx Job 7", "M-1"), ("office-78.xlsx Job 8", "M-2"),
    ]  # fmt: skip
    prices = [row["price"] for row in compared.tables["jobs"]]
    assert prices[1] > prices[0] > 0


def test_two_jobs_in_one_file_are_posted_each(two: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"
    outcomes, _ = post.post([two], ledger, day=DAY)
    again, _ = post.post([two], ledger, day=DAY)

    assert [(outcome.became, outcome.job_number) for outcome in outcomes] == [("posted", "M-1"), ("posted", "M-2")]
    assert [outcome.became for outcome in again] == ["unchanged", "unchanged"]


def test_one_of_two_is_taken_out_by_its_prefix(one: Path, two: Path, tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        take_out(two, tmp_path / "no.xlsx")
    assert codes(caught.value.findings) == ["book-several"]
    with pytest.raises(Refused) as caught:
        take_out(two, tmp_path / "no.xlsx", prefix="Job 9 ")
    assert codes(caught.value.findings) == ["prefix-unknown"]

    assert parts_of(take_out(two, tmp_path / "one.xlsx", prefix="Job 8 ").path) == parts_of(one)


def test_a_book_with_several_is_not_read_as_one(two: Path) -> None:
    with pytest.raises(Refused) as caught:
        read_filled(two)

    assert codes(caught.value.findings) == ["book-several"]


def test_clashes_name_both(one: Path, tmp_path: Path) -> None:
    found = refused(one, tmp_path / "no.xlsx", metric_job(), made_on=DAY, prefix="JOB 7 ")
    assert set(found) == {"host-sheet", "host-name"}

    book = openpyxl.Workbook()
    book.active.title = "Summary"
    book.create_sheet("start")
    book.defined_names["price_total"] = openpyxl.workbook.defined_name.DefinedName("price_total", attr_text="Summary!$B$4")
    table = openpyxl.worksheet.table.Table(displayName="Zones_name", ref="D1:D3")
    table.displayName = "takeoff_waste"
    book["Summary"].add_table(table)
    book["Summary"]["D1"] = "head"
    path = tmp_path / "clash.xlsx"
    book.save(path)
    with pytest.raises(Refused) as caught:
        add(path, tmp_path / "no.xlsx", metric_job(), made_on=DAY)
    said = {finding.what for finding in caught.value.findings}
    assert "has a sheet 'start', as the bid's 'Start'" in said
    assert "has a name 'price_total', as the bid's name 'price_total'" in said
    assert "has a table 'takeoff_waste', as the bid's name 'takeoff_waste'" in said


@pytest.mark.parametrize("prefix", ["Job/7 ", "Job:7", "x" * 17, " Job", "  ", "it's "])
def test_a_prefix_that_no_sheet_may_have(prefix: str, host: Path, tmp_path: Path) -> None:
    assert refused(host, tmp_path / "no.xlsx", metric_job(), made_on=DAY, prefix=prefix) == ["prefix-wrong"]


@pytest.mark.parametrize(
    ("link", "code"),
    [
        ("customer", "link-cell"), ("customer=B4", "link-cell"), ("customer=Customers!B4:B5", "link-cell"),
        ("customer=Nowhere!B4", "link-sheet"), ("price=Customers!B4", "link-field"), ("areas.first=Customers!B6", "link-row"),
        ("areas.first[99]=Customers!B6", "link-row"), ("takeoff.waste=Customers!B7", "input-unread"),
        ("takeoff.waste=Customers!B6", "input-bounds"), ("customer=Customers!D99", ""), ("zones.surface[1]=Customers!B4", "link-choice"),
        ("takeoff.waste=Summary!B1", "input-unread"), ("customer=Customers!B4 customer=Customers!B4", "link-twice"),
    ],
)  # fmt: skip
def test_links_that_cannot_be(link: str, code: str, host: Path) -> None:
    from sheetgen.book.compile import compiled
    from sheetgen.host import link as linking

    made = compiled("bid", "metric", ROWS, prefix="Job 7 ")
    found: list[str] = []
    try:
        linking.take_over(metric_job(), made, linking.places(link.split(" "), made, ("Summary", "Customers")), host)
    except Refused as caught:
        found = codes(caught.findings)
    assert found == ([code] if code else [])


def test_the_picture_of_the_firm_stands_beside_that_of_the_person(host: Path, one: Path) -> None:
    before, after = parts_of(host), parts_of(one)

    assert [name for name in before if "/media/" in name] == ["xl/media/image1.png"]
    assert after["xl/media/image1.png"] == before["xl/media/image1.png"]
    assert after["xl/media/image2.png"] == FIRM.data
    assert picture_in(read_filled(one).raw, read_filled(one).compiled.plan) == FIRM


def test_a_link_to_what_follows_from_the_bid_is_a_circle(tmp_path: Path) -> None:
    """Over two sheets of the person's, with figures stored that look well; the second cell shares the formula of the first."""
    book = xlsxwriter.Workbook(tmp_path / "circle.xlsx")
    summary, customers = book.add_worksheet("Summary"), book.add_worksheet("Customers")
    summary.write_formula("B1", "=Job_7_price_total*0", None, 0)
    customers.write_formula("B4", "=Summary!A1", None, 0)
    customers.write_formula("C4", "=Summary!B1", None, 0.125)
    book.close()
    parts = parts_of(tmp_path / "circle.xlsx")
    sheet = parts["xl/worksheets/sheet2.xml"].replace(b"<f>Summary!A1</f>", b'<f t="shared" ref="B4:C4" si="0">Summary!A1</f>')
    parts["xl/worksheets/sheet2.xml"] = sheet.replace(b"<f>Summary!B1</f>", b'<f t="shared" si="0"/>')
    more = {"made_on": DAY, "rows": ROWS, "prefix": "Job 7 ", "links": ["takeoff.waste=Customers!C4"]}
    with pytest.raises(Refused) as caught:
        add(save(parts, tmp_path / "host.xlsx"), tmp_path / "no.xlsx", metric_job(), **more)
    told = [finding.what for finding in caught.value.findings if finding.code == "circle"]

    assert len(told) == 1
    assert "Job 7 Takeoff!B9 → Customers!C4 → Summary!B1 → Job 7 Price!" in told[0]
    assert not (tmp_path / "no.xlsx").exists()


def test_commands_say_what_they_did(host: Path, tmp_path: Path) -> None:
    rows = [f"--rows={name}={count}" for name, count in {**ROWS, **OF_STARTER}.items()]
    out, firm = tmp_path / "new.xlsx", tmp_path / "firm.jpg"
    Image.new("RGB", (30, 12), "teal").save(firm)
    links = ["--link", "customer = Customers!B4", "--link", "areas.first[1]=customers!$b$6"]
    added = run(
        "add", host, "--out", out, "--prefix", "Bid ", "--date", "2026-03-02", "--id", "b", *rows, "--picture", firm, *links
    )
    assert added.exit_code == 0, added.output
    made, *lines = added.output.splitlines()
    assert made.startswith(f"made {out}: ")
    sheets = [tab.name for tab in read_raw(out).sheets if tab.name.startswith("Bid ")]
    assert lines[:4] == [
        f"{len(sheets)} sheets were added behind 'Chart': 'Bid Start' to 'Bid Checks'", "customer is taken from Customers!B4",
        "areas.first[1] is taken from Customers!B6", "in a cell of yours, =Bid_price_total is the price",
    ]  # fmt: skip
    assert "Bid_price_total" in read_raw(out).names
    assert "Ann Example" not in added.output
    assert run("add", host, "--out", out, "--prefix", "Bid ").exit_code == 1
    assert "is the workbook that is read" in run("add", host, "--out", host, "--replace").output

    assert "xl/media/image1.jpeg" in parts_of(out)
    taken = run("take-out", out, "--out", tmp_path / "clean.xlsx")
    assert taken.exit_code == 0, taken.output
    assert parts_of(tmp_path / "clean.xlsx") == parts_of(host)
    assert "holds no sheets of a bid" in run("take-out", host, "--out", tmp_path / "no.xlsx").output


def test_programs_are_told_the_same(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The addition itself is tested above: here stands in for it what it returns."""
    told = Added(tmp_path / "new.xlsx", Counts(found=7), (), ("Bid Start", "Bid Checks"), "Summary", {"customer": "A!B4"}, "=Bid_price_total")
    monkeypatch.setattr("sheetgen.host.add.add", lambda *_, **__: told)
    said = json.loads(run("add", "host.xlsx", "--out", tmp_path / "new.xlsx", "--prefix", "Bid ", "--json").output)

    assert said.pop("counts")["found"] == 7
    assert said == {
        "book": str(tmp_path / "new.xlsx"), "sheets": ["Bid Start", "Bid Checks"], "behind": "Summary", "prefix": "Bid ",
        "links": {"customer": "A!B4"}, "price": "=Bid_price_total", "findings": [],
    }  # fmt: skip


def test_a_workbook_that_is_more_than_a_book_may_be_is_read_by_our_sheets(one: Path, tmp_path: Path) -> None:
    parts = {**parts_of(one), "xl/connections.xml": b"never parsed"}
    filled = read_filled(save(parts, tmp_path / "connected.xlsx"))

    assert filled.entries["takeoff", "waste"] == (0.125,)
    assert codes(filled.findings) == []


def test_a_workbook_in_which_something_is_linked_is_read_by_our_sheets_and_a_few_cells(one: Path, tmp_path: Path) -> None:
    """What is taken over and the person's formulas are read, and nothing else; where that is too much, it is said so."""
    path = save({**parts_of(one), "xl/connections.xml": b"never parsed"}, tmp_path / "connected.xlsx")
    raw = read_filled(path).raw
    customers, sales = raw.sheet("Customers"), raw.sheet("Sales")
    assert customers is not None
    assert sales is not None

    assert list(customers.cells) == [(4, 2), (5, 2), (6, 2)]
    assert all(cell.formula is not None for cell in sales.cells.values())
    assert len(sales.cells) == 5


def test_what_makes_a_workbook_with_a_bid_too_large_is_said(one: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = save({**parts_of(one), "xl/connections.xml": b"never parsed"}, tmp_path / "connected.xlsx")
    cells = read_raw(path, HOST, sheets_of_ours).inspected.tally.cells
    monkeypatch.setattr(ours, "HOST", attrs.evolve(HOST, cells=cells))
    with pytest.raises(Refused) as caught:
        read_filled(path)

    assert codes(caught.value.findings) == ["book-cells"]


def test_a_book_of_its_own_may_still_hold_nothing_that_acts(tmp_path: Path) -> None:
    from filled_books import put
    parts = {**parts_of(put(metric_job(), tmp_path / "bid.xlsx", "x", ROWS)), "xl/connections.xml": b"never parsed"}
    path = save(parts, tmp_path / "connected.xlsx")
    with pytest.raises(Refused) as caught:
        read_filled(path)
    assert codes(caught.value.findings) == ["active-connection"]
    with pytest.raises(Refused) as caught:
        take_out(path, tmp_path / "no.xlsx")
    assert codes(caught.value.findings) == ["host-own"]
