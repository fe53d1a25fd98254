"""Ways in which a workbook comes to harm: bits that flip, zips that lie, XML that was edited by hand or by somebody with a plan."""

from __future__ import annotations

import io
import random
import re
import struct
import warnings
import zipfile
from collections.abc import Callable

Parts = dict[str, bytes]
Dice = random.Random

_TAG = re.compile(rb"<[^>]{1,400}>")
_ATTRIBUTE = re.compile(rb'="[^"<]{0,200}"')
_TEXT = re.compile(rb">[^<]{1,200}<")
VALUES = (
    b"", b"-1", b"0", b"1", b"4294967296", b"99999999999999999999", b"1e308", b"1e999", b"NaN", b"INF", b"A1:XFD1048576", b"XFD1048576",
    b"A0", b"ZZZ1", b"../../etc/passwd", b"file:///etc/passwd", b"\\\\host\\share", b"http://localhost/", b"&#0;", b"&#x10FFFF;", b"&amp;",
    b"&x;", b"'", b"=1+1", b"true", b"s", b"str", b"inlineStr", b"e", b"b", b"d", b"shared", b"array", b"dataTable", b"veryHidden",
    b"_x0000_", b"_xD800_", "\u202e\u200b\ufeff".encode(), b"\xff\xfe", b"x" * 40_000, b"9" * 400, b"(" * 4_000, b"us", b"metric", b"bid", b"rates",
    b"areas=5000 zones=5000 pours=5000 batches=5000", b"1 1 1", b"#REF!", b"xl/worksheets/sheet1.xml", b"rId1", b"[Content_Types].xml",
)  # fmt: skip
MAIN = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
ROWS = (
    b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>',
    b"<row>" + b"<c><v>1</v></c>" * 300 + b"</row>",
    b"<row/>" * 30_000,
    b'<row r="900"><c r="A900" t="s"><v>999999</v></c></row>',
    b'<row r="900"><c r="A900"><f>' + b"(" * 8_000 + b"</f></c></row>",
    b'<row r="900"><c r="A900"><f>' + b"SUM(" * 1_500 + b"1" + b")" * 1_500 + b"</f></c></row>",
    b'<row r="900"><c r="A900"><f t="shared" si="0" ref="A900:IV900">A1</f></c><c r="B900"><f t="shared" si="0"/></c></row>',
    b'<row r="900"><c r="A900" t="inlineStr"><is><t>' + b"x" * 33_000 + b"</t></is></c></row>",
    b'<row r="900"><c r="A900" t="d"><v>2026-99-99</v></c></row>',
)
AFTER = (
    b'<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>',
    b"<mergeCells>" + b'<mergeCell ref="A1:B2"/>' * 21_000 + b"</mergeCells>",
    b'<dataValidations><dataValidation type="list" sqref="' + b"A1:IV20000 " * 3_000 + b'"><formula1>A1</formula1></dataValidation></dataValidations>',
    b"<a>" * 200 + b"</a>" * 200,
    b"<!--" + b"-" * 5_000,
    b"<?x?>" * 500,
)
NAMES = ("../x", "/x", "C:/x", "a\\b", "xl/vbaProject.bin", "xl/externalLinks/externalLink1.xml", "xl/connections.xml", "xl/WORKBOOK.xml",
         "xl/embeddings/oleObject1.bin", "x" * 400, "\u202ex", "mimetype", "word/document.xml", "docProps/custom.xml", "xl/comments1.xml")  # fmt: skip


def unzipped(data: bytes) -> Parts:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def zipped(parts: Parts, more: tuple[tuple[str, bytes], ...] = ()) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # two parts of one name are what is wanted
        for name, content in (*parts.items(), *more):
            archive.writestr(name, content)
    return out.getvalue()


def _chosen(parts: Parts, dice: Dice) -> str:
    """Return a part; the one that names all, those that describe and the first sheets more often than others."""
    names = list(parts)
    small = [name for name in names if "worksheets" not in name] or names
    return dice.choice(small if dice.random() < 0.5 else names)


def _spliced(data: bytes, at: int, end: int, new: bytes) -> bytes:
    return data[:at] + new + data[end:]


def _one_of(pattern: re.Pattern[bytes], data: bytes, dice: Dice) -> re.Match[bytes] | None:
    start = dice.randrange(len(data)) if data else 0
    return pattern.search(data, start) or pattern.search(data)


def flip_bits(data: bytes, dice: Dice) -> bytes:
    changed = bytearray(data)
    for _ in range(dice.choice((1, 1, 2, 8, 64))):
        if changed:
            changed[dice.randrange(len(changed))] ^= 1 << dice.randrange(8)
    return bytes(changed)


def cut(data: bytes, dice: Dice) -> bytes:
    return data[: dice.randrange(len(data) + 1)]


def put_in(data: bytes, dice: Dice) -> bytes:
    at = dice.choice((0, len(data), dice.randrange(len(data) + 1)))
    return _spliced(data, at, at, dice.randbytes(dice.choice((1, 4, 100, 5_000))))


def lie_about_sizes(data: bytes, dice: Dice) -> bytes:
    """Change a number in the directory of the zip: sizes, place of a part, how it is packed, flags, length of its name."""
    places = [found.start() for found in re.finditer(b"PK\x01\x02", data)]
    if not places:
        return data
    at = dice.choice(places) + dice.choice((8, 10, 20, 24, 28, 30, 32, 42))
    return _spliced(data, at, at + 2, struct.pack("<H", dice.choice((0, 1, 8, 255, 65535, dice.randrange(65536)))))


def flip_part(parts: Parts, dice: Dice) -> None:
    name = _chosen(parts, dice)
    parts[name] = flip_bits(parts[name], dice)


def drop_part(parts: Parts, dice: Dice) -> None:
    del parts[_chosen(parts, dice)]


def empty_part(parts: Parts, dice: Dice) -> None:
    parts[_chosen(parts, dice)] = dice.choice((b"", b" ", b"<a/>", b"\xff\xfe", b"\x00" * 100))


def swap_parts(parts: Parts, dice: Dice) -> None:
    one, other = _chosen(parts, dice), _chosen(parts, dice)
    parts[one], parts[other] = parts[other], parts[one]


def change_tag(parts: Parts, dice: Dice) -> None:
    name = _chosen(parts, dice)
    found, other = (_one_of(_TAG, parts[name], dice) for _ in range(2))
    if found and other:
        new = dice.choice((b"", found[0] * 2, other[0], found[0].replace(b"c", b"C", 1), b"</" + found[0][1:]))
        parts[name] = _spliced(parts[name], *found.span(), new)


def change_attribute(parts: Parts, dice: Dice) -> None:
    name = _chosen(parts, dice)
    if found := _one_of(_ATTRIBUTE, parts[name], dice):
        parts[name] = _spliced(parts[name], *found.span(), b'="' + dice.choice(VALUES) + b'"')


def change_text(parts: Parts, dice: Dice) -> None:
    name = _chosen(parts, dice)
    if found := _one_of(_TEXT, parts[name], dice):
        parts[name] = _spliced(parts[name], *found.span(), b">" + dice.choice(VALUES) + b"<")


def move_piece(parts: Parts, dice: Dice) -> None:
    name = _chosen(parts, dice)
    data = parts[name]
    at, goal = sorted((dice.randrange(len(data) + 1), dice.randrange(len(data) + 1)))
    end = min(at + dice.choice((10, 100, 2_000)), goal)
    parts[name] = data[:at] + data[end:goal] + data[at:end] + data[goal:]


def add_rows(parts: Parts, dice: Dice) -> None:
    sheets = [name for name in parts if "worksheets/sheet" in name]
    if sheets:
        name = dice.choice(sheets)
        parts[name] = parts[name].replace(b"</sheetData>", dice.choice(ROWS) + b"</sheetData>", 1)


def add_after(parts: Parts, dice: Dice) -> None:
    sheets = [name for name in parts if "worksheets/sheet" in name]
    if sheets:
        name = dice.choice(sheets)
        parts[name] = parts[name].replace(b"</sheetData>", b"</sheetData>" + dice.choice(AFTER), 1)


def add_doctype(parts: Parts, dice: Dice) -> None:
    name = _chosen(parts, dice)
    bomb = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + b"".join(
        b'<!ENTITY %c "%s">' % (98 + step, b"&%c;" % (97 + step) * 10) for step in range(8)
    )
    head, _, rest = parts[name].partition(b"?>")
    parts[name] = head + b"?>" + bomb + b"]>" + rest


def add_part(parts: Parts, dice: Dice) -> None:
    content = dice.choice((b"", b"<a/>", b"\x00" * 3_000_000, dice.randbytes(100)))
    parts[dice.choice(NAMES)] = content


def add_many_parts(parts: Parts, _: Dice) -> None:
    parts.update({f"xl/media/{number}.png": b"" for number in range(320)})


OF_FILES: tuple[Callable[[bytes, Dice], bytes], ...] = (flip_bits, cut, put_in, lie_about_sizes)
OF_PARTS: tuple[Callable[[Parts, Dice], None], ...] = (
    flip_part, drop_part, empty_part, swap_parts, change_tag, change_attribute, change_text, move_piece, add_rows, add_after, add_doctype,
    add_part, add_many_parts, change_attribute, change_text, change_tag,
)  # fmt: skip


def harmed(book: bytes, seed: int, steps: int) -> bytes:
    """Return a book to which so many things happened; the same for the same seed."""
    dice = random.Random(seed)
    if dice.random() < 0.15:
        for _ in range(steps):
            book = dice.choice(OF_FILES)(book, dice)
        return book
    parts = unzipped(book)
    for _ in range(steps):
        if parts:
            dice.choice(OF_PARTS)(parts, dice)
    twice = ((next(iter(parts)), b""),) if parts and dice.random() < 0.03 else ()
    made = zipped(parts, twice)
    return dice.choice(OF_FILES)(made, dice) if dice.random() < 0.05 else made
