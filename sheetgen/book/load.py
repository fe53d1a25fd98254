"""TOML files become one frozen Book; everything that is wrong with them is reported at once."""

from __future__ import annotations

import contextlib
import re
import tomllib
from collections.abc import Iterator, Mapping
from importlib import resources
from pathlib import Path
from typing import Any, Final

import attrs

from sheetgen import units
from sheetgen.book.borrow import BORROW, BORROW_KEYS, WrittenBlock, WrittenField, borrowed, written
from sheetgen.book.refer import check_parts, check_references
from sheetgen.book.template import (
    BLOCK_KINDS,
    COMPUTED,
    ENTERED,
    FIELD_KINDS,
    FORMS,
    SHEET_TYPES,
    TEXT_SIZE,
    WIDTHS,
    Block,
    Book,
    Field,
    Part,
    Sheet,
    Where,
)
from sheetgen.findings import Refused, Report

_NAME = re.compile(r"^[a-z][a-z0-9_]*$")
_CELL_LIKE = re.compile(r"^(?:[A-Za-z]{1,3}\d+|[RrCc]\d*)$")


def templates() -> Path:
    """Return the folder of all templates, as shipped."""
    shipped = Path(str(resources.files("sheetgen"))) / "templates"
    beside = Path(__file__).resolve().parents[2] / "templates"
    return shipped if shipped.is_dir() else beside


def template_folder(kind: str) -> Path:
    """Return the folder that holds the present templates of one kind of book."""
    return templates() / kind


def template_versions(kind: str) -> dict[str, Path]:
    """Return the folder of each template version of one kind of book, from the first to the present one.

    Notes
    -----
    A version that is no longer the present one stands under ``templates/released``, in a folder for each release with the
    books of all kinds beside each other, for they take blocks from each other.
    """
    found = {}
    for folder in (*sorted(templates().glob(f"released/*/{kind}")), template_folder(kind)):
        with contextlib.suppress(OSError, tomllib.TOMLDecodeError):  # the loader says what is wrong with a template
            found[str(tomllib.loads((folder / "book.toml").read_text(encoding="utf-8")).get("version", ""))] = folder
    return dict(sorted(found.items(), key=lambda item: (len(item[0]), item[0])))


def load(folder: Path) -> Book:
    """Read every sheet file of a template folder.

    Parameters
    ----------
    folder : Path
        Holds ``book.toml`` and ``NN-sheet.toml`` files.

    Returns
    -------
    Book
        The frozen template; its formulas are not compiled yet.

    Raises
    ------
    Refused
        Anything is wrong; all findings at once.
    """
    return _Loader(folder).book()


def by_system(value: Any) -> dict[str, Any]:
    """Return {'us': …, 'metric': …} of a value that may be given once or per system."""
    if isinstance(value, dict):
        return {system: value.get(system) for system in units.SYSTEMS if system in value}
    return dict.fromkeys(units.SYSTEMS, value)


_FIELD_KEYS: Final = frozenset(
    {
        "name", "kind", "unit", "label", "formula", "formula_us", "formula_metric", "default", "value", "least",
        "most", "choices", "message", "note", "width", "optional", "only", "tolerance", "link", "strong",
        "no_limit", "each", "runs", "column", "wrap", "form", "right",
    }
)  # fmt: skip
_BLOCK_KEYS: Final = frozenset(
    {
        "name", "kind", "title", "note", "rows", "over", "field", "record", "numbered", "turned", "good", "bad", "with", "heading",
        "filter", "above", "letterhead", "plain", "strong", "high",
    }
)  # fmt: skip
_SHEET_KEYS: Final = frozenset({"title", "about", "type", "landscape", "block", "note", "chart", "size", "widths", "one_page", "picture"})

# Units that are inches in a US book, and so are measured in fractions.
_SIZES: Final = frozenset({"depth", "inch"})


class _Loader:
    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.report = Report()
        self.blocks: dict[str, Block] = {}

    def book(self) -> Book:
        top = self._read(self.folder / "book.toml")
        files = sorted(self.folder.glob("[0-9][0-9]-*.toml"))
        if not files:
            self.report.error("template-empty", str(self.folder), "has no sheet files", "add NN-sheet.toml files")
        sheets = [self._sheet(path) for path in files]
        for path, sheet in zip(files, sheets, strict=True):
            check_parts(path.name, sheet, self.blocks, self.report)
        check_references(sheets, self.blocks, self.report)
        words = top.get("words", {})
        if "words_from" in top:
            words = {**self._read(self.folder.parent / top["words_from"] / "book.toml").get("words", {}), **words}
        if self.report.failed:
            raise Refused(self.report)
        return Book(
            kind=top.get("kind", self.folder.name),
            version=str(top.get("version", "")),
            title=top.get("title", ""),
            cautions=tuple(top.get("cautions", ())),
            words=words,
            sheets=tuple(sheet for sheet in sheets if sheet is not None),
            blocks=self.blocks,
            renamed=top.get("renamed", {}),
        )

    def _read(self, path: Path) -> dict[str, Any]:
        try:
            return tomllib.loads(path.read_text(encoding="utf-8"))
        except FileNotFoundError:
            self.report.error("template-missing", str(path), "is not there", "put the file back")
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            self.report.error("template-toml", str(path), f"is not readable TOML: {error}", "mend the line named")
        return {}

    def _unknown(self, keys: Any, known: frozenset[str], where: Where) -> None:
        for key in keys:
            if key not in known:
                self.report.error(
                    "template-key", where.at(), f"unknown key '{key}'", f"use one of: {', '.join(sorted(known))}"
                )

    def _sheet(self, path: Path) -> Sheet | None:
        raw = self._read(path)
        if not raw:
            return None
        top = Where(path.name, 1)
        self._unknown(raw, _SHEET_KEYS, top)
        kind = raw.get("type", "")
        if kind not in SHEET_TYPES:
            self.report.error("template-type", top.at(), f"sheet type '{kind}'", f"use one of: {', '.join(SHEET_TYPES)}")
        blocks = [block for one in written(path, raw) for block in self._blocks(one)]
        parts = [part for block in blocks if (part := self._part(block)) is not None]
        return Sheet(
            code=path.stem[3:].replace("-", "_"),
            title=raw.get("title", ""),
            about=raw.get("about", ""),
            type=kind,
            landscape=raw.get("landscape", False),
            parts=tuple(parts),
            notes=tuple(raw.get("note", ())),
            charts=tuple(raw.get("chart", ())),
            size=raw.get("size", TEXT_SIZE),
            one_page=raw.get("one_page", False),
            picture=raw.get("picture", ""),
            widths=tuple(raw.get("widths", WIDTHS)),
        )

    def _blocks(self, block: WrittenBlock) -> Iterator[WrittenBlock]:
        """Yield a block itself, or those that it takes from another book."""
        if block.keys.get("kind") != BORROW:
            yield block
            return
        self._unknown(block.keys, BORROW_KEYS, block.where)
        yield from borrowed(block, self.folder.parent, self.report)

    def _part(self, block: WrittenBlock) -> Part | None:
        raw, where = block.keys, block.where
        self._unknown(raw, _BLOCK_KEYS, where)
        name, kind = raw.get("name", ""), raw.get("kind", "")
        self._check_name(name, where)
        fields = tuple(map(self._field, block.fields))
        if kind == "part":
            known = self.blocks.get(name)
            # The defining block may stand on a later sheet: keep what is known and merge when it comes.
            base = known or Block(name, "", 0, "", ())
            self.blocks[name] = attrs.evolve(base, fields=self._merged(base.fields, fields))
        else:
            if kind not in BLOCK_KINDS:
                self.report.error(
                    "template-kind", where.at(), f"block kind '{kind}'", f"use one of: {', '.join(BLOCK_KINDS)}"
                )
            known = self.blocks.get(name)
            if known is not None and known.kind:
                self.report.error("template-twice", where.at(), f"block '{name}' is defined twice", 'use kind = "part"')
            records = tuple(raw.get("record", ()))
            if kind == "list" and not self._codes(name, records, where):
                return None
            self.blocks[name] = Block(
                name=name,
                kind=kind,
                rows=len(records) if kind == "list" else raw.get("rows", 1),
                over=raw.get("over", ""),
                fields=self._merged(fields, known.fields if known else ()),
                records=records,
                good=raw.get("good", ""),
                bad=raw.get("bad", ""),
                where=where,
                second=raw.get("with", ""),
                heading=raw.get("heading", ""),
            )
        return Part(
            name, raw.get("title", ""), raw.get("note", ""), tuple(field.name for field in fields),
            raw.get("numbered", False), raw.get("turned", False), raw.get("filter", False), raw.get("above", ""),
            raw.get("letterhead", False), raw.get("plain", False), tuple(raw.get("strong", ())), raw.get("high", 0.0),
        )  # fmt: skip

    def _codes(self, name: str, records: tuple[Mapping[str, Any], ...], where: Where) -> bool:
        """Return whether each record of a list has a code; say so where one has none, or two have the same."""
        if not all("code" in record for record in records):
            self.report.error("template-code", where.at(), f"a record of list '{name}' has no code", "give each record a code")
            return False
        seen: set[str] = set()
        for record in records:
            code = str(record["code"])
            if code in seen:
                self.report.error("template-code", where.at(), f"two records of list '{name}' have the code '{code}'", "keep one")
            seen.add(code)
        return True

    def _merged(self, first: tuple[Field, ...], second: tuple[Field, ...]) -> tuple[Field, ...]:
        fields: dict[str, Field] = {}
        for field in (*first, *second):
            if field.name in fields:
                self.report.error("template-twice", field.where.at(), f"field '{field.name}' stands twice", "keep one")
            fields.setdefault(field.name, field)
        return tuple(fields.values())

    def _check_name(self, name: str, where: Where) -> None:
        if not _NAME.match(name) or _CELL_LIKE.match(name):
            self.report.error(
                "template-name", where.at(), f"'{name}' cannot be a name",
                "use small letters, digits and _; not something that reads as a cell",
            )  # fmt: skip

    def _field(self, written_field: WrittenField) -> Field:
        raw, lines, at = written_field.keys, written_field.lines, written_field.at
        where = Where(written_field.file, lines.line(*at))
        self._unknown(raw, _FIELD_KEYS, where)
        name = raw.get("name", "")
        self._check_name(name, where)
        formulas: dict[str, tuple[str, Where]] = {}
        for system in units.SYSTEMS:
            for key in (f"formula_{system}", "formula"):
                if key in raw:
                    place = Where(where.file, *lines.value(*at, key))
                    if not isinstance(raw[key], str):
                        self.report.error("template-formula", place.at(), f"'{raw[key]}' is not a text", "put it in quotes")
                    formulas[system] = (str(raw[key]), place)
                    break
        kind = raw.get("kind", "formula" if formulas else "")
        unit = raw.get("unit", "")
        if kind not in FIELD_KINDS:
            self.report.error("template-kind", where.at(), f"field kind '{kind}'", f"use one of: {', '.join(FIELD_KINDS)}")
        if kind in COMPUTED and not formulas:
            self.report.error("template-formula", where.at(), f"'{name}' is a {kind} without a formula", "add one")
        if kind == "choice" and not raw.get("choices"):
            self.report.error("template-choices", where.at(), f"'{name}' is a choice without choices", "name a list")
        if kind == "choice":
            unit = unit or "text"
        self._check_unit(unit, where)
        if raw.get("only", "") not in {"", *units.SYSTEMS}:
            self.report.error(
                "template-only", where.at(), f"only '{raw['only']}'", f"use one of: {', '.join(units.SYSTEMS)}"
            )
        if (form := raw.get("form", "")) and not (form in FORMS and unit not in units.PLAIN and (form != "fraction" or unit in _SIZES)):
            mend = f"use one of: {', '.join(FORMS)}, for a number; a fraction for {' or '.join(sorted(_SIZES))}"
            self.report.error("template-form", where.at(), f"form '{form}' of {unit or 'no unit'}", mend)
        if kind in ENTERED and not raw.get("message"):
            self.report.error("template-message", where.at(), f"input '{name}' has no message", "say what to type")
        return Field(
            name=name, kind=kind, unit=unit, label=raw.get("label", name), where=where, formulas=formulas,
            default=by_system(raw["default"]) if "default" in raw else {},
            value=by_system(raw["value"]) if "value" in raw else {},
            least=by_system(raw["least"]) if "least" in raw else {},
            most=by_system(raw["most"]) if "most" in raw else {},
            choices=raw.get("choices", ""), message=raw.get("message", ""), note=raw.get("note", ""),
            width=raw.get("width"), optional=raw.get("optional", False), only=raw.get("only", ""),
            tolerance=float(raw.get("tolerance", 0.0)), link=raw.get("link", ""), strong=raw.get("strong", False),
            no_limit=raw.get("no_limit", False), each=tuple(raw.get("each", ())), runs=raw.get("runs", 0),
            column=raw.get("column", ""), wrap=raw.get("wrap", False), form=raw.get("form", ""),
            right=raw.get("right", False),
        )  # fmt: skip

    def _check_unit(self, unit: str, where: Where) -> None:
        if unit in units.PLAIN:
            return
        if not unit:
            self.report.error("template-unit", where.at(), "has no unit", "give a unit word, or text")
            return
        try:
            units.pint_text(unit, "us")
        except units.UnknownUnitError as error:
            self.report.error("template-unit", where.at(), str(error), "use a word of the unit table")
