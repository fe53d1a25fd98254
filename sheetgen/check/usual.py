"""A workbook under the usual names of its parts: some programs find them by name and not by what points to them."""

from __future__ import annotations

import contextlib
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final
from xml.sax.saxutils import quoteattr

from sheetgen.reader.package import Package, Relationship, local, parse, relationships_name

_OFFICE: Final = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_MAIN: Final = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_USUAL: Final = {"styles": "xl/styles.xml", "sharedStrings": "xl/sharedStrings.xml", "theme": "xl/theme/theme1.xml"}
_TABLES: Final = ("fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles")
_PLAIN: Final = '<xf numFmtId="0" fontId="0" fillId="0" borderId="0"/>'
_PLAIN_STYLES: Final = (
    f'<styleSheet xmlns="{_MAIN}"><fonts><font><sz val="11"/><name val="Calibri"/></font></fonts><fills><fill>'
    f'<patternFill patternType="none"/></fill></fills><borders><border/></borders><cellStyleXfs>{_PLAIN}</cellStyleXfs>'
    '<cellXfs>{}</cellXfs><cellStyles><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
)


@contextlib.contextmanager
def usual(path: Path) -> Iterator[Path]:
    """Give a workbook whose parts have the usual names: the file itself, or a copy of what is needed to recalculate it.

    Parameters
    ----------
    path : Path
        The workbook, which the gate must have let through.

    Yields
    ------
    Path
        The file; a copy is gone afterwards.
    """
    if not zipfile.is_zipfile(path):
        yield path
        return
    with zipfile.ZipFile(path) as zipped:
        names = {name.casefold(): name for name in zipped.namelist()}

        def lines(part: str = "") -> tuple[Relationship, ...]:
            name = names.get(relationships_name(part).casefold())
            return Package({name: zipped.read(name)}).relationships(part) if name else ()

        workbook = next((line.target for line in lines() if line.kind == "officeDocument"), "")
        related = lines(workbook)
        if _is_usual(workbook, related) and _has_all_tables(zipped.read(names["xl/styles.xml"])):
            yield path
            return
        with tempfile.TemporaryDirectory(prefix="sheetgen-usual-") as folder:
            copy = Path(folder, "book.xlsx")
            with zipfile.ZipFile(copy, "w") as out:
                for name, data in _renamed(zipped, names, workbook, related, lines):
                    out.writestr(name, data)
            yield copy


def _is_usual(workbook: str, related: tuple[Relationship, ...]) -> bool:
    kinds = {line.kind: line.target for line in related}
    named = all(kinds.get(kind, usual_name) == usual_name for kind, usual_name in _USUAL.items() if kind != "theme")
    sheets = all(line.target.startswith("xl/worksheets/") for line in related if line.kind == "worksheet")
    return workbook == "xl/workbook.xml" and "styles" in kinds and named and sheets


def _has_all_tables(styles: bytes) -> bool:
    return {local(table.tag) for table in parse(styles)} >= set(_TABLES)


def _plain_styles(styles: bytes | None) -> bytes | str:
    """Return styles with every table: the book's own, or as many plain formats, for looks do not matter to a sum."""
    if styles is not None and _has_all_tables(styles):
        return styles
    formats = 1 if styles is None else max(1, sum(len(table) for table in parse(styles) if local(table.tag) == "cellXfs"))
    return _PLAIN_STYLES.format(_PLAIN * formats)


def _renamed(
    zipped: zipfile.ZipFile, names: dict[str, str], workbook: str, related: tuple[Relationship, ...], lines: object
) -> Iterator[tuple[str, bytes | str]]:
    assert callable(lines)

    def read(part: str) -> bytes:
        return zipped.read(names[part.casefold()])

    yield "[Content_Types].xml", (
        '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" '
        'ContentType="application/xml"/></Types>'
    )
    yield "_rels/.rels", _relationships([("r1", "officeDocument", "xl/workbook.xml")])
    yield "xl/workbook.xml", read(workbook)
    made: list[tuple[str, str, str]] = []
    tables = 0
    for number, line in enumerate((line for line in related if line.kind == "worksheet"), 1):
        name = f"xl/worksheets/sheet{number}.xml"
        made.append((line.id, "worksheet", name.removeprefix("xl/")))
        yield name, read(line.target)
        inside: list[tuple[str, str, str]] = []
        for table in lines(line.target):
            if table.kind == "table":
                tables += 1
                inside.append((table.id, "table", f"../tables/table{tables}.xml"))
                yield f"xl/tables/table{tables}.xml", read(table.target)
        if inside:
            yield relationships_name(name), _relationships(inside)
    held = {line.kind: line for line in related}
    for kind, name in _USUAL.items():
        if kind in held or kind == "styles":
            made.append((held[kind].id if kind in held else "rStyles", kind, name.removeprefix("xl/")))
            data = read(held[kind].target) if kind in held else None
            yield name, _plain_styles(data) if kind == "styles" else data or b""
    made += [(line.id, line.kind, line.target) for line in related if line.kind == "chartsheet"]
    yield "xl/_rels/workbook.xml.rels", _relationships(made)


def _relationships(lines: list[tuple[str, str, str]]) -> str:
    inside = "".join(
        f'<Relationship Id={quoteattr(id_)} Type="{_OFFICE}/{kind}" Target={quoteattr(target)}/>' for id_, kind, target in lines
    )
    return f'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">{inside}</Relationships>'
