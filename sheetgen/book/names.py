"""What a name in a formula stands for: one cell that moves with the record, or a range that does not."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import attrs

from sheetgen.book import measure
from sheetgen.book.measure import Measure
from sheetgen.book.parse import FormulaError, Name
from sheetgen.book.plan import Plan, Spot, column_name
from sheetgen.book.template import COMPUTED, SCENARIO_LIST, SCENARIOS, Block, Field

if TYPE_CHECKING:
    from collections.abc import Callable


@attrs.frozen
class Slot:
    """A cell whose place depends on the record of the row that refers to it."""

    sheet: str
    row: int
    column: int
    record_rows: int
    record_columns: int
    _head: str = attrs.field(init=False, eq=False, repr=False)

    @_head.default
    def _fixed_part(self) -> str:
        dollar = "" if self.moves else "$"
        return f"{self.sheet}{dollar}{column_name(self.column)}{dollar}"

    @property
    def moves(self) -> bool:
        """Whether the reference changes with the record."""
        return bool(self.record_rows or self.record_columns)

    def text(self, record: int) -> str:
        """Return the reference as it stands in the formula of a 0-based record [count]."""
        row = self.row + record * self.record_rows + 1
        if self.record_columns:
            return f"{self.sheet}{column_name(self.column + record * self.record_columns)}{row}"
        return f"{self._head}{row}"


Pieces = tuple["str | Slot", ...]
# Rows and columns of a range; a range that grows with the record has None rows.
Shape = tuple[int | None, int]


@attrs.frozen
class Reference:
    """A name, resolved: its text, what it measures, whether it can be missing.

    ``started`` is the column that says which records of a range are begun, ``entered`` tells an input from a formula, and
    ``needs`` are cells that must hold a number for the range to be found; ``shape`` is None for one cell.
    """

    pieces: Pieces
    measure: Measure
    maybe: bool
    started: Pieces = ()
    entered: bool = False
    needs: tuple[Pieces, ...] = ()
    shape: Shape | None = None


def quoted(sheet: str, own: str) -> str:
    """Return the sheet part of a reference; nothing for the formula's own sheet."""
    if sheet == own:
        return ""
    if sheet.replace("_", "a").isalnum() and not sheet[0].isdigit():
        return f"{sheet}!"
    doubled = sheet.replace("'", "''")
    return f"'{doubled}'!"


def without_prefix(formula: str, prefix: str) -> str:
    """Return a formula as it is in a book of its own, where no prefix stands before the sheets."""
    if not prefix:
        return formula
    return re.sub(rf"'{re.escape(prefix)}([^']+)'!|\b{re.escape(prefix)}(\w+)!", lambda found: quoted(found[1] or found[2], ""), formula)


@attrs.frozen
class Context:
    """Where a formula stands: its block, field, sheet, scenario, and how to ask whether a field can be missing."""

    plan: Plan
    block: Block
    field: Field
    scenario: int | None
    can_be_missing: Callable[[Block, Field, Name], bool] = attrs.field(eq=False)

    @property
    def sheet(self) -> str:
        """Return the title of the sheet on which the formula stands."""
        return self.plan.spot(self.block.name, self.field.name).sheet

    def cell(self, name: Name) -> Reference:
        """Return the one cell a name stands for.

        Raises
        ------
        FormulaError
            The name is unknown, or stands for a range.
        """
        if name.parts == ("no",) and self.block.field("no") is None:
            return self._number(name)
        block, field, fixed_record, scenario = self.target(name)
        spot = self.plan.spot(block.name, field.name)
        moves = fixed_record is None and spot.records > 1
        cell = spot.cell(fixed_record or 0, scenario)
        slot = Slot(
            quoted(cell.sheet, self.sheet), cell.row, cell.column,
            spot.record_rows if moves else 0, spot.record_columns if moves else 0,
        )  # fmt: skip
        return Reference(
            (slot,), measure.of_unit(field.unit, self.plan.system), self.can_be_missing(block, field, name),
            entered=field.kind in {"input", "choice"},
        )  # fmt: skip

    def target(self, name: Name) -> tuple[Block, Field, int | None, int]:
        """Return block, field, record (None: the own one) and scenario of the one value that a name stands for.

        Raises
        ------
        FormulaError
            The name is unknown, or stands for a range.
        """
        block, field, key = self.found(name)
        fixed_record = self._fixed_record(block, key, name)
        aligned = block.base == self.block.base and block.kind not in {"fields", "checks", "list"}
        if fixed_record is None and _is_table(block) and not aligned:
            raise FormulaError(
                "formula-range", name.at, f"'{'.'.join(name.parts)}' is a range where one value is expected",
                "sum it, or look one record up with INDEX",
            )  # fmt: skip
        return block, field, fixed_record, self._scenario(block, key, name)

    def is_range(self, name: Name) -> bool:
        """Return whether a name stands for a whole column (or row); False where it is unknown."""
        try:
            block, _, key = self.found(name)
        except FormulaError:
            return False
        own = block.name == SCENARIO_LIST and self.scenario is not None
        return len(name.parts) > 1 and _is_table(block) and not (block.kind == "list" and (key or own))

    def range(self, name: Name) -> Reference:
        """Return the whole column (or row) that a name stands for.

        Raises
        ------
        FormulaError
            The name is unknown, or stands for one cell.
        """
        block, field, key = self.found(name)
        spot = self.plan.spot(block.name, field.name)
        if not self.is_range(name):
            raise FormulaError(
                "formula-not-range", name.at, f"'{'.'.join(name.parts)}' is one cell where a range is expected",
                "name the column as block.field",
            )  # fmt: skip
        scenario = self._scenario(block, key, name)
        return Reference(
            (self._span(spot, scenario),), measure.of_unit(field.unit, self.plan.system),
            self.can_be_missing(block, field, name), self._started(block), shape=_shape(spot),
        )  # fmt: skip

    def table(self, name: Name) -> Reference:
        """Return all columns of a table as one range.

        Raises
        ------
        FormulaError
            The name is not a block that stands in one piece.
        """
        block = self.plan.book.blocks.get(name.parts[0])
        if block is None:
            raise FormulaError("formula-name", name.at, f"no block '{name.parts[0]}'", "name a block of the template")
        key = name.parts[1] if len(name.parts) > 1 else ""
        scenario = self._scenario(block, key, name)
        fields = [field for field in block.fields if field.stands_in(self.plan.system)]
        first, last = (self.plan.spot(block.name, field.name) for field in (fields[0], fields[-1]))
        units = {field.unit for field in fields}
        if len(units) > 1:
            raise FormulaError("formula-table", name.at, "the columns have different units", "look one column up")
        start, end = first.cell(0, scenario), last.cell(last.records - 1, scenario)
        text = f"{quoted(start.sheet, self.sheet)}{_corner(start.row, start.column)}:{_corner(end.row, end.column)}"
        maybe = any(self.can_be_missing(block, field, name) for field in fields)
        shape = (end.row - start.row + 1, end.column - start.column + 1)
        return Reference((text,), measure.of_unit(units.pop(), self.plan.system), maybe, self._started(block), shape=shape)

    def scenarios_of(self, name: Name) -> Reference:
        """Return the cells of a single figure in all scenarios, side by side.

        Raises
        ------
        FormulaError
            The name is no single figure of a scenario block.
        """
        block, field, key = self.found(name)
        if block.kind != "scenario" or block.over or key:
            raise FormulaError(
                "formula-scenario", name.at, f"'{'.'.join(name.parts)}' is no single figure of every scenario", "name one as block.field"
            )
        spot = self.plan.spot(block.name, field.name)
        start, end = spot.cell(0, 0), spot.cell(0, len(SCENARIOS) - 1)
        text = f"{quoted(start.sheet, self.sheet)}{_corner(start.row, start.column)}:{_corner(end.row, end.column)}"
        maybe = self.can_be_missing(block, field, name)
        return Reference((text,), measure.of_unit(field.unit, self.plan.system), maybe, shape=(1, len(SCENARIOS)))

    def above(self, name: Name) -> Reference:
        """Return the range of an own column from its header to the row above."""
        block, field, _ = self.found(name)
        spot = self.plan.spot(block.name, field.name)
        if block.base != self.block.base or spot.record_rows != 1:
            raise FormulaError("formula-above", name.at, "only a column of the own table can be looked back on", "name one")
        scenario = self.scenario or 0 if block.kind == "scenario" else 0
        head = spot.cell(0, scenario)
        sheet = quoted(head.sheet, self.sheet)
        column = column_name(head.column)
        above = Slot("", head.row - 1, head.column, 1, 0)
        # Rows move with the record, the header does not.
        return Reference(
            (f"{sheet}{column}${head.row}:", above), measure.of_unit(field.unit, self.plan.system), maybe=True,
            entered=field.kind not in COMPUTED, shape=(None, 1),
        )  # fmt: skip

    def _number(self, name: Name) -> Reference:
        numbers = self.plan.numbers
        spot = numbers.get(self.block.name) or numbers.get(self.block.base)
        if spot is None:
            raise FormulaError("formula-no", name.at, "this block has no numbered part", "set numbered = true on one part")
        slot = Slot(
            quoted(spot.sheet, self.sheet), spot.row, spot.column, spot.record_rows, spot.record_columns
        )
        return Reference((slot,), measure.plain_number(), maybe=False)

    def found(self, name: Name) -> tuple[Block, Field, str]:
        """Return block, field and third word of a name.

        Raises
        ------
        FormulaError
            The name is unknown.
        """
        parts = name.parts if len(name.parts) > 1 else (self.block.name, *name.parts)
        block = self.plan.book.blocks.get(parts[0])
        if block is None:
            raise FormulaError("formula-name", name.at, f"no block '{parts[0]}'", "name a block of the template")
        field = block.field(parts[1])
        if field is None or not field.stands_in(self.plan.system):
            raise FormulaError(
                "formula-name", name.at, f"block '{parts[0]}' has no field '{parts[1]}'",
                "name a field, or write it as block.field",
            )  # fmt: skip
        return block, field, parts[2] if len(parts) > 2 else ""

    def _scenario(self, block: Block, key: str, name: Name) -> int:
        if block.kind != "scenario":
            return 0
        if key:
            if key not in SCENARIOS:
                raise FormulaError("formula-scenario", name.at, f"no scenario '{key}'", f"use {' or '.join(SCENARIOS)}")
            return SCENARIOS.index(key)
        if self.scenario is None:
            raise FormulaError(
                "formula-scenario", name.at, "which scenario is meant?", f"add .{' or .'.join(SCENARIOS)}"
            )
        return self.scenario

    def _fixed_record(self, block: Block, key: str, name: Name) -> int | None:
        if block.kind != "list":
            return None
        if not key:
            # In a scenario block the list of scenarios stands for the scenario's own record.
            return self.scenario if block.name == SCENARIO_LIST else None
        number = block.record_number(key)
        if number is None:
            raise FormulaError("formula-code", name.at, f"list '{block.name}' has no code '{key}'", "name one of its codes")
        return number

    def _span(self, spot: Spot, scenario: int) -> str:
        start, end = spot.cell(0, scenario), spot.cell(spot.records - 1, scenario)
        return f"{quoted(start.sheet, self.sheet)}{_corner(start.row, start.column)}:{_corner(end.row, end.column)}"

    def _started(self, block: Block) -> Pieces:
        owner = self.plan.book.blocks[block.base]
        if owner.field("started") is None:
            return ()
        return (self._span(self.plan.spot(owner.name, "started"), 0),)


def _corner(row: int, column: int) -> str:
    return f"${column_name(column)}${row + 1}"


def _is_table(block: Block) -> bool:
    """Return whether a block has records, however many are prepared."""
    return block.kind not in {"fields", "checks"} and (block.kind != "scenario" or bool(block.over))


def _shape(spot: Spot) -> Shape:
    return (1, spot.records) if spot.record_columns else (spot.records, 1)

