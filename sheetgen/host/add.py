"""A bid added to a copy of a person's own workbook, checked there before it is handed out."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

import attrs

from sheetgen.book.compile import compiled, shipped
from sheetgen.book.contents import Contents
from sheetgen.book.defined import defined_names
from sheetgen.book.plan import Plan
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.build import Built, check_rows, new_id, put_in_place, too_many
from sheetgen.check.book import Checked, check_file
from sheetgen.check.looks import to_look_at
from sheetgen.check.meet import contents_of
from sheetgen.check.recalculate import Program, formula_cells, recalculate
from sheetgen.engine.job import Job
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.host import fit, link, own_sheets, values
from sheetgen.host.merge import merge
from sheetgen.host.package import Package
from sheetgen.host.uses import Bid, Cell
from sheetgen.picture import Picture
from sheetgen.reader.gate import Inspected, inspect
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import read_raw
from sheetgen.reader.stamped import read_stamp

_MOST_SHOWN: Final = 5
_PRICE: Final = "price_total"


@attrs.frozen
class Added(Built):
    """A workbook with a bid in it, that was handed out.

    Parameters
    ----------
    sheets : tuple of str
        The sheets of the bid, as their tabs say.
    behind : str
        The last sheet of the person's own that is shown; those of the bid follow.
    links : mapping of str to str
        Cell of the person's by the input that is taken from it, as it was asked for.
    price : str
        The formula by which a cell of the person's shows the price.
    """

    sheets: tuple[str, ...]
    behind: str
    links: Mapping[str, str]
    price: str


def add(
    host: Path,
    out: Path,
    job: Job,
    *,
    made_on: dt.date,
    book_id: str = "",
    rows: Mapping[str, int] | None = None,
    prefix: str = "",
    links: Sequence[str] = (),
    author: str = "",
    picture: Picture | None = None,
    program: Program = "ironcalc",
) -> Added:
    """Put a bid into a copy of a workbook.

    Parameters
    ----------
    host : Path
        The person's workbook; it is never written to.
    out : Path
        Where the copy goes; a file that is there is replaced only by one that passed.
    job : Job
        Inputs, in the units of the book.
    made_on : datetime.date
        Day written into the book.
    book_id : str
        Random unless given.
    rows : mapping of str to int, optional
        Row counts that differ from the template's [count].
    prefix : str
        Put before each sheet and, made legal, before each name.
    links : sequence of str
        Inputs that are taken from cells of the host: ``customer=Customers!B4``.
    author : str
        Firm, for the document's properties.
    picture : Picture, optional
        The firm's, for the proposal.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Added
        The workbook, what was compared, and how the bid stands in it.

    Raises
    ------
    Refused
        Nothing can be added to that workbook, or the copy does not pass; then there is no output.
    """
    inspected = inspect(host, HOST, lambda _root, _tabs: ())
    package = Package(host)
    findings = fit.unfit(package, inspected)
    _refuse(findings)
    _refuse(check_rows(rows or {}, shipped("bid")))
    _refuse(fit.clashes(package, inspected, Plan(shipped("bid"), job.system, rows, prefix)))
    made = compiled("bid", job.system, rows, prefix=prefix)
    _refuse(too_many(made, job))
    sheets, behind = own_sheets.worksheets(package, inspected.workbook), own_sheets.last_shown(package, inspected.workbook)
    targets = link.places(links, made, tuple(sheets))
    job, told = link.take_over(job, made, targets, host)
    contents = contents_of(made, job, links=targets)
    stamp = Stamp.of(made.plan, book_id or new_id(), made_on)
    bid = Bid(defined_names(made.plan), map(made.plan.title, made.plan.book.sheets))
    formulas = own_sheets.formulas(package, sheets, HOST)
    using = bid.cells(formulas)

    def make(part: Path) -> None:
        with tempfile.TemporaryDirectory(prefix="sheetgen-add-") as folder:
            ours = Path(folder, "bid.xlsx")
            write(ours, contents, stamp, author, picture)
            merge(package, inspected.workbook, Package(ours), recalculate=bool(using))
            package.save(part)

    def check(part: Path) -> Checked:
        return _checked(part, host, contents, stamp, (formulas, using), program)

    built = put_in_place(out, make, check)
    noted = (*findings, *told, *_noted(inspected, using, out.name), *to_look_at(contents, out.name))
    return Added(
        path=built.path, counts=built.counts, findings=(*built.findings, *noted),
        sheets=tuple(map(made.plan.title, made.plan.book.sheets)), behind=behind,
        links={asked.partition("=")[0].strip(): target.a1 for asked, target in zip(links, targets.values(), strict=True)},
        price=f"={made.plan.defined(_PRICE)}",
    )  # fmt: skip


def _refuse(findings: Sequence[Finding]) -> None:
    if any(finding.severity is Severity.ERROR for finding in findings):
        raise Refused(findings)


def _checked(
    part: Path, host: Path, contents: Contents, stamp: Stamp, own: tuple[values.Formulas, Mapping[Cell, list[str]]], program: Program
) -> Checked:
    """Check our sheets as those of any book, and that the host's figures are what they were."""
    formulas, using = own
    wanted: dict[str, Sequence[tuple[int, int]] | None] = dict.fromkeys(map(contents.plan.title, contents.plan.book.sheets))
    if contents.links:
        # A cell of the person's that a link reads may use the bid in its turn: their formulas are searched for circles too.
        wanted |= {**dict.fromkeys(formulas, ()), **link.cells_of(contents.links)}
    raw = read_raw(part, HOST, lambda _root, _tabs: wanted)
    cells = {sheet: held for sheet, held in formula_cells(raw).items() if sheet not in formulas}
    if read_stamp(raw, contents.plan.prefix) != stamp:
        raise AssertionError("the stamp that was written is not the stamp that is read")
    now = recalculate(part, program, {**cells, **values.cells_of(formulas)})
    checked = check_file(part, contents, program, raw, now)
    changed = values.changed(host, part.name, now, formulas, using, program)
    return attrs.evolve(checked, findings=(*checked.findings, *changed))


def _noted(inspected: Inspected, using: Mapping[Cell, list[str]], name: str) -> tuple[Finding, ...]:
    report = Report()
    for cell, used in list(using.items())[:_MOST_SHOWN]:
        report.note("host-uses", f"{name} {cell.a1}", f"uses {', '.join(used)} of the bid; it is reckoned when the workbook is opened")
    if len(using) > _MOST_SHOWN:
        report.note("host-uses", name, f"{len(using) - _MOST_SHOWN} cells more use the bid")
    for kind in dict.fromkeys(kind for kind, _ in inspected.active):
        report.note("host-active", name, f"holds {kind}s of your own; they were left as they are")
    return tuple(report)
