"""Inputs of a bid that are taken from cells of the host: ``customer=Customers!B4``."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import attrs

from sheetgen.book.compile import Compiled
from sheetgen.book.linked import Target, read_target
from sheetgen.book.plan import Place
from sheetgen.check.meet import attribute
from sheetgen.engine.job import Job
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.reader.filled import read_links
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import read_raw

_FIELD: Final = re.compile(r"(?:([a-z_]+)\.)?([a-z_]+)(?:\[([1-9]\d{0,3})\])?")


def places(links: Sequence[str], made: Compiled, sheets: Sequence[str]) -> dict[Place, Target]:
    """Return which inputs are taken from which cells.

    Parameters
    ----------
    links : sequence of str
        As a person writes them: ``customer=Customers!B4``, or ``zones.name[2]=Plan!A7`` for a row of a table.
    made : Compiled
        The template of the bid.
    sheets : sequence of str
        The host's worksheets.

    Raises
    ------
    Refused
        A link names no input or no cell.
    """
    report = Report()
    found: dict[Place, Target] = {}
    tabs = {sheet.casefold(): sheet for sheet in sheets}
    for link in links:
        name, _, text = link.partition("=")
        shown = f"--link {link}"
        target = read_target(text)
        if target is None:
            report.error("link-cell", shown, "names no cell", "write it like customer=Customers!B4")
            continue
        if target.sheet.casefold() not in tabs:
            there = ", ".join(tabs.values())
            report.error("link-sheet", shown, f"'{target.sheet}' is no sheet of the workbook", f"name one of: {there}")
            continue
        place = _place(name.strip(), shown, made, report)
        if place is not None and place in found:
            report.error("link-twice", shown, "the input is linked twice", "leave one out")
        elif place is not None:
            found[place] = target._replace(sheet=tabs[target.sheet.casefold()])
    if report.failed:
        raise Refused(report)
    return found


def _place(name: str, shown: str, made: Compiled, report: Report) -> Place | None:
    written = _FIELD.fullmatch(name)
    block_name, field_name, number = written.groups() if written else (None, name, None)
    matching = [
        (block, field)
        for block, field in made.plan.entered()
        if field.name == field_name and (block.name == block_name or (block_name is None and block.kind == "fields"))
    ]
    if len(matching) > 1:
        names = ", ".join(f"{block.name}.{field.name}" for block, field in matching)
        report.error("link-field", shown, f"'{name}' could be several inputs", f"name one of: {names}")
        return None
    if not matching:
        report.error("link-field", shown, f"'{name}' is no input of the bid", "sheetgen fields lists them by name")
        return None
    (block, field), record = matching[0], int(number or 1) - 1
    records = made.plan.spot(block.name, field.name).records
    if record >= records or (number is None and records > 1):
        report.error("link-row", shown, f"'{block.name}' is a table of {records} rows", f"name the row: {block.name}.{field.name}[1]")
        return None
    return Place(block.name, field.name, record, None)


def cells_of(links: Mapping[Place, Target]) -> dict[str, list[tuple[int, int]]]:
    """Return the cells that are taken over by sheet [1-based row, 1-based column]."""
    cells: dict[str, list[tuple[int, int]]] = {}
    for target in links.values():
        cells.setdefault(target.sheet, []).append((target.row, target.column))
    return cells


def take_over(
    job: Job, made: Compiled, links: Mapping[Place, Target], host: Path
) -> tuple[Job, tuple[Finding, ...]]:
    """Return a job with what its links take from the host, and how a cell was read where that is not plain.

    Raises
    ------
    Refused
        A cell cannot be taken over.
    """
    if not links:
        return job, ()
    cells = cells_of(links)
    values, findings = read_links(read_raw(host, HOST, lambda _root, _tabs: cells), made, links)
    if any(finding.severity is Severity.ERROR for finding in findings):
        raise Refused(findings)
    for place, value in values.items():
        held = getattr(job, place.block)
        record = {attribute(place.field): value}
        if not isinstance(held, tuple):
            job = attrs.evolve(job, **{place.block: attrs.evolve(held, **record)})
            continue
        kind = next(one for one in attrs.fields(Job) if one.name == place.block).metadata["record"]
        blank: dict[str, Any] = dict.fromkeys(one.name for one in attrs.fields(kind))
        rows = [*held, *(kind(**blank) for _ in range(place.record + 1 - len(held)))]
        rows[place.record] = attrs.evolve(rows[place.record], **record)
        changed: dict[str, Any] = {place.block: tuple(rows)}
        job = attrs.evolve(job, **changed)
    return job, findings
