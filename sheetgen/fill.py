"""Plain values, as TOML and CSV have them, become the records of a job."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from typing import Any, Final, NamedTuple

import attrs

from sheetgen import units
from sheetgen.book.compile import planned, shipped
from sheetgen.book.template import Field
from sheetgen.book.validate import MOST_TEXT, bounds
from sheetgen.check.meet import attribute
from sheetgen.engine.job import Job
from sheetgen.findings import Report
from sheetgen.reader.typed_clock import read_clock


class _Key(NamedTuple):
    """By what word a file names a record of a block."""

    word: str
    block: str


# Blocks with a record for each pair of two others: a file names both.
_PAIRS: Final = {"slab": (_Key("zone", "zones"), _Key("criterion", "criteria"))}


class Filler:
    """Turns tables of plain values into a job; what does not fit goes into the report.

    Parameters
    ----------
    file : str
        Name of the file, for messages.
    base : Job
        What the tables do not say; its units are theirs.
    report : Report
        Takes the findings.
    lines : tuple of int
        Line of the file on which each record stands, where that is known [no].
    """

    def __init__(self, file: str, base: Job, report: Report) -> None:
        self.file = file
        self.base = base
        self.report = report
        self.lines: tuple[int, ...] = ()
        self.book = shipped("bid")
        self.plan = planned("bid", base.system)
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
        """Return the base with the blocks of the file."""
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
                changes[block] = None if block in _PAIRS else self._block(block, value)
        for block in changes.keys() & _PAIRS.keys():
            changes[block] = self._pairs(block, raw[block], changes)
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

    def _pairs(self, block: str, value: Any, changes: Mapping[str, Any]) -> Any:
        """Return the records of a cross block, each in the place of the two records that it names."""
        over, second = _PAIRS[block]
        zones = changes.get(over.block) or getattr(self.base, over.block)
        firsts = [_folded(zone.name or "") for zone in zones]
        codes = [str(record["code"]) for record in self.book.blocks[second.block].records]
        record = self.records[block][0]
        made = [record()] * (len(firsts) * len(codes))
        for number, item in enumerate(value if isinstance(value, list) else (), start=1):
            where = f"{self.file} {block} {number}"
            named = dict(item) if isinstance(item, Mapping) else {}
            first, code = (str(named.pop(key.word, "")) for key in (over, second))
            if _folded(first) not in firsts or code not in codes:
                self.report.error(
                    "job-pair", where, f"'{first}' with '{code}' is no pair of {over.word} and {second.word}",
                    f"name a {over.word} of the job and one of: {', '.join(codes)}",
                )  # fmt: skip
                continue
            fields = self._record(block, where, named)
            if not self.report.failed:
                made[firsts.index(_folded(first)) * len(codes) + codes.index(code)] = record(**fields)
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
        elif field.unit == "clock":
            found[name] = self._clock(where, value)
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

    def _clock(self, where: str, value: Any) -> float | None:
        clock = read_clock(str(value))
        if clock is None:
            self.report.error("job-value", where, f"{value!r} is not a time of day", "write it as 07:30")
        return clock

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
        if field.no_limit and (value == math.inf or str(value).casefold() == self.book.words["no_limit"]):
            return math.inf
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
