"""Rule 14: text stands out from what is behind it, and a negative number is known by more than its colour."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from sheetgen.check.look import WHITE, contrast
from sheetgen.check.rules.subject import places

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.look import Colour
    from sheetgen.check.rules.subject import Place, Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawSheet

LEAST_CONTRAST: Final = 4.5
_COLOURED: Final = re.compile(r"\[(?:red|color ?\d+)\]", re.IGNORECASE)
_MEND: Final = "use a darker text or a lighter fill"


def colours(subject: Subject) -> Iterator[Finding]:
    """Find text that is hard to read, and negative numbers that are red only."""
    seen: set[tuple[Colour, Colour]] = set()
    styles: dict[int, tuple[str, Place]] = {}
    unlocked = subject.book.unlocked_styles
    for sheet in subject.sheets:
        for at, cell in sheet.cells.items():
            if cell.style not in styles and (cell.kind != "blank" or cell.formula is not None or cell.style in unlocked):
                styles[cell.style] = sheet.name, at
    for style, (name, at) in styles.items():
        look = subject.looks.of(style)
        yield from _pair(subject, look.ink, look.fill or WHITE, seen, (name, at))
        if _red_only(subject.book.formats[style]):
            what = f"negative numbers are only red ({subject.book.formats[style]})"
            yield subject.error("rule-14-negative", what, "show a minus sign or brackets", name, at)
    for sheet in subject.sheets:
        yield from _conditional(subject, sheet, seen)


def _conditional(subject: Subject, sheet: RawSheet, seen: set[tuple[Colour, Colour]]) -> Iterator[Finding]:
    for group in sheet.root.iterfind("{*}conditionalFormatting"):
        changes = [
            subject.looks.conditional[int(rule.get("dxfId"))]
            for rule in group.iterfind("{*}cfRule")
            if rule.get("dxfId") and int(rule.get("dxfId")) < len(subject.looks.conditional)
        ]
        met: set[int] = set()
        for at in places(sheet, group.get("sqref", "")) if changes else ():
            style = sheet.cells[at].style
            if style in met:
                continue
            met.add(style)
            look = subject.looks.of(style)
            for ink, fill in changes:
                yield from _pair(subject, ink or look.ink, fill or look.fill or WHITE, seen, (sheet.name, at))


def _pair(
    subject: Subject, ink: Colour, fill: Colour, seen: set[tuple[Colour, Colour]], where: tuple[str, Place]
) -> Iterator[Finding]:
    if (ink, fill) in seen:
        return
    seen.add((ink, fill))
    found = contrast(ink, fill)
    if found < LEAST_CONTRAST:
        what = f"the text {_hex(ink)} on {_hex(fill)} has a contrast of {found:.1f} to 1, less than {LEAST_CONTRAST}"
        yield subject.error("rule-14-contrast", what, _MEND, *where)


def _hex(colour: Colour) -> str:
    return "#{:02X}{:02X}{:02X}".format(*colour)


def _red_only(code: str) -> bool:
    sections = code.split(";")
    return len(sections) > 1 and bool(_COLOURED.search(sections[1])) and not re.search(r"[-(\u2212]", sections[1])
