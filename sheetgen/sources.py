"""Which workbooks are to be read: files, folders and patterns as a person names them."""

from __future__ import annotations

import glob
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.raw import read_raw
from sheetgen.reader.stamped import read_stamp
from sheetgen.reason import reason_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_PATTERN: Final = "*?["
_WORKBOOKS: Final = frozenset({".xlsx", ".xlsm", ".xlsb", ".xls", ".ods"})


def workbooks(paths: Iterable[Path]) -> list[Path]:
    """Return the files named, and the workbooks of the folders named, in order, each once.

    A name with ``*``, ``?`` or ``[`` that no file has is a pattern, as a shell would resolve it; ``**`` goes through folders
    within folders. So a pattern works in quotes, and where the shell leaves it to the program.

    Raises
    ------
    Refused
        A folder holds no workbook, or nothing matches a pattern.
    """
    found: dict[Path, Path] = {}
    for path in paths:
        if path.is_dir():
            inside = _of_folder(path)
        elif any(letter in str(path) for letter in _PATTERN) and not path.exists():
            inside = _matching(path)
        else:
            inside = [path]
        for one in inside:
            found.setdefault(one.resolve(), one)
    return list(found.values())


def _of_folder(folder: Path) -> list[Path]:
    try:
        held = list(folder.iterdir())
    except OSError as error:
        what = f"cannot be opened: {reason_of(error)}"
        raise Refused([Finding("folder-unreadable", Severity.ERROR, str(folder), what, "check your rights")]) from error
    inside = sorted(filter(_is_workbook, held))
    if not inside:
        folders = sum(one.is_dir() for one in held)
        counts = ((len(held) - folders, "other file"), (folders, "folder"))
        only = " and ".join(f"{count:,} {word}{'s' if count > 1 else ''}" for count, word in counts if count)
        what = f"holds no workbook, only {only}" if held else "is an empty folder"
        mend = "name the folder in which the filled books are"
        mend += f"; folders within a folder are read as '{folder / '**' / '*.xlsx'}', in quotes" if folders else ""
        raise Refused([Finding("folder-empty", Severity.ERROR, str(folder), what, mend)])
    return inside


def _matching(pattern: Path) -> list[Path]:
    matches = map(Path, sorted(glob.glob(str(pattern), recursive=True)))  # noqa: PTH207 - pathlib takes no pattern from the root
    inside = [one for match in matches for one in ((match,) if match.is_file() else filter(_is_workbook, match.iterdir()))]
    inside = [one for one in inside if _is_workbook(one)]
    if not inside:
        what = "no workbook matches the pattern"
        raise Refused([Finding("pattern-empty", Severity.ERROR, str(pattern), what, "check the name, or name a folder")])
    return inside


def _is_workbook(path: Path) -> bool:
    """Return whether a file is a workbook by its name.

    Workbooks of other formats are kept, so that the reader names them instead of their being passed over.
    """
    return path.suffix.lower() in _WORKBOOKS and not path.name.startswith((".", "~$"))


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
        what = "is a folder; nothing was written" if out.is_dir() else what
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
