"""Rule 13: what can be typed into, what is validated and what looks like an input are the same cells."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from sheetgen.check.gather import Gathered
from sheetgen.check.rules.subject import places
from sheetgen.check.rules.validations import ranges, rules_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.look import Colour
    from sheetgen.check.rules.subject import Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawSheet

Frame = tuple["Colour | None", str]

_LOOK_MEND: Final = "give every input the one fill and border of the legend, and no other cell"


def inputs(subject: Subject) -> Iterator[Finding]:
    """Find sheets without protection, and cells that are an input in one way and not in another."""
    met = Gathered(subject.book.path)
    frame = _frame(subject)
    for sheet in subject.sheets:
        if not sheet.protected:
            yield subject.error("rule-13-protection", "the sheet is not protected", "protect it, without a password", sheet.name)
        _cells(subject, sheet, frame, met)
        yield from _whole_lines(subject, sheet)
    yield from met


def _frame(subject: Subject) -> Frame | None:
    """Return the fill and border that most inputs have."""
    counts: Counter[Frame] = Counter()
    unlocked = subject.book.unlocked_styles
    for sheet in subject.sheets:
        for style, count in Counter(cell.style for cell in sheet.cells.values()).items():
            if style in unlocked:
                counts[subject.looks.of(style).frame] += count
    return counts.most_common(1)[0][0] if counts else None


def _cells(subject: Subject, sheet: RawSheet, frame: Frame | None, met: Gathered) -> None:
    unlocked = subject.book.unlocked_styles
    alike = {style for style in range(len(subject.book.formats)) if frame and subject.looks.of(style).frame == frame}
    validated = {at for rule in rules_of(sheet) for at in places(sheet, ranges(rule))}
    legend = 1 if subject.types[sheet.name] == "start" else 0
    for at, cell in sheet.cells.items():
        if cell.style in unlocked:
            if cell.formula is not None:
                met.add(sheet.name, at, "a formula can be typed over", "lock the cell", "rule-13-lock")
            elif at not in validated:
                what = "an unlocked cell has no validation"
                met.add(sheet.name, at, what, "give it a validation, or lock it", "rule-13-validation")
            if cell.style not in alike:
                met.add(sheet.name, at, "an input does not look like the others", _LOOK_MEND, "rule-13-look")
            continue
        if at in validated:
            met.add(sheet.name, at, "a validated cell is locked", "unlock it, or take the validation off", "rule-13-lock")
        if cell.style in alike:
            # the legend shows once what an input looks like
            if legend and cell.kind == "text" and cell.formula is None:
                legend -= 1
                continue
            met.add(sheet.name, at, "looks like an input and is none", _LOOK_MEND, "rule-13-look")


def _whole_lines(subject: Subject, sheet: RawSheet) -> Iterator[Finding]:
    """Find rows and columns that are unlocked beyond the cells written down."""
    unlocked = subject.book.unlocked_styles
    for line in sheet.root.iterfind("{*}cols/{*}col"):
        if int(line.get("style", "0")) in unlocked:
            at = (1, int(line.get("min", "1")))
            yield subject.error("rule-13-lock", "a whole column is unlocked", "lock it; unlock its inputs only", sheet.name, at)
    for line in sheet.root.iterfind("{*}sheetData/{*}row"):
        if line.get("customFormat") and int(line.get("s", "0")) in unlocked:
            at = (int(line.get("r", "1")), 1)
            yield subject.error("rule-13-lock", "a whole row is unlocked", "lock it; unlock its inputs only", sheet.name, at)
