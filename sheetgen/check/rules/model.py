"""Rules 10 and 17: the state of the checks shows on every sheet, and tables have names that say something."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from sheetgen.check.syntax import SyntaxRefusedError, parse
from sheetgen.check.tree import Name, Reference, nodes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.rules.subject import Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawSheet

# The state stands near the top, where it is seen.
_TOP_ROWS: Final = 5
_NAMED_BY_A_PROGRAM: Final = re.compile(r"(?:table|tabelle|tabla|tableau)_?\d+", re.IGNORECASE)


def model(subject: Subject) -> Iterator[Finding]:
    """Find sheets that do not show the state of the checks, and tables without a good name."""
    yield from _master(subject)
    for sheet in subject.sheets:
        yield from _tables(subject, sheet)


def _master(subject: Subject) -> Iterator[Finding]:
    checks = {sheet.name.casefold() for sheet in subject.sheets if subject.types[sheet.name] == "checks"}
    if not checks:
        # A few sheets of ours in somebody else's book may do without.
        if subject.whole:
            yield subject.error("rule-10-checks", "the book has no sheet with checks", "add a checks sheet")
        return
    targets = {
        name.casefold()
        for name, text in subject.book.names.items()
        if text.rpartition("!")[0].strip("=").removeprefix("'").removesuffix("'").replace("''", "'").casefold() in checks
    }
    for sheet in subject.sheets:
        if sheet.name.casefold() not in checks and not any(
            _refers(cell.formula, row, checks, targets)
            for (row, _), cell in sheet.cells.items()
            if row <= _TOP_ROWS and cell.formula is not None
        ):
            what = "the state of the checks does not show on the sheet"
            yield subject.error("rule-10-state", what, f"show it in one of the first {_TOP_ROWS} rows", sheet.name)


def _refers(formula: str | None, row: int, sheets: set[str], names: set[str]) -> bool:
    """Return whether a formula refers to one of these sheets, or to one of these names."""
    try:
        tree = parse(formula or "", row)
    except SyntaxRefusedError:
        return False
    for node in nodes(tree):
        match node:
            case Reference(sheet=str(sheet)) if sheet.casefold() in sheets:
                return True
            case Name(name) if name.casefold() in names:
                return True
            case _:
                pass
    return False


def _tables(subject: Subject, sheet: RawSheet) -> Iterator[Finding]:
    package = subject.book.inspected.package
    for line in package.relationships(sheet.part):
        root = package.tree(line.target) if line.kind == "table" else None
        if root is None:
            continue
        name = root.get("displayName") or root.get("name", "")
        if _NAMED_BY_A_PROGRAM.fullmatch(name):
            yield subject.error("rule-17-name", f"a table is named '{name}'", "name it for what it holds", sheet.name)
        if root.get("headerRowCount") == "0":
            yield subject.error("rule-17-header", f"the table '{name}' has no header row", "give it one", sheet.name)
