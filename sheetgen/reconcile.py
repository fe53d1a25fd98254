"""Filled books become a comparison of estimate and actual: by job, by task, by product, by topping."""

from __future__ import annotations

import csv
import datetime as dt
import io
import secrets
from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen.check.meet import figures, job_of
from sheetgen.engine.job import Job
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.reader.filled import Filled, read_filled
from sheetgen.reader.raw import read_raw
from sheetgen.reader.stamped import read_stamp

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from sheetgen.engine.values import Values
    from sheetgen.units import System

Row = dict[str, Any]
# Column, unit word ("" for text), and where it comes from; the same in every table, so that tables can be joined.
_JOB_COLUMNS: Final = ("workbook", "book_id", "job_number", "job_name", "status")
TABLES: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "jobs": (
        ("price", "money"), ("cost", "money"), ("hours_estimated", "hour"), ("hours_actual", "hour"),
        ("hours_variance", "hour"), ("labour_variance", "money"), ("materials_variance", "money"),
        ("bags_needed", "bag"), ("bags_used", "bag"), ("area_done", "area"), ("done_share", "share"),
        ("log_rows_wrong", "count"),
    ),
    "hours": (
        ("task", ""), ("estimated", "hour"), ("actual", "hour"), ("variance", "hour"),
        ("efficiency_variance", "money"), ("rate_variance", "money"), ("account", ""),
    ),
    "materials": (
        ("product", ""), ("needed", "package"), ("bought", "package"), ("used", "package"),
        ("variance", "package"), ("price_variance", "money"), ("quantity_variance", "money"), ("account", ""),
    ),
    "toppings": (
        ("system", ""), ("area_done", "area"), ("bags_used", "bag"), ("thickness_planned", "depth"),
        ("thickness_laid", "depth"), ("depth_planned_with_waste", "depth"), ("depth_used", "depth"),
    ),
}  # fmt: skip
_WORKBOOKS: Final = frozenset({".xlsx", ".xlsm", ".xlsb", ".xls", ".ods"})
_RISKY: Final = ("=", "+", "-", "@", "\t", "\r")
# Books of ours that hold no job, by kind.
_JOBLESS: Final = {"cost": "cost book", "rates": "rate book"}


@attrs.frozen
class Read:
    """One filled book with its figures.

    Parameters
    ----------
    path : Path
        The workbook.
    book_id : str
        From its stamp.
    job : Job
        What was typed.
    values : Values
        What the engine makes of it, in the units of the comparison.
    """

    path: Path
    book_id: str
    job: Job = attrs.field(repr=False)
    values: Values = attrs.field(repr=False)

    @property
    def finished(self) -> bool:
        """Whether the job is done or closed, so that totals of variance mean something."""
        return self.values.scalar("compare.finished") == 1.0


@attrs.frozen
class Comparison:
    """The tables over all books that could be read.

    Parameters
    ----------
    system : {'us', 'metric'}
        Units of the tables.
    tables : mapping of str to tuple of dict
        Rows by table; a value that is not known is None.
    books : int
        Books read [count].
    findings : tuple of Finding
        What was found in them, and every book that was not read.
    """

    system: System
    tables: Mapping[str, tuple[Row, ...]]
    books: int
    findings: tuple[Finding, ...]


def workbooks(paths: Iterable[Path]) -> list[Path]:
    """Return the files named, and the workbooks of the folders named, in order, each once.

    Raises
    ------
    Refused
        A folder holds no workbook.
    """
    found: dict[Path, Path] = {}
    for path in paths:
        if not path.is_dir():
            found.setdefault(path.resolve(), path)
            continue
        # Workbooks of other formats are kept, so that the reader names them instead of their being passed over.
        inside = sorted(
            one for one in path.iterdir() if one.suffix.lower() in _WORKBOOKS and not one.name.startswith((".", "~$"))
        )
        if not inside:
            raise Refused(
                [Finding("folder-empty", Severity.ERROR, str(path), "holds no .xlsx workbook", "name another folder")]
            )
        for one in inside:
            found.setdefault(one.resolve(), one)
    return list(found.values())


def sources(paths: Iterable[Path], out: Path | None = None) -> list[Path]:
    """Return the workbooks to be read, without an earlier cost book that stands where the new one goes.

    Raises
    ------
    Refused
        A folder holds no workbook, or the cost book would be written over a book that is to be read.
    """
    books = workbooks(paths)
    if out is None or out.resolve() not in {path.resolve() for path in books}:
        return books
    if _kind(out) != "cost":
        raise Refused(
            [Finding("output-input", Severity.ERROR, str(out), "is one of the books to be read", "give --out another name")]
        )
    return [path for path in books if path.resolve() != out.resolve()]


def _kind(path: Path) -> str:
    try:
        return read_stamp(read_raw(path)).kind
    except Refused:
        return ""


def read_book(path: Path, system: System | None = None) -> tuple[Read, tuple[Finding, ...]]:
    """Read one filled book and compute its figures anew.

    Raises
    ------
    Refused
        The book cannot be read, or an input in it cannot.
    """
    filled: Filled = read_filled(path)
    if filled.stamp.kind != "bid":
        raise Refused(
            [Finding("stamp-kind", Severity.ERROR, path.name, f"is a book of kind '{filled.stamp.kind}'", "give filled bid books")]
        )
    if any(finding.severity is Severity.ERROR for finding in filled.findings):
        raise Refused(filled.findings)
    job = job_of(filled.entries, filled.stamp.system)
    values = figures(job, filled.compiled.plan)
    return Read(path, filled.stamp.book_id, job, values.in_system(system or job.system)), filled.findings


def reconcile(paths: Sequence[Path], *, system: System | None = None, each: Callable[[Path], None] | None = None) -> Comparison:
    """Compare estimate and actual over filled books.

    Parameters
    ----------
    paths : sequence of Path
        Filled bid books.
    system : {'us', 'metric'}, optional
        Units of the tables; those of the first book that is read unless given.
    each : callable, optional
        Told each path before it is read.

    Returns
    -------
    Comparison
        Tables and findings; a book that cannot be read is named there and left out.
    """
    report = Report()
    tables: dict[str, list[Row]] = {name: [] for name in TABLES}
    ids: dict[str, dict[str | None, str]] = {}
    books = 0
    for path in paths:
        if each is not None:
            each(path)
        try:
            book, findings = read_book(path, system)
        except Refused as refused:
            kind = _kind(path) if {finding.code for finding in refused.findings} == {"stamp-kind"} else ""
            if kind in _JOBLESS:
                report.note("book-other", path.name, f"is a {_JOBLESS[kind]}: it holds no job of its own and was passed over")
                continue
            report.extend(refused.findings)
            report.error("book-left-out", path.name, "was not read: its figures are not in the tables", "mend it and run again")
            continue
        books += 1
        system = system or book.values.system
        report.extend(findings)
        _twin_findings(book, ids.setdefault(book.book_id, {}), report)
        for name, rows in _rows(book):
            tables[name].extend(rows)
        _log_findings(book, report)
    return Comparison(system or "us", {name: tuple(rows) for name, rows in tables.items()}, books, tuple(report))


def _twin_findings(book: Read, twins: dict[str | None, str], report: Report) -> None:
    """Report a book whose id was met before; the books of one id stand by job number."""
    number = book.job.job.number
    if number in twins:
        report.look(
            "book-twice", book.path.name,
            f"has the id and the job number of {twins[number]}: both are counted in every total",
            "leave one out, or give each job its own number",
        )  # fmt: skip
    elif twins:
        first = next(iter(twins.values()))
        report.look(
            "book-copied", book.path.name,
            f"has the id of {first} but another job number: it is a copied book, counted as a job of its own",
            "nothing, if it is another job; else leave one out",
        )  # fmt: skip
    twins.setdefault(number, book.path.name)


def _log_findings(book: Read, report: Report) -> None:
    wrong = book.values.scalar("compare.log_faults")
    if isinstance(wrong, float) and wrong > 0:
        report.look(
            "log-rows", f"{book.path.name} Log", f"{wrong:.0f} rows of the log cannot be used; what needs them is not known",
            "see the column beside them that says what is wrong",
        )  # fmt: skip
    if not book.finished:
        report.note("job-running", book.path.name, "is not done: it has no totals of variance")


def _rows(book: Read) -> Iterator[tuple[str, list[Row]]]:
    values, job = book.values, book.job
    head = {
        "workbook": book.path.name, "book_id": book.book_id, "job_number": job.job.number,
        "job_name": job.job.name, "status": job.job.status,
    }  # fmt: skip

    def figures(sources: Mapping[str, str], record: int) -> Row:
        return {column: _at(values, source, record) for column, source in sources.items()}

    total = {
        "price": values.scalar("price.total", "accepted"),
        "cost": values.scalar("price.cost", "accepted"),
        **{
            name: values.scalar(f"compare.{name}")
            for name in ("hours_estimated", "hours_actual", "hours_variance", "labour_variance", "materials_variance",
                         "bags_needed", "bags_used", "area_done", "done_share")
        },
        "log_rows_wrong": values.scalar("compare.log_faults"),
    }  # fmt: skip
    # Nothing logged is not known, not zero.
    if not any(values.column("tasks.logged")):
        total["hours_actual"] = None
    if not any(values.column("products.logged")):
        total["bags_used"] = None
    yield "jobs", [{**head, **total}]
    yield "hours", [
        {**head, "task": task.name, **figures(_HOURS, record), "account": task.account}
        for record, task in enumerate(job.tasks)
        if task.name is not None
    ]
    yield "materials", [
        {**head, "product": product.name, **figures(_MATERIALS, record), "account": product.account}
        for record, product in enumerate(job.products)
        if product.name is not None and (_at(values, "needs.need", record) or _at(values, "products.logged", record))
    ]
    yield "toppings", [
        {**head, "system": system.name, **figures(_TOPPINGS, record)}
        for record, system in enumerate(job.systems)
        if system.name is not None and _at(values, "topping.area", record)
    ]


_HOURS: Final = {
    "estimated": "labour.hours", "actual": "tasks.actual", "variance": "tasks.variance",
    "efficiency_variance": "tasks.efficiency", "rate_variance": "tasks.rate_variance",
}  # fmt: skip
_MATERIALS: Final = {
    "needed": "products.needed_done", "bought": "products.bought", "used": "products.used", "variance": "products.variance",
    "price_variance": "products.price_variance", "quantity_variance": "products.quantity_variance",
}  # fmt: skip
_TOPPINGS: Final = {
    "area_done": "systems.area_done", "bags_used": "systems.used_bags", "thickness_planned": "systems.depth_planned",
    "thickness_laid": "systems.laid", "depth_planned_with_waste": "systems.depth_used_planned",
    "depth_used": "systems.depth_used",
}  # fmt: skip


def _at(values: Values, name: str, record: int) -> Any:
    held = values[name]
    return values.column(name, "accepted" if isinstance(held, dict) else None)[record]


def columns(table: str) -> tuple[str, ...]:
    """Return the columns of a table, in order."""
    return (*_JOB_COLUMNS, *(name for name, _ in TABLES[table]))


def inert(text: str) -> str:
    """Return a text that no spreadsheet program takes for a formula when it opens a CSV file."""
    return f"'{text}" if text.startswith(_RISKY) else text


def write_csv(comparison: Comparison, folder: Path) -> list[Path]:
    """Write each table as a CSV file, UTF-8, decimal points, blanks where a figure is not known.

    Raises
    ------
    Refused
        A file cannot be written; the files that are there are whole, old or new.
    """
    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for table, rows in comparison.tables.items():
            text = io.StringIO()
            writer = csv.writer(text, lineterminator="\n")
            names = columns(table)
            writer.writerow(names)
            for row in rows:
                writer.writerow([_plain(row[name]) for name in names])
            goal = folder / f"{table}.csv"
            put(goal, text.getvalue().encode())
            written.append(goal)
    except OSError as error:
        raise Refused(
            [Finding("output-write", Severity.ERROR, str(folder), f"cannot be written: {error.strerror or error}",
                     "close the file elsewhere, free some space, or choose another folder")]
        ) from error  # fmt: skip
    return written


def put(goal: Path, content: bytes) -> None:
    """Replace a file in one step."""
    part = goal.with_name(f".{goal.name}.{secrets.token_hex(4)}.part")
    try:
        part.write_bytes(content)
        part.replace(goal)
    finally:
        part.unlink(missing_ok=True)


def _plain(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(round(value, 6))
    if isinstance(value, dt.date):
        return value.isoformat()
    return inert(str(value))
