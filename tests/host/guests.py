"""A small book such as our writer makes, for tests that need no whole bid."""

from __future__ import annotations

from pathlib import Path

import xlsxwriter
from dots import dot

from sheetgen.host.merge import merge
from sheetgen.host.package import Package
from sheetgen.host.part_out import take_apart
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import read_raw

NAMES = ("figure", "list_of_words")
SHEETS = ("Start", "Sums")
COLOUR = b"\1\2\3"


def guest(path: Path, prefix: str = "", before: str = "") -> Path:
    """Write two sheets with names, a chart, a picture, a rule, a page title, looks and texts."""
    book = xlsxwriter.Workbook(path)
    head = book.add_format({"bold": True, "bg_color": "#E4E7EA", "border": 1, "num_format": "@"})
    entry = book.add_format({"bg_color": "#FFF6DA", "locked": False, "num_format": "0.0##", "font_size": 10})
    low = book.add_format({"font_color": "#9C0006"})
    start, sums = (book.add_worksheet(f"{prefix}{title}") for title in SHEETS)
    start.write_string(0, 0, "Start & <go>", head)
    start.write_string(1, 0, " spaces ")
    start.write_number(2, 1, 1.5, entry)
    start.set_row(4, 20, head)
    start.set_column(1, 1, 30)
    start.protect()
    start.repeat_rows(0)
    start.data_validation("B3", {"validate": "decimal", "criteria": ">", "value": 0})
    sums.write_formula(0, 0, f"='{prefix}Start'!B3*2", head, 3)
    sums.write_formula(1, 0, f"={before}figure+A1", None, 6)
    sums.conditional_format("A1:A2", {"type": "cell", "criteria": "<", "value": 0, "format": low})
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": [f"{prefix}Sums", 0, 0, 1, 0]})
    sums.insert_chart("C2", chart)
    start.insert_image("D2", "dot.png", {"image_data": dot(COLOUR)})
    book.define_name(f"{before}figure", f"='{prefix}Sums'!$A$1")
    book.define_name(f"{before}list_of_words", f"='{prefix}Start'!$A$1:$A$2")
    book.close()
    return path


def workbook_of(path: Path) -> str:
    """Return the workbook part of a host."""
    return read_raw(path, HOST, lambda _root, _tabs: ()).inspected.workbook


def add(path: Path, out: Path, prefix: str = "", before: str = "") -> Path:
    """Put the sheets of the small book into a host."""
    package = Package(path)
    ours = guest(out.with_name(f"guest-{out.name}"), prefix, before)
    merge(package, workbook_of(path), Package(ours), recalculate=False)
    package.save(out)
    return out


def take(path: Path, out: Path, prefix: str = "", before: str = "") -> Path:
    """Take them out again."""
    package = Package(path)
    take_apart(package, workbook_of(path), [f"{prefix}{one}" for one in SHEETS], [f"{before}{one}" for one in NAMES], {})
    package.save(out)
    return out
