"""Every field of a book with its place and value."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sheetgen import units
from sheetgen.book.template import SCENARIOS
from sheetgen.findings import Finding
from sheetgen.reader.filled import Filled, read_each
from sheetgen.reader.serial import from_serial


def listing(path: Path) -> tuple[list[dict[str, Any]], tuple[Finding, ...]]:
    """Return name, sheet, cell, kind, unit, label and stored value of every field that has a value or takes one.

    Parameters
    ----------
    path : Path
        A book of ours; it is never written to.

    Returns
    -------
    rows : list of dict
        In the order of the sheets, book by book where the file holds several; blank rows of tables are left out but for
        their first.
    findings : tuple of Finding
        What could not be read.

    Raises
    ------
    Refused
        The file is not a book that this tool knows.
    """
    rows: list[dict[str, Any]] = []
    findings: list[Finding] = []
    for filled in read_each(path):
        rows += _rows(filled)
        findings += filled.findings
    return rows, tuple(findings)


def _rows(filled: Filled) -> Iterator[dict[str, Any]]:
    plan = filled.compiled.plan
    for part in plan.parts:
        for field in part.fields:
            for place, cell in plan.places(part.block, field):
                sheet = filled.located.sheets.get(cell.sheet)
                held = None if sheet is None else sheet.cells.get((cell.row + 1, cell.column + 1))
                value = None if held is None or held.value == "" else held.value
                if held is not None and held.is_date and isinstance(value, float):
                    day = from_serial(value, date1904=filled.raw.date1904)
                    value = day.date().isoformat() if day is not None else value
                if value is None and place.record > 0:
                    continue
                name = place.name + (f".{SCENARIOS[place.scenario]}" if place.scenario is not None else "")
                record = f"[{place.record + 1}]" if plan.spot(place.block, place.field).records > 1 else ""
                # Where the person finds it: a sheet may have another name, and rows may have been put in above.
                shown, _, at = filled.located.where(*cell).removeprefix(f"{filled.path.name} ").rpartition("!")
                yield {
                    "name": name + record, "sheet": shown, "cell": at,
                    "kind": "linked" if place in filled.links else field.kind, "unit": units.symbol(field.unit, plan.system),
                    "label": field.label, "value": value,
                }  # fmt: skip
