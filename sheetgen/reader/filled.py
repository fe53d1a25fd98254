"""A filled book becomes entries by field name, through the plan of its stamp; what cannot be read is a finding."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import attrs

from sheetgen import steps, units
from sheetgen.book.compile import Compiled, shipped
from sheetgen.book.linked import Target, linked_to
from sheetgen.book.plan import Address, Place, PlacedPart
from sheetgen.book.stamp import Stamp
from sheetgen.book.template import COMPUTED, Block, Field
from sheetgen.book.validate import MOST_TEXT, bounds
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.reader.cell_text import Typed, as_clock, as_date, as_number, as_text
from sheetgen.reader.limits import BOOK
from sheetgen.reader.linked_cell import taken_over
from sheetgen.reader.located import Located, find_sheets, put_back
from sheetgen.reader.ours import read_ours
from sheetgen.reader.present import Leftover, Retold, in_present_version
from sheetgen.reader.raw import RawBook, RawCell
from sheetgen.reader.serial import from_serial
from sheetgen.reader.stamped import is_hosted, plan_of, prefixes_in, read_stamp


@attrs.frozen
class Filled:
    """What a person typed into a book.

    Parameters
    ----------
    path : Path
        The file.
    stamp : Stamp
        What the book says of itself.
    compiled : Compiled
        The template by which it was made.
    raw : RawBook
        The file's cells.
    located : Located
        Its sheets, with every cell where the plan has it.
    entries : dict of (block, field) to tuple
        One value per record: number in the units of the book, text, date, code of a list, or None; by the names of the
        present template version.
    leftovers : tuple of Leftover
        What was typed and finds no place: it cannot be read, or the present version has no field for it.
    findings : tuple of Finding
        What could not be read, with sheet and cell.
    prefix : str
        Before the titles of its sheets, where it stands in a person's own workbook.
    links : dict of Place to Target
        Inputs that are taken from another cell of that workbook.
    retold : dict of (field, record) to Retold
        What the version of the book called or measured otherwise, by its present name [1-based record].
    """

    path: Path
    stamp: Stamp
    compiled: Compiled = attrs.field(repr=False)
    raw: RawBook = attrs.field(repr=False)
    located: Located = attrs.field(repr=False)
    entries: dict[tuple[str, str], tuple[Any, ...]] = attrs.field(repr=False)
    leftovers: tuple[Leftover, ...]
    findings: tuple[Finding, ...]
    prefix: str = ""
    links: dict[Place, Target] = attrs.field(factory=dict, repr=False)
    retold: dict[tuple[str, int], Retold] = attrs.field(factory=dict, repr=False)

    @property
    def name(self) -> str:
        """Return what the book is called in tables: its file, and its prefix where it has one."""
        return f"{self.path.name} {self.prefix}".strip()

    @property
    def hosted(self) -> bool:
        """Whether the book stands in a person's own workbook."""
        return bool(self.prefix) or is_hosted(self.raw)

    @property
    def outdated(self) -> bool:
        """Whether an earlier template version made the book."""
        return self.stamp.version != shipped(self.stamp.kind).version


def read_filled(path: Path) -> Filled:
    """Read a book that a person filled.

    Parameters
    ----------
    path : Path
        The file; it is never written to.

    Returns
    -------
    Filled
        Entries, and findings where something could not be read.

    Raises
    ------
    Refused
        The file does not pass the gate, is not a book that this tool knows, or holds several.
    """
    with steps.during(f"reading {path.name} …"):
        raw = read_ours(path)
        found = prefixes_in(raw)
        if len(found) > 1:
            shown = ", ".join(f"'{prefix}'" for prefix in found)
            what = f"holds {len(found)} books, with {shown} before their sheets"
            raise Refused([Finding("book-several", Severity.ERROR, path.name, what, "take out the others first: sheetgen take-out")])
        return filled_of(raw, found[0] if found else "")


def read_each(path: Path) -> tuple[Filled, ...]:
    """Read every book of ours that stands in a file: one, or several in a person's own workbook.

    Parameters
    ----------
    path : Path
        The file; it is never written to.

    Returns
    -------
    tuple of Filled
        In the order of their names.

    Raises
    ------
    Refused
        The file does not pass the gate, or holds no book that this tool knows.
    """
    raw = read_ours(path)
    return tuple(filled_of(raw, prefix) for prefix in prefixes_in(raw) or ("",))


def filled_of(raw: RawBook, prefix: str = "") -> Filled:
    """Read what a person typed into a book whose cells have been read.

    Parameters
    ----------
    raw : RawBook
        The file.
    prefix : str
        Before the titles of the book's sheets, where it stands in a person's own workbook.

    Raises
    ------
    Refused
        It is not a book that this tool knows.
    """
    stamp = read_stamp(raw, prefix)
    compiled = plan_of(stamp, raw, prefix)
    reader = _Reader(raw, compiled)
    reader.places()
    entries = {} if reader.report.failed else reader.entries()
    present, leftovers, retold = in_present_version(compiled.plan, entries)
    filled = Filled(
        raw.path, stamp, compiled, raw, reader.located, present, (*reader.unread, *leftovers), tuple(reader.report), prefix, reader.links,
        retold,
    )
    return attrs.evolve(filled, findings=(*filled.findings, *_of_version(filled, len(leftovers))))


def _of_version(filled: Filled, left_over: int) -> Iterator[Finding]:
    name, mend = filled.name, f"make a new book of it: sheetgen carry {filled.path.name} --out NEW.xlsx"
    if filled.outdated:
        what = f"was made by template version {filled.stamp.version}; the present one is {shipped(filled.stamp.kind).version}"
        yield Finding("version-old", Severity.NOTE, name, what, mend)
    if left_over:
        what = f"{left_over} entries have no place in the present version and are not read"
        yield Finding("version-left-over", Severity.LOOK, name, what, mend)


def read_links(raw: RawBook, compiled: Compiled, links: Mapping[Place, Target]) -> tuple[dict[Place, Any], tuple[Finding, ...]]:
    """Read the cells of a workbook that inputs of a book are to take over.

    Parameters
    ----------
    raw : RawBook
        The workbook, with the sheets that are linked to.
    compiled : Compiled
        The template of the book.
    links : mapping of Place to Target
        The inputs.

    Returns
    -------
    values : dict of Place to value
        As :class:`Filled` would have them.
    findings : tuple of Finding
        What cannot be taken over.
    """
    reader = _Reader(raw, compiled)
    fields = {(block.name, field.name): field for block, field in compiled.plan.entered()}
    values = {place: reader.taken_over(fields[place.block, place.field], target) for place, target in links.items()}
    return values, tuple(reader.report)


class _Reader:
    def __init__(self, raw: RawBook, compiled: Compiled) -> None:
        self.raw = raw
        self.compiled = compiled
        self.plan = compiled.plan
        self.report = Report()
        self.located = Located(raw.path.name)
        self.codes: dict[str, dict[str, str]] = {}
        self.unread: list[Leftover] = []
        self.links: dict[Place, Target] = {}

    # Is everything where the plan says?

    def places(self) -> None:
        """Find every sheet, and prove by its fixed words that nothing has moved; where something has, put it back."""
        self.located = find_sheets(self.raw, self.plan, self.report)
        wrong: dict[str, list[tuple[Address, str | None, str]]] = {}
        for part in self.plan.parts:
            if part.sheet in self.located.sheets:
                wrong.setdefault(part.sheet, []).extend(self._wrong(part))
        for sheet, cells in wrong.items():
            if not cells:
                continue
            before = len(self.report)
            if put_back(self.raw, self.compiled, self.located, sheet, self.report):
                self._reworded(cells if sheet not in self.located.astray else [])
            elif len(self.report) == before:
                self._moved(*cells[0])

    def _wrong(self, part: PlacedPart) -> Iterator[tuple[Address, str | None, str]]:
        """Yield the cells of a part that should hold fixed words, or (None) a formula, and do not; with what they hold."""
        for cell, word in self._anchors(part):
            held = self.located.sheets[part.sheet].cells.get((cell.row + 1, cell.column + 1))
            said = "" if held is None or held.value is None else str(held.value)
            if (held is None or held.formula is None) if word is None else _one_line(said) != _one_line(word):
                yield cell, word, said

    def _moved(self, cell: Address, word: str | None, said: str) -> None:
        what = f"'{word}' is expected here and '{said[:40]}' is found" if word else "a formula is expected here and there is none"
        self.report.error(
            "sheet-moved", self.located.where(*cell),
            f"{what}: rows or columns were put in or taken out, or fixed text was changed, and it cannot be told which",
            "undo that change, or go back to an earlier copy",
        )  # fmt: skip

    def _reworded(self, cells: Iterable[tuple[Address, str | None, str]]) -> None:
        for cell, word, said in cells:
            if word is not None:
                what = f"fixed text was changed: '{_one_line(word)}' stood here, '{_one_line(said)[:40]}' stands here now"
                self.report.look("text-changed", self.located.where(*cell), what, "put it back; what was typed is read as before")

    def _anchors(self, part: PlacedPart) -> list[tuple[Address, str | None]]:
        """Return cells whose words are known, and (None) the last formula of each column of a table."""
        found: list[tuple[Address, str | None]] = []
        if part.title_row is not None:
            found.append((Address(part.sheet, part.title_row, 0), part.part.title))
        labelled = part.layout in {"fields", "checks", "across"} or (part.layout == "scenario" and not part.block.over)
        labelled = labelled and not part.part.letterhead
        for field in part.fields:
            spot = self.plan.spot(part.block.name, field.name)
            if labelled:
                found.append((Address(part.sheet, spot.row, 0), field.label))
            elif part.header_row is not None:
                symbol = units.symbol(field.unit, self.plan.system)
                label = f"{field.label}\n{symbol}" if symbol else field.label
                found.append((Address(part.sheet, part.header_row, spot.column), label))
            if field.kind in COMPUTED and part.block.kind != "fields":
                found.append((spot.cell(spot.records - 1), None))
        return found

    # What was typed?

    def entries(self) -> dict[tuple[str, str], tuple[Any, ...]]:
        """Return what was typed, by field, a value per record."""
        found = {}
        for block, field in (*self.plan.entered(), *self.plan.posted()):
            cells = self.located.sheets[self.plan.spot(block.name, field.name).sheet].cells
            found[block.name, field.name] = tuple(
                self._entry(place, field, cells, cell) for place, cell in self.plan.places(block, field)
            )
        self._twins(found)
        return found

    def taken_over(self, field: Field, target: Target) -> Any:
        """Return what an input takes over from another cell of the workbook."""
        place = f"{self.raw.path.name} {target.a1}"
        if self.raw.sheet(target.sheet) is None:
            self.report.error("link-sheet", place, f"'{field.label}' is linked to a sheet that is not there", "name a cell of one that is")
            return None
        typed = taken_over(field, self.raw.cell(*target), date1904=self.raw.date1904)
        value = self._accepted(field, typed, place)
        if field.kind == "choice" and "." not in field.choices and value is not None:
            records = self.plan.book.blocks[field.choices].records
            if all(value != record["code"] or typed.value != record["word"] for record in records):
                words = ", ".join(str(record["word"]) for record in records)
                self.report.error("link-choice", place, f"'{field.label}' takes over '{typed.value}'", f"write there one of: {words}")
        return value

    def _entry(self, at: Place, field: Field, cells: Any, cell: Address) -> Any:
        held = cells.get((cell.row + 1, cell.column + 1))
        if held is None or (held.value is None and held.formula is None):
            return None
        before = len(self.report)
        target = linked_to(held.formula) if held.formula is not None else None
        if target is not None and not self.located.holds(target.sheet):
            self.links[at] = target
            value = self.taken_over(field, target)
        else:
            value = self._typed(field, held, self.located.where(*cell))
        said = [one for one in list(self.report)[before:] if one.severity is Severity.ERROR] if len(self.report) > before else []
        if said:
            name = at.name + (f"[{at.record + 1}]" if self.plan.spot(at.block, at.field).records > 1 else "")
            self.unread.append(Leftover(name, _one_line(field.label), self._seen(held), said[0].what))
        return value

    def _typed(self, field: Field, held: RawCell, place: str) -> Any:
        """Return what was typed into an input."""
        if held.formula is not None:
            self.report.note(
                "input-formula", place, f"'{field.label}' holds a formula; its last value {held.value!r} is used",
                "type the number itself to be sure",
            )  # fmt: skip
        if field.kind == "choice" or field.unit in {"text", "code"}:
            most = BOOK.text if field.kind == "posted" else MOST_TEXT
            typed = as_text(held, most, date1904=self.raw.date1904)
        elif field.unit == "date":
            typed = as_date(held, self.raw.date1904)
        elif field.unit == "clock":
            typed = as_clock(held)
        elif field.no_limit and _one_line(held.value).casefold() == self.plan.book.words["no_limit"].casefold():
            return math.inf
        else:
            symbol = units.symbol(field.unit, self.plan.system)
            typed = as_number(held, symbol, share=field.unit == "share", date1904=self.raw.date1904)
        return self._accepted(field, typed, place)

    def _seen(self, held: RawCell) -> str:
        """Return what a cell shows, near enough to know it again."""
        if held.is_date and isinstance(held.value, float):
            moment = from_serial(held.value, date1904=self.raw.date1904)
            return f"{held.value:.15g}" if moment is None else moment.date().isoformat()
        return f"{held.value:.15g}" if isinstance(held.value, float) else _one_line(held.value)

    def _accepted(self, field: Field, typed: Typed, place: str) -> Any:
        if typed.problem:
            self.report.error("input-unread", place, f"'{field.label}': {typed.problem}", typed.mend or "type it anew")
            return None
        if typed.note:
            self.report.note("input-read", place, f"'{field.label}': {typed.note}")
        value = typed.value
        if value is None or value == "":
            return None
        if field.kind == "choice" and "." not in field.choices:
            return self._code(field, str(value))
        if isinstance(value, float) and field.kind != "posted" and field.unit != "clock":
            least, most = bounds(field, self.plan)
            if not least <= value <= most:
                self.report.error(
                    "input-bounds", place, f"'{field.label}' is {value:g}, but {least:g} to {most:g} is allowed",
                    "type a number within the bounds",
                )  # fmt: skip
                return None
        if isinstance(value, dt.datetime):
            return value.date()
        return value

    def _code(self, field: Field, word: str) -> str:
        """Return the code behind a word of a list; a word that is not in it stays as typed, for the engine to refuse."""
        if field.choices not in self.codes:
            records = self.plan.book.blocks[field.choices].records
            self.codes[field.choices] = {_one_line(r["word"]).casefold(): str(r["code"]) for r in records}
        return self.codes[field.choices].get(_one_line(word).casefold(), word)

    def _twins(self, found: dict[tuple[str, str], tuple[Any, ...]]) -> None:
        """Report names that stand twice in a list from which others choose: they would be one and the same."""
        sources = {field.choices for _, field in self.plan.entered() if "." in field.choices}
        for source in sorted(sources):
            block_name, field_name = source.split(".")
            block: Block = self.plan.book.blocks[block_name]
            field = block.field(field_name)
            assert field is not None
            seen: dict[str, int] = {}
            for record, name in enumerate(found[block_name, field_name]):
                key = _one_line(name).casefold() if name is not None else ""
                if key and key in seen:
                    cell = self.plan.spot(block_name, field_name).cell(record)
                    self.report.look(
                        "name-twice", self.located.where(*cell),
                        f"'{name}' is already the name in row {seen[key] + 1} of the table", "give each its own name",
                    )  # fmt: skip
                seen.setdefault(key, record)


def _one_line(text: object) -> str:
    """Return a text without doubled, leading and trailing spaces."""
    return " ".join(str(text).split())
