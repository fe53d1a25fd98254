"""Workbooks as people have them, made by several programs, and odd ones that are legal all the same."""

from __future__ import annotations

import re
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pandas as pd
import xlsxwriter
from dots import dot
from features import FEATURES, Parts, by_years_of_use
from filled_books import LEAST

from sheetgen.picture import picture_of

ROWS = LEAST
LINKS = ("customer=Customers!B4", "takeoff.waste=Customers!$B$5", "areas.first[1]='Customers'!B6")
FIRM = picture_of(dot(b"\1\2\3").getvalue(), Path("firm.png"))
_VALIDATOR = Path(__file__).parents[3] / "shared" / "tools" / "validate_ooxml.py"


def by_openpyxl(path: Path) -> Path:
    """Customers, a summary with formulas, a name, and no calculation chain."""
    book = openpyxl.Workbook()
    summary = book.active
    summary.title = "Summary"
    for row, value in enumerate((10, 20.5, 30), 1):
        summary.cell(row, 1).value = value
        summary.cell(row, 2).value = f"=A{row}*2"
    summary["B5"] = "=SUM(B1:B3)"
    summary["B6"] = '=IF(B5>100,"good","poor")'
    summary.freeze_panes = "A2"
    customers = book.create_sheet("Customers")
    customers["A4"], customers["B4"], customers["B5"] = "Name", "Ann Example", 0.125
    customers["B6"] = "=B5*2"
    book.defined_names["yearly"] = openpyxl.workbook.defined_name.DefinedName("yearly", attr_text="Summary!$B$5")
    book.save(path)
    return path


def by_xlsxwriter(path: Path) -> Path:
    """Everything that a library drops when it does not know it."""
    book = xlsxwriter.Workbook(path)
    book.set_properties({"title": "Office", "author": "A. Person"})
    book.set_custom_property("Department", "Yard")
    bold = book.add_format({"bold": True, "bg_color": "#FFCC00", "num_format": "0.000"})
    red = book.add_format({"font_color": "#9C0006"})
    sheet = book.add_worksheet("Office")
    sheet.write_row(0, 0, ["item", "count", "price"], bold)
    for row in range(1, 10):
        sheet.write_row(row, 0, [f"item {row}", row, row * 1.5])
    sheet.add_table(0, 0, 9, 3, {"name": "Stock", "columns": [{"header": "item"}, {"header": "count"}, {"header": "price"},
                                                             {"header": "total", "formula": "=[@count]*[@price]"}]})  # fmt: skip
    for kind, cell in (("column", "F2"), ("pie", "F20")):
        chart = book.add_chart({"type": kind})
        chart.add_series({"values": "=Office!$B$2:$B$10"})
        sheet.insert_chart(cell, chart)
    sheet.insert_image("N2", "dot.png", {"image_data": dot()})
    sheet.add_sparkline(1, 12, {"range": "Office!B2:B10"})
    sheet.data_validation("H2", {"validate": "list", "source": ["yes", "no"]})
    sheet.conditional_format("B2:B10", {"type": "data_bar"})
    sheet.conditional_format("C2:C10", {"type": "cell", "criteria": ">", "value": 5, "format": red})
    sheet.write_comment("A1", "what there is")
    sheet.insert_checkbox("J2", True)
    sheet.write_formula("K1", "=SUM(B2:B10)", None, 45)
    sheet.write_array_formula("L1:L2", "{=B2:B3*2}", None, 2)
    sheet.write_formula("K3", "=SUBTOTAL(9,B2:B10)", None, 45)
    sheet.write_rich_string("A12", "half ", bold, "bold")
    sheet.merge_range("A14:C14", "together", bold)
    sheet.write_url("A16", "https://example.com/")
    sheet.print_area(0, 0, 15, 4)
    sheet.set_footer("&P")
    shown = book.add_chartsheet("Chart")
    line = book.add_chart({"type": "line"})
    line.add_series({"values": "=Office!$B$2:$B$10"})
    shown.set_chart(line)
    other = book.add_worksheet("It's odd")
    other.write_formula("A1", "=Office!K1+1", None, 46)
    other.hide()
    book.define_name("Rate_of_year", "=Office!$C$2")
    book.define_name("doubled", "=Office!$C$2*2")
    book.define_name("Office!here", "=Office!$A$1")
    book.close()
    return path


def by_pandas(path: Path) -> Path:
    """A plain table."""
    table = pd.DataFrame({"month": pd.date_range("2025-01-01", periods=12, freq="MS"), "sales": range(12)})
    with pd.ExcelWriter(path, engine="openpyxl") as out:
        table.to_excel(out, sheet_name="Sales", index=False)
    return path


def parts_of(path: Path) -> Parts:
    """Return the parts of a workbook in their order."""
    with zipfile.ZipFile(path) as zipped:
        return {name: zipped.read(name) for name in zipped.namelist()}


def save(parts: Parts, path: Path) -> Path:
    """Write parts as a workbook."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        for name, data in parts.items():
            out.writestr(name, data)
    return path


def _edit(parts: Parts, name: str, before: str, after: str) -> None:
    made = re.sub(before.encode(), after.encode(), parts[name])
    assert made != parts[name]
    parts[name] = made


def _move(parts: Parts, old: str, new: str, target: str) -> None:
    parts[new] = parts.pop(old)
    _edit(parts, "xl/_rels/workbook.xml.rels", f'Target="[^"]*{old.rpartition("/")[2]}"', f'Target="{target}"')
    _edit(parts, "[Content_Types].xml", f'PartName="/{old}"', f'PartName="/{new}"')


def _without(parts: Parts, kind: str, name: str) -> None:
    del parts[name]
    _edit(parts, "xl/_rels/workbook.xml.rels", f'<Relationship [^>]*/{kind}"[^>]*/>', "")
    _edit(parts, "[Content_Types].xml", f'<Override [^>]*PartName="/{name}"[^>]*/>', "")


def no_shared_strings(parts: Parts) -> None:
    strings = re.findall(rb"<si>(.*?)</si>", parts["xl/sharedStrings.xml"], re.DOTALL)
    for name in [name for name in parts if name.startswith("xl/worksheets/sheet")]:
        parts[name] = re.sub(
            rb't="s"><v>(\d+)</v>', lambda found: b't="inlineStr"><is>' + strings[int(found[1])] + b"</is>", parts[name]
        )
    _without(parts, "sharedStrings", "xl/sharedStrings.xml")


def no_styles(parts: Parts) -> None:
    for name in [name for name in parts if name.startswith("xl/worksheets/sheet")]:
        parts[name] = re.sub(rb' (s|customFormat)="\d+"', b"", parts[name])
    _without(parts, "styles", "xl/styles.xml")


def bare_styles(parts: Parts) -> None:
    parts["xl/styles.xml"] = re.sub(rb"<(fonts|fills|borders|cellStyleXfs|cellStyles)\b.*?</\1>", b"", parts["xl/styles.xml"])
    parts["xl/styles.xml"] = re.sub(rb' xfId="\d+"', b"", parts["xl/styles.xml"])


def absolute_targets(parts: Parts) -> None:
    _edit(parts, "xl/_rels/workbook.xml.rels", 'Target="(?:/xl/)?', 'Target="/xl/')


def unusual_names(parts: Parts) -> None:
    _move(parts, "xl/worksheets/sheet1.xml", "data/First_page.xml", "../data/First_page.xml")


def unusual_styles(parts: Parts) -> None:
    _move(parts, "xl/styles.xml", "xl/looks.xml", "looks.xml")


def unusual_workbook(parts: Parts) -> None:
    absolute_targets(parts)
    parts["book/wb.xml"] = parts.pop("xl/workbook.xml")
    parts["book/_rels/wb.xml.rels"] = parts.pop("xl/_rels/workbook.xml.rels")
    _edit(parts, "_rels/.rels", 'Target="/?xl/workbook.xml"', 'Target="/book/wb.xml"')
    _edit(parts, "[Content_Types].xml", "/xl/workbook.xml", "/book/wb.xml")


def prefixed(parts: Parts) -> None:
    for name in ("xl/workbook.xml", "xl/styles.xml", "xl/worksheets/sheet1.xml"):
        text = re.sub(r"<(/?)(?=[A-Za-z])(?!\w+:)", r"<\1x:", parts[name].decode())
        parts[name] = text.replace(" xmlns=", " xmlns:x=").encode()


def with_chain(parts: Parts) -> None:
    cells = re.findall(rb'<c r="([A-Z]+\d+)"[^>]*><f', parts["xl/worksheets/sheet1.xml"])
    first, *rest = [cell.decode() for cell in cells]
    inside = f'<c r="{first}" i="1"/>' + "".join(f'<c r="{cell}"/>' for cell in rest)
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    parts["xl/calcChain.xml"] = f'<calcChain xmlns="{main}">{inside}</calcChain>'.encode()
    kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/calcChain"
    _edit(parts, "xl/_rels/workbook.xml.rels", "</Relationships>",
          f'<Relationship Id="rIdChain" Type="{kind}" Target="calcChain.xml"/></Relationships>')  # fmt: skip
    _edit(parts, "[Content_Types].xml", "</Types>", '<Override PartName="/xl/calcChain.xml" ContentType="application/'
          'vnd.openxmlformats-officedocument.spreadsheetml.calcChain+xml"/></Types>')  # fmt: skip


def rels_by_override(parts: Parts) -> None:
    kind = "application/vnd.openxmlformats-package.relationships+xml"
    lines = "".join(f'<Override PartName="/{name}" ContentType="{kind}"/>' for name in parts if name.endswith(".rels"))
    _edit(parts, "[Content_Types].xml", '<Default Extension="rels"[^>]*/>', "")
    _edit(parts, "[Content_Types].xml", "</Types>", f"{lines}</Types>")


ODD: dict[str, Callable[[Parts], None]] = {
    one.__name__: one
    for one in (
        no_shared_strings, no_styles, bare_styles, absolute_targets, unusual_names, unusual_styles, unusual_workbook, prefixed,
        with_chain, rels_by_override,
    )
}  # fmt: skip
MAKERS: dict[str, Callable[[Path], Path]] = {one.__name__: one for one in (by_openpyxl, by_xlsxwriter, by_pandas)}

HOSTS = (*MAKERS, *ODD, *FEATURES)


def made(name: str, path: Path) -> Path:
    """Make a host by a program, an odd one, or one with what years of use bring."""
    if name in MAKERS:
        return MAKERS[name](path)
    base = by_years_of_use if name in FEATURES else by_xlsxwriter if name == "no_shared_strings" else by_openpyxl
    parts = parts_of(base(path))
    {**ODD, **FEATURES}[name](parts)
    return save(parts, path)


def invalid(*paths: Path) -> str:
    """Return what is wrong with workbooks by the schemas of the file format, whatever they are called; nothing where these are missing."""
    if not _VALIDATOR.exists():
        return ""
    done = subprocess.run([sys.executable, str(_VALIDATOR), *map(str, paths)], capture_output=True, text=True, check=False)
    told = "" if done.returncode == 0 else done.stdout + done.stderr
    for path in paths:
        told = told.replace(str(path), "book")
    return told
