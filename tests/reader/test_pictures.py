"""The picture on a sheet, in a book and in a person's own workbook."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
import xlsxwriter
from PIL import Image

from sheetgen.reader.limits import BOOK, HOST, Limits
from sheetgen.reader.pictures import picture_on
from sheetgen.reader.raw import read_raw


def picture() -> bytes:
    held = io.BytesIO()
    Image.new("RGB", (3, 2), "red").save(held, "PNG")
    return held.getvalue()


@pytest.mark.parametrize("limits", [BOOK, HOST])
def test_a_picture_is_found_on_its_sheet(tmp_path: Path, limits: Limits) -> None:
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as book:
        book.add_worksheet("Bare").write(0, 0, "none here")
        book.add_worksheet("Page").insert_image(0, 0, "dot.png", {"image_data": io.BytesIO(picture())})

    raw = read_raw(path, limits, lambda _root, _tabs: {"Bare", "Page"})

    assert picture_on(raw, "Page") == picture()
    assert picture_on(raw, "Bare") is None
    assert picture_on(raw, "Gone") is None
