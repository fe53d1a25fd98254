"""The cell that a linked input repeats: a formula takes it as it is, so that only what is plainly right can be taken."""

from __future__ import annotations

from typing import Final

from sheetgen.book.linked import is_text
from sheetgen.book.template import Field
from sheetgen.reader.cell_text import Typed, as_clock, as_date, as_text
from sheetgen.reader.raw import RawCell

_MEND: Final = "put it right in that cell, or type the value into the input and leave the link out"


def taken_over(field: Field, cell: RawCell | None, *, date1904: bool) -> Typed:
    """Read the cell that a linked input repeats.

    Parameters
    ----------
    field : Field
        The input.
    cell : RawCell or None
        The cell; None where nothing is written there.
    date1904 : bool
        Whether dates of the workbook count from 1904.

    Returns
    -------
    Typed
        The value; none where the cell is blank; or a problem. Text that a person would be forgiven in an input, such as
        ``12 ft`` or doubled spaces, is a problem here: the formula does not read it as a number, or leaves the spaces.
    """
    if cell is None or cell.value is None or cell.value == "":
        if cell is not None and cell.formula is not None and cell.value is None:
            mend = "open the workbook in a spreadsheet program and save it"
            return Typed(problem="it takes over a formula that was never computed", mend=mend)
        return Typed()
    if not is_text(field):
        if cell.kind != "number" or not isinstance(cell.value, float):
            return Typed(problem=f"it takes over {str(cell.value)[:40]!r}, which is not a number", mend=_MEND)
        if field.unit == "date":
            return as_date(cell, date1904)
        return as_clock(cell) if field.unit == "clock" else Typed(cell.value)
    if cell.kind not in {"text", "number"} or (isinstance(cell.value, float) and not cell.value.is_integer()):
        return Typed(problem=f"it takes over {cell.value!r}, which is not text", mend=_MEND)
    typed = as_text(cell)
    if cell.kind == "text" and typed.problem is None and typed.value != cell.value:
        return Typed(problem="it takes over text with spaces before, behind or doubled, or with signs that are not seen", mend=_MEND)
    return typed
