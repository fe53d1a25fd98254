"""Files, folders and patterns as a person names them."""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen.findings import Refused
from sheetgen.sources import workbooks


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("b.xlsx", "a.xlsx", "notes.txt", "~$a.xlsx", ".~lock.b.xlsx#", "old/c.xlsx", "old/deep/d.XLSX", "e[1].xlsx"):
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"")
    return tmp_path


def names(folder: Path, *paths: Path) -> list[str]:
    return [str(path.relative_to(folder)).replace("\\", "/") for path in workbooks(paths)]


@pytest.mark.parametrize(
    ("pattern", "expected"),
    [
        ("*.xlsx", ["a.xlsx", "b.xlsx", "e[1].xlsx"]),
        ("?.xlsx", ["a.xlsx", "b.xlsx"]),
        ("[ab].xlsx", ["a.xlsx", "b.xlsx"]),
        ("**/*.xlsx", ["a.xlsx", "b.xlsx", "e[1].xlsx", "old/c.xlsx"]),
        ("**/*.XLSX", ["old/deep/d.XLSX"]),
        ("o*", ["old/c.xlsx"]),
        ("*", ["a.xlsx", "b.xlsx", "e[1].xlsx", "old/c.xlsx"]),
    ],
)
def test_a_quoted_pattern_is_resolved(folder: Path, pattern: str, expected: list[str]) -> None:
    """Quoted, or typed where the shell does not resolve it."""
    assert names(folder, folder / pattern) == expected


def test_a_file_whose_name_looks_like_a_pattern_is_that_file(folder: Path) -> None:
    assert names(folder, folder / "e[1].xlsx") == ["e[1].xlsx"]


def test_what_is_named_twice_is_read_once(folder: Path) -> None:
    assert names(folder, folder / "b.xlsx", folder, folder / "*.xlsx") == ["b.xlsx", "a.xlsx", "e[1].xlsx"]


def test_a_pattern_that_nothing_matches_is_named(folder: Path) -> None:
    with pytest.raises(Refused) as refused:
        workbooks([folder / "z*.xlsx"])

    assert [one.code for one in refused.value.findings] == ["pattern-empty"]
    assert "z*.xlsx" in refused.value.findings[0].place


def test_a_folder_without_workbooks_says_what_it_holds_and_where_to_look(folder: Path) -> None:
    (folder / "none" / "within").mkdir(parents=True)
    (folder / "empty").mkdir()
    for name in ("a.txt", "b.txt"):
        (folder / "none" / name).touch()

    told = {}
    for name in ("none", "empty"):
        with pytest.raises(Refused) as refused:
            workbooks([folder / name])
        (told[name],) = refused.value.findings

    assert {one.code for one in told.values()} == {"folder-empty"}
    assert told["none"].what == "holds no workbook, only 2 other files and 1 folder"
    assert f"'{folder / 'none' / '**' / '*.xlsx'}'" in told["none"].mend
    assert told["empty"].what == "is an empty folder"


def test_thousands_of_files_are_found_in_order(tmp_path: Path) -> None:
    for number in range(3000):
        (tmp_path / f"{number:04d}.xlsx").touch()

    assert names(tmp_path, tmp_path) == [f"{number:04d}.xlsx" for number in range(3000)]
