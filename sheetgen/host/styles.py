"""Style tables: ours are put behind the host's, so that no index of the host changes, and cut off again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

import attrs
from lxml import etree

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.host.splice import Element, Splice, attributes, written
from sheetgen.reader.package import local

MOST_FORMATS: Final = 64_000
_FIRST_OWN_NUMBER_FORMAT: Final = 164
_ORDER: Final = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors", "extLst",
)  # fmt: skip
# What a cell without a style of its own looks like, for a host that does not say so: it must stay the first of each table.
_FILLERS: Final = {
    "fonts": '<{0}font><{0}sz val="11"/><{0}name val="Calibri"/></{0}font>',
    "fills": '<{0}fill><{0}patternFill patternType="none"/></{0}fill><{0}fill><{0}patternFill patternType="gray125"/></{0}fill>',
    "borders": "<{0}border/>",
    "cellXfs": "<{0}xf/>",
}
_PARTS_OF_A_FORMAT: Final = (("fonts", "fontId"), ("fills", "fillId"), ("borders", "borderId"))
_APPLY: Final = ("NumberFormat", "Font", "Fill", "Border", "Alignment", "Protection")
# Text and background of the theme, by the numbers under which cells call them: our sheets look the same under every theme.
_THEME: Final = {"0": "FFFFFFFF", "1": "FF000000"}
# For a host without a styles part.
BLANK: Final = (
    b'<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><fonts count="1"><font><sz val="11"/>'
    b'<name val="Calibri"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill '
    b'patternType="gray125"/></fill></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf numFmtId="0" '
    b'fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" '
    b'xfId="0"/></cellXfs><cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
)


@attrs.frozen
class Merged:
    """Style tables with ours behind the host's.

    Parameters
    ----------
    data : bytes
        The styles part.
    formats, differential : mapping of int to int
        Index in the host of each of our cell formats, and of our differential formats.
    """

    data: bytes
    formats: Mapping[int, int]
    differential: Mapping[int, int]


def merge(host: bytes, guest: Any, used: Sequence[int], place: str) -> Merged:
    """Put the formats that our sheets use behind those of a host.

    Parameters
    ----------
    host : bytes
        The host's styles part.
    guest : lxml element
        Root of our styles part; its only named style is Normal, for which the host's stands.
    used : sequence of int
        Cell formats that our sheets use [index].
    place : str
        What findings call the host.

    Raises
    ------
    Refused
        The host would have too many cell formats.
    """
    splice = Splice(host)
    tables = {local(table.tag): list(table) for table in guest}
    formats = [tables["cellXfs"][index] for index in used]
    table = splice.root.child("cellXfs")
    there = len(table.children) if table is not None else 1
    over = there + len(formats) - MOST_FORMATS
    if over > 0:
        raise Refused(
            [Finding("host-styles", Severity.ERROR, place,
                     f"has {there:,} cell formats; with the {len(formats):,} of our sheets it is {over:,} over {MOST_FORMATS:,}",
                     "delete cell styles and formats that are not used, or copy your sheets into a new workbook")]
        )  # fmt: skip
    numbers = _number_formats(splice, tables.get("numFmts", []), formats)
    places = {name: _table(splice, name, tables[name], formats, key) for name, key in _PARTS_OF_A_FORMAT}
    has_named = (named := splice.root.child("cellStyleXfs")) is not None and bool(named.children)
    for one in formats:
        one.set("numFmtId", str(numbers.get(int(one.get("numFmtId", "0")), int(one.get("numFmtId", "0")))))
        for name, key in _PARTS_OF_A_FORMAT:
            one.set(key, str(places[name][int(one.get(key, "0"))]))
        for what in _APPLY:
            one.set(f"apply{what}", "1")
        one.attrib.pop("xfId", None)
        if has_named:
            one.set("xfId", "0")
    first = _append(splice, "cellXfs", formats)
    differential = tables.get("dxfs", [])
    first_differential = _append(splice, "dxfs", differential) if differential else 0
    return Merged(
        splice.result(),
        {index: first + number for number, index in enumerate(used)},
        {number: first_differential + number for number in range(len(differential))},
    )


def _number_formats(splice: Splice, ours: Iterable[Any], formats: Iterable[Any]) -> dict[int, int]:
    wanted = {one.get("numFmtId") for one in formats}
    ours = [one for one in ours if one.get("numFmtId") in wanted]
    table = splice.root.child("numFmts")
    highest = max((one.whole("numFmtId") for one in table.children), default=0) if table is not None else 0
    first = max(highest + 1, _FIRST_OWN_NUMBER_FORMAT)
    found = {int(one.get("numFmtId")): first + number for number, one in enumerate(ours)}
    for one in ours:
        one.set("numFmtId", str(found[int(one.get("numFmtId"))]))
    if ours:
        _append(splice, "numFmts", ours)
    return found


def _table(splice: Splice, name: str, ours: Sequence[Any], formats: Iterable[Any], key: str) -> dict[int, int]:
    used = sorted({int(one.get(key, "0")) for one in formats})
    items = [_plain(ours[index]) for index in used]
    first = _append(splice, name, items)
    return {index: first + number for number, index in enumerate(used)}


def _plain(item: Any) -> Any:
    """Return a font, fill or border that does not follow the theme."""
    for element in [*item.iter("{*}scheme")]:
        element.getparent().remove(element)
    for element in item.iter():
        colour = _THEME.get(element.attrib.get("theme", ""))
        if colour is not None:
            del element.attrib["theme"]
            element.set("rgb", colour)
    etree.cleanup_namespaces(item)
    return item


def _append(splice: Splice, name: str, items: Sequence[Any]) -> int:
    """Put items at the end of a table, which is made where there is none; return the index of the first."""
    table = splice.root.child(name)
    prefix = splice.root.prefix
    added = b"".join(written(item, prefix) for item in items)
    there = len(table.children) if table is not None else 0
    filler = b""
    if not there and name in _FILLERS:
        filler = _filler(name, prefix)
        there = filler.count(b"<" + prefix.encode() + name[:-1].encode()) if name != "cellXfs" else 1
    total = str(there + len(items))
    if table is None:
        later = _ORDER[_ORDER.index(name) + 1 :]
        splice.make(splice.root, name, filler + added, later, attributes({"count": total}))
        return there
    splice.append(table, filler + added)
    if "count" in table.attributes:
        splice.set(table, "count", total)
    return there


def _filler(name: str, prefix: str) -> bytes:
    return _FILLERS.get(name, "").format(prefix).encode()


def cut(data: bytes, first: int, count: int) -> bytes:
    """Take cell formats out again, with the fonts, fills, borders and number formats that only they use.

    Parameters
    ----------
    data : bytes
        The styles part.
    first, count : int
        Our cell formats, which stand one behind the other [index, count]; indices behind them go down by the count.

    Returns
    -------
    bytes
        The styles part; a font, fill or border stays where anything else uses it.
    """
    splice = Splice(data)
    table = splice.root.child("cellXfs")
    assert table is not None
    gone = table.children[first : first + count]
    named = splice.root.child("cellStyleXfs")
    left = [*(named.children if named else ()), *table.children[:first], *table.children[first + count :]]
    behind = table.children[first + count :]
    for name, key in _PARTS_OF_A_FORMAT:
        owner = splice.root.child(name)
        used = sorted({one.whole(key) for one in gone})
        free = used == list(range(used[0], used[0] + len(used))) and used[0] > 0
        if owner is None or not free or used[-1] >= len(owner.children) or any(one.whole(key) in used for one in left):
            continue
        splice.cut(owner, owner.children[used[0] : used[-1] + 1], _filler(name, owner.prefix))
        for one in [*(named.children if named else ()), *table.children[:first], *behind]:
            if one.whole(key) > used[-1]:
                splice.set(one, key, str(one.whole(key) - len(used)))
    _cut_number_formats(splice, gone, left)
    splice.cut(table, gone, _filler("cellXfs", table.prefix))
    return splice.result()


def cut_differential(data: bytes, first: int, count: int) -> bytes | None:
    """Take differential formats out again; indices behind them go down by the count [index, count].

    Returns
    -------
    bytes or None
        The styles part; None where a table style uses one of them, so that they must stay.
    """
    splice = Splice(data, depth=4)
    table = splice.root.child("dxfs")
    assert table is not None
    held = splice.root.child("tableStyles")
    lines = [line for style in (held.children if held else ()) for line in style.children if "dxfId" in line.attributes]
    for element in lines:
        index = element.whole("dxfId")
        if index >= first + count:
            splice.set(element, "dxfId", str(index - count))
        elif index >= first:
            return None
    splice.cut(table, table.children[first : first + count])
    return splice.result()


def _cut_number_formats(splice: Splice, gone: Iterable[Element], left: Iterable[Element]) -> None:
    owner = splice.root.child("numFmts")
    if owner is None:
        return
    # Differential formats carry their number formats with them and use none of this table.
    free = {one.whole("numFmtId") for one in gone} - {one.whole("numFmtId") for one in left}
    splice.cut(owner, [one for one in owner.children if one.whole("numFmtId") in free])
