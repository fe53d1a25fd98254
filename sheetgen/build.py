"""Inputs and a template become a checked workbook, put in place in one step."""

from __future__ import annotations

import contextlib
import datetime as dt
import secrets
from collections.abc import Callable, Mapping
from pathlib import Path

import attrs

from sheetgen import steps
from sheetgen.book.compile import Compiled, compiled, shipped
from sheetgen.book.contents import Contents
from sheetgen.book.plan import Plan
from sheetgen.book.stamp import Stamp
from sheetgen.book.template import OF_SCENARIOS, Block, Book
from sheetgen.book.write import write
from sheetgen.check.book import Checked, check_file
from sheetgen.check.compare import Counts
from sheetgen.check.looks import to_look_at
from sheetgen.check.meet import contents_of
from sheetgen.check.recalculate import Program
from sheetgen.engine.job import Job
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.picture import Picture, picture_of
from sheetgen.reader.pictures import picture_on
from sheetgen.reader.raw import RawBook
from sheetgen.reason import reason_of


@attrs.frozen
class Built:
    """A book that was handed out.

    Parameters
    ----------
    path : Path
        Where it stands.
    counts : Counts
        Formula cells found, recalculated and compared [count].
    findings : tuple of Finding
        What to look at.
    """

    path: Path
    counts: Counts
    findings: tuple[Finding, ...]


def new_id() -> str:
    """Return a random book id."""
    return secrets.token_hex(4)


def too_many(made: Compiled, job: Job) -> list[Finding]:
    """Return a finding for each block that has fewer rows prepared than the job has records."""
    found = []
    for name, block in made.plan.book.blocks.items():
        held = getattr(job, name, None)
        rows = made.plan.records(block)
        if isinstance(held, tuple) and len(held) > rows:
            what = f"has {len(held)} records but {rows} rows are prepared"
            mend = f"build a larger book with --rows {name}={len(held) + 10}"
            found.append(Finding("block-full", Severity.ERROR, name, what, mend))
    return found


def _grows(block: Block) -> bool:
    """Return whether a book may have more rows of a block: not one that has the records of another, or a scenario for each."""
    return block.kind in {"rows", "across"} and not block.over and block.name not in OF_SCENARIOS


def check_rows(made_for: Mapping[str, int], known: Book) -> list[Finding]:
    """Return a finding for each row count that names no table of a template, or is out of bounds."""
    found = []
    for name, count in made_for.items():
        block = known.blocks.get(name)
        if block is None or not _grows(block):
            tables = ", ".join(sorted(b.name for b in known.blocks.values() if _grows(b)))
            found.append(Finding("rows-unknown", Severity.ERROR, name, "is not a table", f"name one of: {tables}"))
        elif not 1 <= count <= 5000:
            found.append(
                Finding("rows-count", Severity.ERROR, name, f"{count} rows", "give a number from 1 to 5000")
            )
    return found


def build_bid(
    job: Job,
    out: Path,
    *,
    made_on: dt.date,
    book_id: str = "",
    rows: Mapping[str, int] | None = None,
    author: str = "",
    picture: Picture | None = None,
    program: Program = "ironcalc",
) -> Built:
    """Build, check and put in place a bid book.

    Parameters
    ----------
    job : Job
        Inputs, in the units of the book.
    out : Path
        Where the book goes; a file that is there is replaced only by a book that passed.
    made_on : datetime.date
        Day written into the book.
    book_id : str
        Random unless given.
    rows : mapping of str to int, optional
        Row counts that differ from the template's [count].
    author : str
        Firm, for the document's properties.
    picture : Picture, optional
        The firm's, for the proposal.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Built
        The book and what was compared.

    Raises
    ------
    Refused
        Anything is wrong; then there is no output.
    """
    wrong = check_rows(rows or {}, shipped("bid"))
    if wrong:
        raise Refused(wrong)
    made = compiled("bid", job.system, rows)
    if full := too_many(made, job):
        raise Refused(full)
    contents = contents_of(made, job)
    stamp = Stamp.of(made.plan, book_id or new_id(), made_on)
    built = hand_out(contents, stamp, out, author=author, picture=picture, program=program)
    return attrs.evolve(built, findings=(*built.findings, *to_look_at(contents, out.name)))


def picture_in(raw: RawBook, plan: Plan) -> Picture | None:
    """Return the firm's picture of a filled book, None where it has none.

    Raises
    ------
    Refused
        What stands there is no picture that can be shown.
    """
    for sheet in plan.book.sheets:
        held = picture_on(raw, plan.title(sheet)) if sheet.picture else None
        if held is not None:
            return picture_of(held, raw.path)
    return None


def hand_out(
    contents: Contents, stamp: Stamp, out: Path, *, author: str = "", picture: Picture | None = None, program: Program = "ironcalc"
) -> Built:
    """Write a book beside its goal, check it there, and only then move it into place.

    Raises
    ------
    Refused
        The book does not pass, or cannot be written; the goal is as it was.
    """
    return put_in_place(
        out, lambda part: write(part, contents, stamp, author, picture), lambda part: check_file(part, contents, program)
    )


def put_in_place(out: Path, make: Callable[[Path], None], check: Callable[[Path], Checked]) -> Built:
    """Make a workbook beside its goal, check it there, and only then move it into place.

    Parameters
    ----------
    out : Path
        The goal.
    make, check : callable
        Told where the workbook is made; the goal is replaced only where the check finds no error.

    Raises
    ------
    Refused
        The workbook does not pass, or cannot be written; the goal is as it was.
    """
    if out.suffix.lower() != ".xlsx":
        raise Refused([Finding("output-name", Severity.ERROR, str(out), "is not named .xlsx", "end the name in .xlsx")])
    part = out.with_name(f".{out.stem}.{secrets.token_hex(4)}.part.xlsx")
    report = Report()
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with steps.during(f"writing {out.name} …"):
            make(part)
        with steps.during(f"checking {out.name} …"):
            checked = check(part)
        report.extend(attrs.evolve(finding, place=finding.place.replace(part.name, out.name)) for finding in checked.findings)
        if report.failed:
            raise Refused(report)
        part.replace(out)
    except OSError as error:
        raise Refused(
            [Finding("output-write", Severity.ERROR, str(out), f"cannot be written: {reason_of(error)}",
                     "close the file elsewhere, free some space, or choose another folder")]
        ) from error  # fmt: skip
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
    return Built(out, checked.counts, tuple(report))
