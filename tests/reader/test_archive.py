"""Zips that are damaged, lie or explode: each breaks one guard."""

import io
import os
import struct
import warnings
import zipfile
import zlib

import attrs
import pytest
from hand_made import book_parts, codes, said, write

from sheetgen.findings import Refused
from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import BOOK

LIMITS = attrs.evolve(BOOK, ratio=10_000)  # so that a small zip can break the other limits


@pytest.mark.parametrize("kept", [0.2, 0.6, 0.99])
def test_cut_off_file(tmp_path, kept):
    path = write(tmp_path, book_parts())
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * kept)])
    with pytest.raises(Refused) as refused:
        inspect(path)
    (found,) = refused.value.findings
    assert found.code == "zip-damaged"
    assert "zip" not in found.what  # no word of the trade of programs
    assert "half" in found.what


def test_damaged_content(tmp_path):
    path = write(tmp_path, book_parts(), zipfile.ZIP_STORED)
    path.write_bytes(path.read_bytes().replace(b"<t>word</t>", b"<t>w0rd</t>"))
    assert codes(path) == {"zip-damaged"}


def test_something_after_the_end(tmp_path):
    path = write(tmp_path, book_parts())
    path.write_bytes(path.read_bytes() + b"PK and more")
    assert codes(path) == {"zip-tail"}


def test_something_before_the_beginning(tmp_path):
    path = write(tmp_path, book_parts())
    path.write_bytes(b"MZ\x90\x00" + path.read_bytes())
    assert codes(path) == {"zip-none"}


def test_comment_of_the_zip_that_could_hide_a_second_directory(tmp_path):
    path = write(tmp_path, book_parts())
    with zipfile.ZipFile(path, "a") as archive:
        archive.comment = b"x" * 40
    assert codes(path) == {"zip-tail"}


def test_too_many_parts(tmp_path):
    path = write(tmp_path, book_parts(**{f"xl/media/{number}.png": b"" for number in range(300)}))
    assert codes(path) == {"zip-parts"}
    assert "307 parts, 7 over 300" in said(path)


@pytest.mark.parametrize(
    "name",
    ["/etc/passwd", "../up.xml", "xl/../../up.xml", "xl\\up.xml", "C:/up.xml", "./a.xml", "a//b.xml", "a\nb.xml"],
)
def test_names_that_point_out_of_the_file(tmp_path, name):
    assert codes(write(tmp_path, book_parts(**{name: "<a/>"}))) == {"zip-name"}


@pytest.mark.parametrize("name", ["xl/workbook.xml", "XL/Workbook.XML"])
def test_two_parts_of_one_name(tmp_path, name):
    path = write(tmp_path, book_parts())
    with warnings.catch_warnings(), zipfile.ZipFile(path, "a") as archive:
        warnings.simplefilter("ignore")
        archive.writestr(name, "<a/>")
    assert codes(path) == {"zip-duplicate"}


def test_encrypted_part(tmp_path):
    path = write(tmp_path, book_parts())
    data = bytearray(path.read_bytes())
    data[6] |= 1
    data[data.index(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(data)
    assert codes(path) == {"zip-encrypted"}


def test_unusual_packing(tmp_path):
    assert codes(write(tmp_path, book_parts(), zipfile.ZIP_BZIP2)) == {"zip-method"}


def test_parts_that_share_bytes(tmp_path):
    path = write(tmp_path, book_parts())
    data = bytearray(path.read_bytes())
    first = data.index(b"PK\x01\x02")
    second = data.index(b"PK\x01\x02", first + 4)
    data[second + 42 : second + 46] = data[first + 42 : first + 46]
    path.write_bytes(data)
    assert codes(path) == {"zip-overlap"}


def test_unpacked_size_is_counted_not_believed(tmp_path):
    path = write(tmp_path, book_parts(**{"xl/media/a.png": os.urandom(60_000)}))
    assert codes(path, attrs.evolve(BOOK, unpacked=50_000)) == {"zip-unpacked"}


def test_size_that_lies(tmp_path):
    """A directory that declares 10 bytes for a megabyte does not smuggle the rest past the limits."""
    big = b"<a>" + bytes(1_000_000) + b"</a>"
    path = write(tmp_path, book_parts(**{"xl/big.xml": big}))
    data = path.read_bytes()
    path.write_bytes(data.replace(struct.pack("<I", len(big)), struct.pack("<I", 10)))
    assert codes(path) == {"zip-damaged"}


def test_part_that_explodes(tmp_path):
    path = write(tmp_path, book_parts(**{"xl/media/a.png": bytes(4_000_000)}))
    assert path.stat().st_size < 10_000
    assert codes(path) == {"zip-ratio"}


def test_zip_within_a_zip_is_only_counted(tmp_path):
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("bomb", bytes(90_000_000))
    seen = inspect(write(tmp_path, book_parts(**{"xl/media/inner.zip": inner.getvalue()})))
    assert "xl/media/inner.zip" not in seen.package.contents


def test_a_bomb_is_refused_before_it_is_unpacked(tmp_path):
    """A gigabyte of one letter packs to a megabyte; the gate stops at the limit."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    piece = b"x" * 1_000_000
    packed = b"".join(packer.compress(piece) for _ in range(130)) + packer.flush()
    path = write(tmp_path, book_parts(), zipfile.ZIP_STORED)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_STORED) as archive:
        archive.writestr("xl/media/bomb.png", packed)
    data = bytearray(path.read_bytes())
    local, central = data.index(b"xl/media/bomb.png") - 30, data.rindex(b"xl/media/bomb.png") - 46
    for start in (local + 8, central + 10):
        data[start : start + 2] = struct.pack("<H", zipfile.ZIP_DEFLATED)
    for start in (local + 22, central + 24):
        data[start : start + 4] = struct.pack("<I", 130_000_000)
    path.write_bytes(data)

    assert codes(path) == {"zip-ratio"}
    assert codes(path, LIMITS) == {"zip-unpacked"}
