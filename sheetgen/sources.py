"""Which workbooks are to be read: files and folders as a person names them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.raw import read_raw
from sheetgen.reader.stamped import read_stamp

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

_WORKBOOKS: Final = frozenset({".xlsx", ".xlsm", ".xlsb", ".xls", ".ods"})


def workbooks(paths: Iterable[Path]) -> list[Path]:
    """Return the files named, and the workbooks of the folders named, in order, each once.

    Raises
    ------
    Refused
        A folder holds no workbook.
    """
    found: dict[Path, Path] = {}
    for path in paths:
        if not path.is_dir():
            found.setdefault(path.resolve(), path)
            continue
        # Workbooks of other formats are kept, so that the reader names them instead of their being passed over.
        inside = sorted(
            one for one in path.iterdir() if one.suffix.lower() in _WORKBOOKS and not one.name.startswith((".", "~$"))
        )
        if not inside:
            raise Refused(
                [Finding("folder-empty", Severity.ERROR, str(path), "holds no .xlsx workbook", "name another folder")]
            )
        for one in inside:
            found.setdefault(one.resolve(), one)
    return list(found.values())


def sources(paths: Iterable[Path], out: Path | None = None) -> list[Path]:
    """Return the workbooks to be read, without an earlier cost book that stands where the new one goes.

    Raises
    ------
    Refused
        A folder holds no workbook, or the cost book would take the place of another book.
    """
    books = workbooks(paths)
    if out is None or not out.exists():
        return books
    if kind_of(out) != "cost":
        read = out.resolve() in {path.resolve() for path in books}
        what = "is one of the books to be read" if read else "is there and is no cost book; nothing was written"
        raise Refused([Finding("output-input", Severity.ERROR, str(out), what, "give --out another name")])
    return [path for path in books if path.resolve() != out.resolve()]


def ledger_beside(out: Path | None, paths: Sequence[Path]) -> Path:
    """Return where the ledger is unless it is named: beside the output, else beside the first of the books."""
    place = out or paths[0]
    return (place if place.is_dir() else place.parent) / "ledger.sqlite"


def kind_of(path: Path) -> str:
    """Return the kind that a book's stamp says, nothing where it cannot be read."""
    try:
        return read_stamp(read_raw(path)).kind
    except Refused:
        return ""
