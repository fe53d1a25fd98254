"""IronCalc, a spreadsheet engine that runs in this process; nothing else here knows of it.

The package is pinned exactly: its interface and its sums change from release to release.
"""

from __future__ import annotations

import contextlib
import math
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import ironcalc

from sheetgen.check.once import once
from sheetgen.check.place import place
from sheetgen.check.syntax import SyntaxRefusedError, parse
from sheetgen.check.tree import Reference
from sheetgen.check.usual import usual
from sheetgen.check.values import CellError, Value, plain
from sheetgen.findings import Finding, Refused, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_ERROR: Final = ironcalc.CellType.ErrorValue

Cell = tuple[str, int, int]


class Calculator:
    """A workbook held open: type into it, evaluate, and read.

    Parameters
    ----------
    path : Path
        The workbook, which the gate must have let through; the file is never written to.

    Raises
    ------
    Refused
        IronCalc cannot read it.

    Examples
    --------
    >>> sheet = Calculator(Path("bid.xlsx"))  # doctest: +SKIP
    >>> sheet.set(sheet.place("takeoff_waste"), 0.12)  # doctest: +SKIP
    >>> sheet.evaluate()  # doctest: +SKIP
    >>> sheet.get(sheet.place("measured_area"))  # doctest: +SKIP
    """

    def __init__(self, path: Path) -> None:
        with usual(path) as named, once(named) as file, _guarded(path), _silent():
            self._model: Any = ironcalc.load_from_xlsx(str(file), "en", "UTC", "en")
        self._path = path
        properties = self._model.get_worksheets_properties()
        self._sheets = {sheet["name"]: index for index, sheet in enumerate(properties)}
        self._names = {
            name["name"].casefold(): name["formula"]
            for name in self._model.get_defined_name_list()
            if name["scope"] is None
        }

    @property
    def sheets(self) -> tuple[str, ...]:
        """The sheets in tab order."""
        return tuple(self._sheets)

    def place(self, name: str, record: int = 1) -> Cell:
        """Return the cell that a defined name stands for.

        Parameters
        ----------
        name : str
            Defined name of the workbook, in any case.
        record : int
            Which cell of a list [1-based count].

        Returns
        -------
        tuple of (sheet, row, column)
            The cell [1-based row, 1-based column].

        Raises
        ------
        KeyError
            There is no such name, or it does not stand for cells, or its list has no such record.
        """
        text = self._names[name.casefold()].removeprefix("=")
        try:
            found = parse(text, 1)
        except SyntaxRefusedError as error:
            raise KeyError(name) from error
        if not isinstance(found, Reference) or found.sheet is None:
            raise KeyError(name)
        top, bottom = found.rows(1)
        down = bottom > top
        row, column = (top + record - 1, found.left) if down else (top, found.left + record - 1)
        if record < 1 or row > bottom or column > found.right:
            message = f"{name} has no record {record}"
            raise KeyError(message)
        return found.sheet, row, column

    def set(self, cell: Cell, value: Value) -> None:
        """Put a value into a cell as if a person had typed it there; text stays text, even ``=A1`` or ``007``.

        Parameters
        ----------
        cell : tuple of (sheet, row, column)
            Where [1-based row, 1-based column].
        value : float, str, bool or None
            What [unit of the cell]; None and "" empty the cell.

        Raises
        ------
        KeyError
            There is no such sheet.
        ValueError
            The number is not finite.
        """
        sheet, row, column = cell
        index = self._sheets[sheet]
        value = plain(value)
        if value is None:
            self._model.clear_cell_contents(index, row, column)
        elif isinstance(value, bool):
            self._model.update_cell_with_bool(index, row, column, value)
        elif isinstance(value, str):
            self._model.update_cell_with_text(index, row, column, value)
        elif math.isfinite(value):
            self._model.update_cell_with_number(index, row, column, value)
        else:
            message = f"{value} cannot stand in a cell"
            raise ValueError(message)

    def set_all(self, values: Mapping[Cell, Value]) -> None:
        """Put many values into their cells.

        Parameters
        ----------
        values : mapping of (sheet, row, column) to value
            Where and what [1-based row, 1-based column].
        """
        for cell, value in values.items():
            self.set(cell, value)

    def evaluate(self) -> None:
        """Work out every formula.

        Raises
        ------
        Refused
            IronCalc breaks down.
        """
        with _guarded(self._path):
            self._model.evaluate()

    def get(self, cell: Cell) -> Value:
        """Return what a cell holds after the last evaluation.

        Parameters
        ----------
        cell : tuple of (sheet, row, column)
            Which [1-based row, 1-based column].

        Returns
        -------
        float, str, bool or None
            Its value [unit of the cell]; None where it is blank or an empty text; an error as ``CellError``.

        Raises
        ------
        KeyError
            There is no such sheet.
        """
        sheet, row, column = cell
        index = self._sheets[sheet]
        value: Value = self._model.get_cell_value(index, row, column)
        if isinstance(value, str):
            if not value:
                return None
            # Text that looks like an error is only told from one by the cell's type.
            if value[0] == "#" and self._model.get_cell_type(index, row, column) == _ERROR:
                return CellError(value)
        return value


@contextlib.contextmanager
def _guarded(path: Path) -> Iterator[None]:
    """Turn IronCalc's refusals and breakdowns into a finding."""
    try:
        yield
    except ironcalc.WorkbookError as error:
        raise _refused(path, str(error)) from error
    except BaseException as error:
        # A panic of the Rust code is no Exception, so that nobody catches it by chance.
        if type(error).__name__ != "PanicException":
            raise
        raise _refused(path, "it broke down") from error


@contextlib.contextmanager
def _silent() -> Iterator[None]:
    """Keep away from what a command prints what IronCalc prints on loading: a line for each formula that has no value yet."""
    try:
        kept = os.dup(1)
    except OSError:  # there is no standard output
        yield
        return
    try:
        with Path(os.devnull).open("wb") as nowhere:
            os.dup2(nowhere.fileno(), 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)


def _refused(path: Path, why: str) -> Refused:
    return Refused(
        [
            Finding(
                "recalculate-refused", Severity.ERROR, place(path), f"IronCalc cannot recalculate it: {why}",
                "recalculate it with LibreOffice (--recalculate libreoffice)",
            )
        ]
    )  # fmt: skip
