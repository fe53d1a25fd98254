"""One line says what a long run is doing; it is seen on a terminal alone, and gone when the step is done."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from sheetgen import steps, terminal


@pytest.fixture
def heard() -> list[str]:
    return []


def test_each_book_is_counted_and_the_end_is_told(heard: list[str]) -> None:
    with steps.heard(heard.append), steps.of_books(2, "reading") as done:
        done("a")
        done("b")

    assert heard == ["", "reading book 1 of 2 …", "reading book 2 of 2 …", "", ""]


def test_a_step_that_fails_is_over(heard: list[str]) -> None:
    with pytest.raises(KeyError), steps.heard(heard.append), steps.during("checking"):
        raise KeyError

    assert heard == ["checking", ""]


def test_nobody_need_listen() -> None:
    with steps.during("checking"):
        steps.say("still")


class Screen:
    """A terminal line: what is written is shown from the place of the cursor on, over what stands there."""

    def __init__(self, columns: int) -> None:
        self.columns, self.cells, self.at, self.told = columns, [" "] * columns, 0, [""]

    def write(self, text: str) -> None:
        for letter in text:
            if letter == "\r":
                self.at = 0
            else:
                assert self.at < self.columns, "a line that wraps cannot be taken back"
                self.cells[self.at] = letter
                self.at += 1
        self.told.append("".join(self.cells).rstrip())


def test_the_line_is_gone_when_the_step_is_done(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = Screen(12)
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((12, 24)))
    monkeypatch.setattr("click.echo", lambda text, **_: screen.write(text))
    show = terminal.status_line(lambda: False)
    assert show is not None

    for step in ("checking 132,611 formulas", "short", ""):
        show(step)

    assert screen.told[1:] == ["checking 13", "short", ""]
    assert screen.at == 0


@pytest.mark.parametrize("json", [False, True])
@pytest.mark.skipif(sys.platform == "win32", reason="no such terminals there")
def test_a_terminal_shows_it_unless_programs_read(tmp_path: Path, json: bool) -> None:
    """With standard error on a terminal; standard output holds nothing of it."""
    import pty

    ours, theirs = pty.openpty()
    paths = [tmp_path / "a.xlsx", tmp_path / "b.xlsx"]
    command = [sys.executable, "-m", "sheetgen.cli", "check", *map(str, paths), *(["--json"] if json else [])]
    run = subprocess.run(command, stdout=subprocess.PIPE, stderr=theirs, text=True, check=False, timeout=120)
    os.close(theirs)
    try:
        said = os.read(ours, 100_000).decode()
    except OSError:  # nothing was written, and the other end is closed
        said = ""
    os.close(ours)

    assert run.returncode == 1
    assert "…" not in run.stdout
    if json:
        assert said == ""
    else:
        assert "checking book 1 of 2 …" in said
        assert "checking book 2 of 2 …" in said
        assert said.rstrip("\r\n").rpartition("\r")[2].startswith("error file-missing b.xlsx")


def test_nothing_is_shown_where_nobody_looks(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "sheetgen.cli", "check", str(tmp_path / "a.xlsx")]
    run = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)

    assert "…" not in run.stderr
    assert run.stderr.startswith("error file-missing")
