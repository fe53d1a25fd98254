"""Inputs from files that a person writes: a job as TOML, areas as CSV, and the starter values that come with the tool."""

from __future__ import annotations

import csv
import datetime as dt
import functools
import math
import tomllib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import attrs

from sheetgen import units
from sheetgen.book.compile import compiled, shipped
from sheetgen.book.load import template_folder
from sheetgen.book.template import Field
from sheetgen.book.validate import MOST_TEXT, bounds
from sheetgen.check.meet import attribute
from sheetgen.engine.job import Job
from sheetgen.findings import Refused, Report

if TYPE_CHECKING:
    from pathlib import Path

    from sheetgen.book.plan import Plan
    from sheetgen.units import System


@functools.cache
def starter(system: System) -> Job:
    """Return a job with the starter systems, products, tasks and rates, and nothing else in it."""
    return read_job(template_folder("starter") / f"{system}.toml", Job(system=system))


def read_job(path: Path, base: Job) -> Job:
    """Read a job file on top of a job.

    Parameters
    ----------
    path : Path
        TOML: ``[job]``, ``[takeoff]`` … for single blocks, ``[[areas]]``, ``[[zones]]`` … for tables, with the
        field names that ``sheetgen fields`` prints. A table in the file replaces the whole table of the job.
    base : Job
        What the file does not say; its units are the file's units.

    Returns
    -------
    Job
        The job of the file.

    Raises
    ------
    Refused
        The file cannot be read, or holds what the book does not know.
    """
    report = Report()
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        report.error("job-file", str(path), f"cannot be read: {error.strerror}", "check the name of the file")
        raise Refused(report) from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        report.error("job-toml", str(path), f"is not readable TOML: {error}", "mend that line")
        raise Refused(report) from error
    job = _Filler(path.name, base, report).filled(raw)
    if report.failed:
        raise Refused(report)
    return job


def read_areas(path: Path, base: Job) -> Job:
    """Read the rows of a CSV file as the areas of a job.

    Parameters
    ----------
    path : Path
        CSV with a header of field names of the table ``areas``.
    base : Job
        The job that gets the areas.

    Returns
    -------
    Job
        The job with these areas, in the file's order.

    Raises
    ------
    Refused
        The file cannot be read, or a row holds what the book does not know.
    """
    report = Report()
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file, strict=True)
            rows = [(reader.line_num, row) for row in reader]
            header = [(name or "").strip() for name in reader.fieldnames or ()]
    except OSError as error:
        report.error("areas-file", str(path), f"cannot be read: {error.strerror}", "check the name of the file")
        raise Refused(report) from error
    except (csv.Error, UnicodeDecodeError) as error:
        report.error("areas-csv", str(path), f"is not a readable CSV file: {error}", "save it as CSV, UTF-8")
        raise Refused(report) from error
    filler = _Filler(path.name, base, report)
    if rows and not filler.header("areas", header):
        raise Refused(report)
    records = {}
    for number, row in rows:
        if None in row or any(value is None for value in row.values()):
            report.error("areas-csv", f"{path.name} line {number}", "has not as many cells as the header",
                         "put one cell under each heading; put a text that holds a comma in quotes")  # fmt: skip
            continue
        records[number] = {name.strip(): text.strip() for name, text in row.items() if text.strip()}
    if not rows:
        report.error("areas-empty", path.name, "has no rows", "give a header line and one line per area")
    filler.lines = tuple(records)
    job = filler.filled({"areas": list(records.values())})
    if report.failed:
        raise Refused(report)
    return job


class _Filler:
    def __init__(self, file: str, base: Job, report: Report) -> None:
        self.file = file
        self.base = base
        self.report = report
        self.lines: tuple[int, ...] = ()
        self.book = shipped("bid")
        self.plan: Plan = compiled("bid", base.system).plan
        self.records = {
            one.name: (one.metadata["record"], one.metadata["rows"]) for one in attrs.fields(Job) if "record" in one.metadata
        }

    def header(self, block: str, names: list[str]) -> bool:
        """Report headings that are no inputs of a table, or stand twice; return whether all is well."""
        known = self._inputs(block)
        for column, name in enumerate(names, start=1):
            where = f"{self.file} line 1, column {column}"
            if name and name not in known:
                hint = "put commas, not semicolons, between the cells; " if ";" in name else ""
                self.report.error(
                    "areas-header", where, f"'{name}' is not an input of the table", f"{hint}use: {', '.join(known)}"
                )  # fmt: skip
            elif name and name in names[: column - 1]:
                self.report.error("areas-header", where, f"'{name}' stands twice", "leave one of the columns out")
        return not self.report.failed

    def _inputs(self, block: str) -> tuple[str, ...]:
        return tuple(
            one.name for one in self.book.blocks[block].fields
            if one.kind in {"input", "choice"} and one.stands_in(self.plan.system)
        )  # fmt: skip

    def filled(self, raw: Mapping[str, Any]) -> Job:
        changes: dict[str, Any] = {}
        for block, value in raw.items():
            if block == "units":
                self._units(value)
            elif block not in self.records:
                self.report.error(
                    "job-block", f"{self.file} {block}", "is not a part of a job",
                    f"use one of: {', '.join(sorted(self.records))}",
                )  # fmt: skip
            else:
                changes[block] = self._block(block, value)
        if self.report.failed:
            return self.base
        job = attrs.evolve(self.base, **changes)
        self._names(job, changes)
        return job

    def _names(self, job: Job, changes: Mapping[str, Any]) -> None:
        """Report each name in the file's tables that stands in no list of the job."""
        for block in changes:
            held = getattr(job, block)
            for field in self.book.blocks[block].fields:
                if field.kind != "choice" or "." not in field.choices or not field.stands_in(self.plan.system):
                    continue
                source, column = field.choices.split(".")
                known = {_folded(name): name for one in getattr(job, source) if (name := getattr(one, attribute(column)))}
                for number, record in enumerate(held if isinstance(held, tuple) else (held,)):
                    name = getattr(record, attribute(field.name))
                    if name is not None and _folded(name) not in known:
                        place = f"{self.file} line {self.lines[number]}" if self.lines else f"{self.file} {block} {number + 1}"
                        self.report.error(
                            "job-name", f"{place}, {field.name}", f"'{name}' is not a name in {source}",
                            f"use one of: {' | '.join(known.values())}",
                        )  # fmt: skip

    def _units(self, value: Any) -> None:
        if value != self.base.system:
            self.report.error(
                "job-units", f"{self.file} units", f"says {value!r}, but the book is {self.base.system}",
                f"use --units {value}" if value in units.SYSTEMS else "write us or metric",
            )  # fmt: skip

    def _block(self, block: str, value: Any) -> Any:
        record, rows = self.records[block]
        if rows != isinstance(value, list):
            shape = f"[[{block}]]" if rows else f"[{block}]"
            self.report.error("job-shape", f"{self.file} {block}", "is not written as the book has it", f"write {shape}")
            return None
        if not rows:
            return attrs.evolve(getattr(self.base, block), **self._record(block, f"{self.file} {block}", value))
        made = []
        for number, item in enumerate(value):
            where = f"{self.file} line {self.lines[number]}" if self.lines else f"{self.file} {block} {number + 1}"
            fields = self._record(block, where, item)
            made.append(None if self.report.failed else record(**fields))
        return tuple(made)

    def _record(self, block: str, where: str, item: Any) -> dict[str, Any]:
        if not isinstance(item, Mapping):
            self.report.error("job-shape", where, "is not a table of fields", "write name = value lines")
            return {}
        found: dict[str, Any] = {}
        for name, value in item.items():
            field = self.book.blocks[block].field(name)
            if field is None or name not in self._inputs(block):
                known = ", ".join(self._inputs(block))
                self.report.error("job-field", f"{where}, {name}", "is not an input of this book", f"use one of: {known}")
                continue
            self._value(found, field, f"{where}, {name}", value)
        return found

    def _value(self, found: dict[str, Any], field: Field, where: str, value: Any) -> None:
        name = attribute(field.name)
        if field.kind == "choice":
            found[name] = self._choice(field, where, value)
        elif field.unit == "text":
            found[name] = self._text(where, value)
        elif field.unit == "date":
            found[name] = self._date(where, value)
        elif isinstance(value, str) and field.unit == "length" and self.plan.system == "us" and not _is_number(value):
            self._length(found, name, where, value)
        else:
            found[name] = self._number(field, where, value)

    def _choice(self, field: Field, where: str, value: Any) -> str | None:
        text = self._text(where, value)
        if text is None or "." in field.choices:
            return text
        for record in self.book.blocks[field.choices].records:
            if text.casefold() in {str(record["code"]), str(record["word"]).casefold()}:
                return str(record["code"])
        codes = ", ".join(str(record["code"]) for record in self.book.blocks[field.choices].records)
        self.report.error("job-choice", where, f"'{text}' is not in the list", f"use one of: {codes}")
        return None

    def _text(self, where: str, value: Any) -> str | None:
        if not isinstance(value, str):
            self.report.error("job-value", where, f"{value!r} is not a text", "put it in quotes")
            return None
        if len(value) > MOST_TEXT or any(ord(letter) < 32 for letter in value):
            self.report.error("job-value", where, f"is no plain line of at most {MOST_TEXT} characters", "shorten it")
            return None
        return value

    def _date(self, where: str, value: Any) -> dt.date | None:
        if isinstance(value, dt.datetime):
            return value.date()
        if isinstance(value, dt.date):
            return value
        try:
            return dt.date.fromisoformat(str(value))
        except ValueError:
            self.report.error("job-value", where, f"{value!r} is not a date", "write it as 2026-05-31")
            return None

    def _length(self, found: dict[str, Any], name: str, where: str, value: str) -> None:
        try:
            feet, inches = units.typed_length(value)
        except ValueError as error:
            self.report.error("job-value", where, str(error), "type feet and inches")
            return
        if feet is not None:
            found[name] = feet
        if inches is not None:
            found[f"{name}_in"] = inches

    def _number(self, field: Field, where: str, value: Any) -> float | None:
        if isinstance(value, str) and _is_number(value):
            value = float(value)
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            self.report.error(
                "job-value", where, f"{value!r} is not a number", "type a plain number: no unit, no thousands comma"
            )  # fmt: skip
            return None
        least, most = bounds(field, self.plan)
        if not least <= value <= most:
            self.report.error(
                "job-bounds", where, f"{value:g} is outside {least:g} to {most:g}", "type a number within the bounds"
            )  # fmt: skip
            return None
        return float(value)


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
