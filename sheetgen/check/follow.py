"""What follows from one cause is said once: values that were not recalculated, figures that read a changed formula."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from sheetgen.check.place import place
from sheetgen.findings import Finding, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from sheetgen.reader.raw import RawBook
    from sheetgen.reader.touched import Touched

# More formula cells than this share without a stored value: the program that saved the book does not recalculate.
_EMPTY: Final = 0.9
_STALE, _DIFFERS = "stored-stale", "formula-differs"


def without_followers(
    found: Iterable[Finding], raw: RawBook, touched: Touched, read: Iterable[Finding] = ()
) -> list[Finding]:
    """Return the findings of a comparison, with what follows from one cause gathered.

    Parameters
    ----------
    found : iterable of Finding
        What a comparison of the book found, cell by cell.
    raw : RawBook
        The book.
    touched : Touched
        What was changed in it.
    read : iterable of Finding
        What was said when its inputs were read: what was typed as text is no number to the formulas of the book.

    Returns
    -------
    list of Finding
        Nothing of cells whose formula was changed, for that has been said; one finding for all stored values that are
        missing or from before the last change; one for all figures that follow from changed formulas or from text.
    """
    texts = [finding for finding in read if finding.code == "input-read"]
    said = {place(raw.path, *at) for at in touched.formulas}
    kept: list[Finding] = []
    stale: list[Finding] = []
    follow: list[Finding] = []
    for finding in found:
        if finding.place in said:
            continue
        if finding.code == _STALE:
            stale.append(finding)
        elif finding.code == _DIFFERS and (said or texts):
            follow.append(finding)
        else:
            kept.append(finding)
    if follow:
        kept.append(_following(raw, follow, _cell(texts[0]) if texts and not said else ""))
    if stale:
        kept.append(_never_reckoned(raw) if _without_values(raw) else _stale(raw, stale))
    return kept


def _without_values(raw: RawBook) -> bool:
    """Return whether a book holds formulas and hardly a value of one."""
    cells = [cell for sheet in raw.sheets for cell in sheet.cells.values() if cell.formula is not None]
    empty = sum(cell.value in (None, "") for cell in cells)
    # Blank rows of a book show nothing either: they alone are less than all.
    return empty > _EMPTY * len(cells)


def _never_reckoned(raw: RawBook) -> Finding:
    what = "holds formulas but not their values: the program that saved it does not recalculate; what was typed is all there"
    return Finding("stored-none", Severity.LOOK, place(raw.path), what, "open it in a spreadsheet program and save it there")


def _stale(raw: RawBook, stale: Sequence[Finding]) -> Finding:
    first = stale[0]
    if len(stale) == 1:
        return first
    what = f"{len(stale):,} stored values are from before the last change, the first at {_cell(first)}: {first.what}"
    return Finding(_STALE, Severity.ERROR, place(raw.path), what, first.mend)


def _following(raw: RawBook, follow: Sequence[Finding], text: str) -> Finding:
    why, mend = "formulas were changed", "restore the formulas; until then do not rely on the figures of the book, but on sheetgen's"
    if text:
        why, mend = f"what was typed at {text} is a text to the book", "type it as a plain number, and so wherever a note says it was read"
    what = f"{len(follow):,} figures differ from the engine's because {why}; the first is at {_cell(follow[0])}"
    return Finding("figures-follow", Severity.ERROR, place(raw.path), what, mend)


def _cell(finding: Finding) -> str:
    return finding.place.partition(" ")[2] or finding.place
