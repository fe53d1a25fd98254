"""What a template is: one frozen Book of sheets, parts, blocks and fields."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

import attrs

from sheetgen.units import System

BLOCK_KINDS: Final = ("fields", "rows", "across", "cross", "list", "scenario", "checks", "sample")
FIELD_KINDS: Final = ("input", "choice", "formula", "show", "linked", "posted", "note", "constant", "stamp")
SHEET_TYPES: Final = ("start", "inputs", "calculation", "output", "checks", "reference")
ENTERED: Final = frozenset({"input", "choice"})
# How a number is written for a reader, where it is not as its unit is: `number_forms` makes them.
FORMS: Final = ("fraction", "short", "signed")
COMPUTED: Final = frozenset({"formula", "show"})
# In a cross block: the number of the record of the one block, and of the other.
PAIR: Final = ("over_no", "with_no")
# Size of plain text [point]; widths of labels, values and units [characters].
TEXT_SIZE: Final = 10
WIDTHS: Final = (34.0, 16.0, 9.0)
SCENARIOS: Final = (
    "as_bid", "accepted", "option_1", "option_2", "option_3", "option_4", "option_5", "option_6",
    "waste_low", "waste_high", "difficulty_low", "difficulty_high", "thickness_low", "thickness_high",
)  # fmt: skip
# The list whose records say what each scenario takes; in a scenario block it stands for the scenario's own record.
SCENARIO_LIST: Final = "scenarios"
# How many scenarios a page prints and a name is defined for; the others are read on the screen and in the what-if table.
SHOWN_SCENARIOS: Final = 2
# Blocks whose records have a scenario each, so that there are no more of them.
OF_SCENARIOS: Final = frozenset({"options"})

BySystem = Mapping[str, Any]


@attrs.frozen
class Where:
    """Where a piece of a template stands: file, line, and the column at which its text begins."""

    file: str
    line: int
    column: int = 1
    raw: str = ""

    def at(self, offset: int = 0) -> str:
        """Return ``file:line:column`` for a place inside the text; ``raw`` is the text with its escapes."""
        written = 0
        for _ in range(offset):
            written += 2 if self.raw[written : written + 1] == "\\" else 1
        return f"{self.file}:{self.line}:{self.column + written}"


def rows_of(source: str) -> tuple[str, str, str]:
    """Return block, flag and words of the rows that a check counts."""
    block, flag, words = source.split(".") if source.count(".") == 2 else (source, "faulty", "look")
    return block, flag, words


@attrs.frozen
class Field:
    """One thing in a block: a column of a table, or a row of a list of fields.

    A check names in *each* the tables whose rows it counts: ``block``, or ``block.flag.words`` where the flag is not
    called faulty or the words not look. Words that may be longer than their cell *run* so many characters to the right.
    Texts that *wrap* are broken into lines, and make their row higher; words to the *right* end at the edge, as numbers do.
    The *form* of a number is one of FORMS.
    A field of the row above a table stands over the *column* of the table that it names, or of its own name.
    """

    name: str
    kind: str
    unit: str
    label: str
    where: Where
    formulas: BySystem = attrs.field(factory=dict, hash=False)
    default: BySystem = attrs.field(factory=dict, hash=False)
    value: BySystem = attrs.field(factory=dict, hash=False)
    least: BySystem = attrs.field(factory=dict, hash=False)
    most: BySystem = attrs.field(factory=dict, hash=False)
    choices: str = ""
    message: str = ""
    note: str = ""
    width: float | None = None
    optional: bool = False
    only: str = ""
    tolerance: float = 0.0
    link: str = ""
    strong: bool = False
    no_limit: bool = False
    each: tuple[str, ...] = ()
    runs: int = 0
    column: str = ""
    wrap: bool = False
    form: str = ""
    right: bool = False

    def stands_in(self, system: System) -> bool:
        """Return whether a book of this system has the field."""
        return not self.only or self.only == system


@attrs.frozen
class Block:
    """Fields that belong together: one record, or a table of records.

    A block *over* another has one record for each of the other's; a cross block has one for each pair of a record of
    *over* and one of *second*, and two fields that number them. The *heading* stands over each record of an across block.
    """

    name: str
    kind: str
    rows: int
    over: str
    fields: tuple[Field, ...]
    records: tuple[Mapping[str, Any], ...] = attrs.field(factory=tuple, hash=False)
    good: str = ""
    bad: str = ""
    where: Where = Where("", 1)
    second: str = ""
    heading: str = ""

    @property
    def base(self) -> str:
        """Return the block whose records this one shares."""
        return self.over if self.over and self.kind != "cross" else self.name

    def field(self, name: str) -> Field | None:
        """Return the field of that name, or None."""
        return next((field for field in self.fields if field.name == name), None)

    def record_number(self, code: str) -> int | None:
        """Return the 0-based record of a list that has this code, or None."""
        codes = [record["code"] for record in self.records]
        return codes.index(code) if code in codes else None


@attrs.frozen
class Part:
    """What one sheet shows of a block: a titled table of some of its fields.

    A *turned* part shows an across block with its records as rows. A part with a *filter* can be narrowed by its columns,
    also on the protected sheet. A part *above* the table of another block is one row over the headers of that table.
    A *letterhead* is a block of fields without their labels, one line each, that a page begins with. A *plain* table has no
    headers: its title says what it is. The records of a list in *strong*, by their codes, stand in bold. Rows that are
    written in by hand are so *high* at least [point].
    """

    block: str
    title: str
    note: str
    fields: tuple[str, ...]
    numbered: bool = False
    turned: bool = False
    filter: bool = False
    above: str = ""
    letterhead: bool = False
    plain: bool = False
    strong: tuple[str, ...] = ()
    high: float = 0.0


@attrs.frozen
class Sheet:
    """One sheet: title, one line on what it is for, its type, and its parts from top to bottom.

    *size* is that of plain text [point]; *widths* are those of labels, values and units [characters].
    """

    code: str
    title: str
    about: str
    type: str
    landscape: bool
    parts: tuple[Part, ...]
    notes: tuple[str, ...] = ()
    size: float = TEXT_SIZE
    one_page: bool = False
    picture: str = ""
    widths: tuple[float, ...] = WIDTHS
    charts: tuple[Mapping[str, Any], ...] = attrs.field(factory=tuple, hash=False)


@attrs.frozen(eq=False)
class Book:
    """A whole template; *renamed* gives the present name of each field that the version before called otherwise."""

    kind: str
    version: str
    title: str
    cautions: tuple[str, ...]
    words: Mapping[str, str]
    sheets: tuple[Sheet, ...]
    blocks: Mapping[str, Block]
    renamed: Mapping[str, str] = attrs.field(factory=dict)

    def sheet(self, code: str) -> Sheet:
        """Return the sheet with this code."""
        return next(sheet for sheet in self.sheets if sheet.code == code)

    def fields(self) -> Iterator[tuple[Block, Field]]:
        """Yield every field with its block."""
        for block in self.blocks.values():
            for field in block.fields:
                yield block, field
