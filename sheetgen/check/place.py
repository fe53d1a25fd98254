"""How findings name a place in a workbook: file, sheet and cell."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sheetgen.reader.shared import column_letters

if TYPE_CHECKING:
    from pathlib import Path


def cell_name(row: int, column: int) -> str:
    """Return a cell's address such as ``B7``.

    Parameters
    ----------
    row, column : int
        Its place [1-based row, 1-based column].
    """
    return f"{column_letters(column)}{row}"


def place(path: Path, sheet: str = "", row: int = 0, column: int = 0) -> str:
    """Return where something stands, such as ``bid.xlsx Takeoff!B7``.

    Parameters
    ----------
    path : Path
        The file.
    sheet : str
        Name of the sheet; without it, the whole file is meant.
    row, column : int
        The cell [1-based row, 1-based column]; without it, the whole sheet is meant.
    """
    if not sheet:
        return path.name
    return f"{path.name} {sheet}!{cell_name(row, column)}" if row else f"{path.name} {sheet}"
