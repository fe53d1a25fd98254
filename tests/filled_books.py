"""Filled books for tests of what reads them: a job that is done, one that runs, and a metric one."""

from __future__ import annotations

import datetime as dt
import functools
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path
from xml.sax.saxutils import escape

import attrs
import openpyxl
from jobs import OF_STARTER, demo_job

from sheetgen.book.compile import compiled
from sheetgen.book.contents import serial
from sheetgen.book.plan import Plan, column_name
from sheetgen.book.stamp import FIELDS, Stamp
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of
from sheetgen.engine.job import Job
from sheetgen.engine.records import Account, Area, Bill, ChangeOrder, CostEntry, HoursEntry
from sheetgen.jobfile import starter

DAY = dt.date(2026, 3, 2)
ROWS = {
    **OF_STARTER, "zones": 4, "areas": 8, "offsets": 5, "linear": 3, "readings": 6, "pours": 4, "batches": 60, "visits": 8,
    "hours_log": 16, "materials_log": 12,
}  # fmt: skip
# As few rows as `metric_job` needs: an eighth of the cells of a book as it is handed out.
LEAST = {
    **OF_STARTER, "zones": 2, "areas": 4, "offsets": 2, "linear": 2, "readings": 2, "pours": 2, "batches": 20, "visits": 4,
    "tasks": 8, "products": 8, "lines": 4, "systems": 2, "layers": 5, "hours_log": 3, "materials_log": 3, "payments": 3, "costs_log": 2,
    "change_orders": 1, "bills": 1, "weather_log": 1,
}  # fmt: skip
NAME = '=HYPERLINK("x")'


def put(job: Job, path: Path, book_id: str, rows: Mapping[str, int] = ROWS) -> Path:
    """Write a book of a job; what the checks say of such books is tested elsewhere."""
    made = compiled("bid", job.system, rows)
    write(path, contents_of(made, job), Stamp.of(made.plan, book_id, DAY))
    return path


def done_job() -> Job:
    job = demo_job()
    return attrs.evolve(job, job=attrs.evolve(job.job, status="done", number="D-1", name="Done"))


def running_job() -> Job:
    job = demo_job()
    return attrs.evolve(
        job, job=attrs.evolve(job.job, status="running", number="R-1", name=NAME), hours_log=job.hours_log[:2], materials_log=()
    )


def metric_job() -> Job:
    """Return a job of one area that is done, with one system and what it takes."""
    job = starter("metric")
    system = job.systems[0]
    layers = tuple(layer for layer in job.layers if layer.system == system.name)
    lines = job.lines[:3]
    bought = {system.product, *(one.product for one in (*layers, *lines))}
    works = {"Mask and protect", "Grind", "Mix", "Place", "First trowel", "Second trowel", "Clean up"}
    return attrs.evolve(
        job, job=attrs.evolve(job.job, status="done", number="M-1", name="Metric"), areas=(Area(first=5.0, second=4.0),),
        systems=(system,), layers=layers, lines=lines, products=tuple(one for one in job.products if one.name in bought),
        tasks=tuple(one for one in job.tasks if one.name in works),
        hours_log=(HoursEntry(date=DAY, task="Place", zone="Zone 1", people=1.0, hours_each=2.0, area_done=20.0),),
    )  # fmt: skip


def busy_job() -> Job:
    """Return a job that runs, with other costs, change orders, bills, and a row that cannot be used."""
    job = demo_job()
    hours = HoursEntry(date=dt.date(2026, 3, 13), task=job.tasks[0].name, people=2.0, hours_each=2.0, change_order="CO-1")
    return attrs.evolve(
        job, job=attrs.evolve(job.job, status="running", number="B-1", name="Busy", decided_date=dt.date(2026, 3, 4)),
        terms=attrs.evolve(job.terms, retainage=0.10), progress=attrs.evolve(job.progress, to_go_own=1500.0),
        accounts=tuple(Account(account=f"62{number}0", tax_code="T1" if number == 3 else None) for number in range(1, 9)),
        hours_log=(*job.hours_log[:3], hours),
        costs_log=(
            CostEntry(date=dt.date(2026, 3, 10), kind="travel", supplier="Ferry", amount=120.0, tax=9.90, receipt="R-7"),
            CostEntry(date=dt.date(2026, 3, 11), kind="sample_panel", amount=300.0, change_order="CO-1"),
            CostEntry(date=dt.date(2026, 3, 11), kind="permits", receipt="R-8"),
            CostEntry(date=dt.date(2026, 3, 20), kind="travel", amount=-20.0),
        ),
        change_orders=(
            ChangeOrder(name="CO-1", hours=6.0, other=300.0, price=800.0, accepted="yes"), ChangeOrder(name="CO-2", hours=3.0, price=100.0),
        ),
        bills=(
            Bill(date=dt.date(2026, 3, 12), kind="bill", amount=2000.0), Bill(date=dt.date(2026, 3, 18), kind="payment", amount=1800.0),
            Bill(date=dt.date(2026, 3, 25), kind="bill", amount=1000.0),
        ),
    )  # fmt: skip


def type_into(book: Path, goal: Path, typed: Mapping[str, object]) -> Path:
    """Save a US book under another name, with other values in some fields, as a spreadsheet program does: ``zones.name[2]``."""
    workbook = openpyxl.load_workbook(book)
    for name, value in typed.items():
        block, _, field = name.partition("[")[0].partition(".")
        record = int(name.partition("[")[2].rstrip("]") or 1) - 1
        spot = compiled("bid", "us", ROWS).plan.spot(block, field).cell(record)
        workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = value
    workbook.save(goal)
    return goal


def fill_in(book: Path, goal: Path, typed: Mapping[str, object]) -> Path:
    """Do as `type_into`, thirty times faster: only the cells that differ are written; for tests to which the program is all one."""
    return _copies(book).fill(goal, typed)


@functools.cache
def _copies(book: Path) -> Copies:
    return Copies(book, compiled("bid", "us", ROWS).plan)


class Copies:
    """A built book of which many filled copies are made: only the cells that differ are written, straight into the file.

    Parameters
    ----------
    book : Path
        The book.
    plan : Plan
        Its plan.
    """

    def __init__(self, book: Path, plan: Plan) -> None:
        self.plan = plan
        with zipfile.ZipFile(book) as archive:
            self.parts = {name: archive.read(name) for name in archive.namelist()}
        sheets = re.findall(r'<sheet name="([^"]+)" sheetId="(\d+)"', self.parts["xl/workbook.xml"].decode())
        self.files = {name: f"xl/worksheets/sheet{number}.xml" for name, number in sheets}

    def fill(self, goal: Path, typed: Mapping[str, object], **stamp: str) -> Path:
        """Save a copy with other values in some fields (``hours_log.task[3]``; dates, numbers, words) and another stamp."""
        cells = {self._place(name): value for name, value in typed.items()}
        parts = dict(self.parts)
        for name, text in stamp.items():
            assert name in FIELDS
            cells[self._named(f"stamp_{name}")] = text
            told, count = re.subn(
                rf'(name="sheetgen_{name}"[^>]*><vt:lpwstr>)[^<]*', rf"\g<1>{escape(text)}", parts["docProps/custom.xml"].decode()
            )
            assert count == 1
            parts["docProps/custom.xml"] = told.encode()
        for sheet in {sheet for sheet, _ in cells}:
            mine = {cell: value for (one, cell), value in cells.items() if one == sheet}
            parts[self.files[sheet]] = self._with(parts[self.files[sheet]].decode(), mine).encode()
        with zipfile.ZipFile(goal, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
            for name, content in parts.items():
                archive.writestr(name, content)
        return goal

    def _place(self, name: str) -> tuple[str, str]:
        block, _, field = name.partition("[")[0].partition(".")
        cell = self.plan.spot(block, field).cell(int(name.partition("[")[2].rstrip("]") or 1) - 1)
        return cell.sheet, f"{column_name(cell.column)}{cell.row + 1}"

    def _named(self, name: str) -> tuple[str, str]:
        found = re.search(rf'<definedName name="{name}"[^>]*>([^<]+)<', self.parts["xl/workbook.xml"].decode())
        assert found is not None
        sheet, _, cell = found[1].partition("!")
        return sheet.strip("'"), cell.replace("$", "")

    @staticmethod
    def _with(xml: str, cells: Mapping[str, object]) -> str:
        written = set()

        def put(found: re.Match[str]) -> str:
            if found["at"] not in cells:
                return found[0]
            written.add(found["at"])
            value = cells[found["at"]]
            if isinstance(value, dt.date):
                value = serial(value)
            style = f's="{found["style"]}"'
            if isinstance(value, str):
                return f'<c r="{found["at"]}" {style} t="inlineStr"><is><t>{escape(value)}</t></is></c>'
            return f'<c r="{found["at"]}" {style}/>' if value is None else f'<c r="{found["at"]}" {style}><v>{value!r}</v></c>'

        filled = re.sub(r'<c r="(?P<at>[A-Z]+\d+)" s="(?P<style>\d+)"[^>/]*(?:/>|>.*?</c>)', put, xml)
        assert written == set(cells), f"no such cells: {set(cells) - written}"
        return filled
