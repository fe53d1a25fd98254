"""A bid taken out of a person's workbook again, which is then what it was before."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import Final

import attrs

from sheetgen.book.defined import defined_names
from sheetgen.book.plan import Plan, column_name
from sheetgen.build import Built, put_in_place
from sheetgen.check.book import Checked
from sheetgen.check.compare import Counts
from sheetgen.check.recalculate import Program, recalculate
from sheetgen.check.values import Value
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.host import elsewhere, fit, own_sheets, values
from sheetgen.host.figures_left import with_figures
from sheetgen.host.package import Package
from sheetgen.host.part_out import take_apart
from sheetgen.host.uses import Bid, Cell
from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import HOST
from sheetgen.reader.prefixes import sheet_of, sheets_of_ours
from sheetgen.reader.raw import RawBook, read_raw
from sheetgen.reader.stamped import is_hosted, plan_of, prefixes_in, read_stamp

_ELSEWHERE: Final = "host-uses-elsewhere"


def take_out(path: Path, out: Path, *, prefix: str | None = None, leave: bool = False, program: Program = "ironcalc") -> Built:
    """Take a bid out of a copy of the workbook to which it was added.

    Parameters
    ----------
    path : Path
        The workbook; it is never written to.
    out : Path
        Where the copy goes; a file that is there is replaced only by one that passed.
    prefix : str, optional
        Which bid, where there are several.
    leave : bool
        Whether formulas of the person that use the bid leave their figures; else the bid is not taken out.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Built
        The workbook; its findings say which formulas became figures.

    Raises
    ------
    Refused
        There is no such bid, something of the person's uses it, or the copy does not pass; then there is no output.
    """
    raw = read_raw(path, HOST, sheets_of_ours)
    plan = _plan(raw, prefix)
    package, workbook = Package(path), raw.inspected.workbook
    unfit = fit.unfit(package, raw.inspected)
    if any(finding.severity is Severity.ERROR for finding in unfit):
        raise Refused(unfit)
    titles = _titles(raw, plan)
    names = {name for name in defined_names(plan) if name in raw.names}
    bid = Bid(names, titles)
    sheets = {sheet: part for sheet, part in own_sheets.worksheets(package, workbook).items() if sheet not in titles}
    formulas = own_sheets.formulas(package, sheets, HOST)
    using = bid.cells(formulas)
    _refuse_uses(path, using, leave=leave)
    figures = _figures(path, using, program)
    report = Report()
    for sheet, cells in figures.items():
        package.put(sheets[sheet], with_figures(package.read(sheets[sheet]), cells, f"{path.name} {sheet}", report))
    emptied = {sheet: {f"{column_name(column - 1)}{row}" for row, column in cells} for sheet, cells in figures.items()}
    take_apart(package, workbook, titles, names, emptied)
    _other_uses(package, sheets, bid, report)
    _names_that_use(raw, names, titles, bid, report)
    if report.failed:
        raise Refused(report)

    def check(part: Path) -> Checked:
        after = inspect(part, HOST, lambda _root, _tabs: ())
        left = [f"'{tab}'" for tab in after.tabs if tab in titles]
        if left:
            raise AssertionError(f"sheets are left: {', '.join(left)}")
        own = values.cells_of(formulas)
        now = recalculate(part, program, own) if own else {}
        return Checked(Counts(), values.changed(path, part.name, now, formulas, using, program))

    built = put_in_place(out, package.save, check)
    noted = [
        Finding("host-figure", Severity.LOOK, f"{out.name} {cell.a1}", f"used {', '.join(used)} of the bid and holds a figure now")
        for cell, used in using.items()
    ]
    return attrs.evolve(built, findings=(*built.findings, *noted))


def _plan(raw: RawBook, prefix: str | None) -> Plan:
    """Return the plan of the bid that is to be taken out."""
    found = prefixes_in(raw)
    name = raw.path.name
    shown = ", ".join(f"'{one}'" for one in found)
    if not found:
        raise _refused("host-none", name, "holds no sheets of a bid", "name a workbook that sheetgen add made")
    if prefix is None and len(found) > 1:
        raise _refused("book-several", name, f"holds {len(found)} books, with {shown} before their sheets", "name one with --prefix")
    chosen = found[0] if prefix is None else prefix
    if chosen not in found:
        raise _refused("prefix-unknown", name, f"holds no bid with '{chosen}' before its sheets", f"name one of: {shown}")
    if not chosen and not is_hosted(raw):
        raise _refused("host-own", name, "is a book of its own, to which nothing was added", "name a workbook that sheetgen add made")
    return plan_of(read_stamp(raw, chosen), raw, chosen).plan


def _titles(raw: RawBook, plan: Plan) -> frozenset[str]:
    """Return the sheets of a bid as their tabs say; one that was deleted is no harm, one that was renamed is."""
    tabs = {tab.casefold(): tab for tab in raw.inspected.tabs}
    wanted = {plan.title(sheet) for sheet in plan.book.sheets}
    found = {tabs[title.casefold()] for title in wanted if title.casefold() in tabs}
    strange = {sheet for name in defined_names(plan) if (sheet := sheet_of(raw.names.get(name, ""))) and sheet not in found}
    known = [sheet for sheet in sorted(strange) if sheet.casefold() in tabs]
    if known:
        missing = ", ".join(f"'{title}'" for title in sorted(wanted) if title.casefold() not in tabs)
        what = f"is a sheet of the bid under another name: {missing} is missing"
        raise _refused("sheet-renamed", f"{raw.path.name} {known[0]}", what, "give it its old name")
    return frozenset(found)


def _refuse_uses(path: Path, using: Mapping[Cell, Sequence[str]], *, leave: bool) -> None:
    if using and not leave:
        mend = "put something else there, or add --values to leave the figure"
        raise Refused(
            Finding("host-uses", Severity.ERROR, f"{path.name} {cell.a1}", f"uses {', '.join(used)} of the bid", mend)
            for cell, used in using.items()
        )


def _figures(path: Path, using: Mapping[Cell, Sequence[str]], program: Program) -> dict[str, dict[tuple[int, int], Value]]:
    """Return the figure of each cell that uses the bid, by sheet."""
    cells: dict[str, list[tuple[int, int]]] = {}
    for cell in using:
        cells.setdefault(cell.sheet, []).append((cell.row, cell.column))
    return recalculate(path, program, cells) if cells else {}


def _other_uses(package: Package, own: Mapping[str, str], bid: Bid, report: Report) -> None:
    """Report what uses the bid outside of cells and cannot be left with a figure."""
    sheets = {part: sheet for sheet, part in own.items()}
    for part, formula in elsewhere.uses(package, bid, package.names):
        where = f"sheet '{sheets[part]}'" if part in sheets else part
        what = f"a rule, chart, table or link there uses the bid: {formula[:80]}"
        report.error(_ELSEWHERE, f"{package.path.name} {where}", what, "take it away or point it elsewhere first")


def _names_that_use(raw: RawBook, names: Collection[str], titles: Collection[str], bid: Bid, report: Report) -> None:
    """Report defined names of the person's that stand for something of the bid."""
    theirs = [(name, text) for name, text in raw.names.items() if name not in names]
    theirs += [item for sheet, held in raw.sheet_names.items() if sheet not in titles for item in held.items()]
    for name, text in theirs:
        if bid.used_by(text):
            mend = "delete the name or point it elsewhere first"
            report.error(_ELSEWHERE, f"{raw.path.name} name {name}", f"stands for '{text}' of the bid", mend)


def _refused(code: str, place: str, what: str, mend: str) -> Refused:
    return Refused([Finding(code, Severity.ERROR, place, what, mend)])
