"""A whole template compiled for one plan: every formula field's text, or every finding at once."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping

import attrs

from sheetgen.book import scales
from sheetgen.book.defined import names_twice
from sheetgen.book.formula import Compiler
from sheetgen.book.functions import SHOWN
from sheetgen.book.load import load, template_folder, template_versions
from sheetgen.book.measure import Factors
from sheetgen.book.names import Context, Pieces
from sheetgen.book.parse import FormulaError, Name, Node, calls_in, parse
from sheetgen.book.plan import Place, Plan
from sheetgen.book.template import COMPUTED, SCENARIOS, Block, Book, Field
from sheetgen.findings import Refused, Report
from sheetgen.units import System

_MISSING_BY_NATURE = frozenset({"input", "choice", "linked", "posted"})
_ALWAYS_THERE = frozenset({"constant", "note", "stamp"})


@attrs.frozen(eq=False)
class Compiled:
    """A plan with the pieces of every formula, by (block, field, scenario); *follow* are those that follow a filter."""

    plan: Plan
    pieces: Mapping[tuple[str, str, int | None], Pieces]
    trees: Mapping[tuple[str, str], Node]
    follow: frozenset[tuple[str, str]] = frozenset()

    def text(self, place: Place) -> str:
        """Return the formula of one cell, with its leading ``=``."""
        pieces = self.pieces[place.block, place.field, place.scenario]
        record = place.record
        return "=" + "".join([piece if isinstance(piece, str) else piece.text(record) for piece in pieces])

    def filtered(self, block: Block, field: Field) -> bool:
        """Return whether a field changes with the filter that a person sets."""
        return (block.name, field.name) in self.follow

    def formulas(self) -> Iterator[tuple[Block, Field]]:
        """Yield every formula and show field with its block."""
        for block, field in self.plan.book.fields():
            if field.kind in COMPUTED and field.stands_in(self.plan.system):
                yield block, field


class _Builder:
    def __init__(self, plan: Plan, report: Report) -> None:
        self.plan = plan
        self.report = report
        self.factors = Factors(plan.book.blocks.get("factors"))
        self.trees: dict[tuple[str, str], Node] = {}
        self.pieces: dict[tuple[str, str, int | None], Pieces] = {}
        self.maybe: dict[tuple[str, str], bool] = {}
        self.path: list[tuple[str, str]] = []
        self.failed: set[tuple[str, str]] = set()
        self.follow: set[tuple[str, str]] = set()

    def build(self) -> Compiled:
        for code, what in self.factors.wrong():
            place = self.plan.book.blocks["factors"].where.at()
            self.report.error("factor-wrong", f"{place} factors.{code}", what, "correct the value or the units")
        for code, what in scales.wrong(self.plan.book.blocks.get("scales")):
            self.report.error("scale-wrong", f"{self.plan.book.blocks['scales'].where.at()} scales.{code}", what, "correct the value")
        for name in names_twice(self.plan):
            self.report.error("template-name", "names of cells", f"two cells would be called '{name}'", "rename one field")
        formulas = [
            (block, field)
            for block, field in self.plan.book.fields()
            if field.kind in COMPUTED and field.stands_in(self.plan.system)
        ]
        for block, field in formulas:
            self._parse(block, field)
        for block, field in formulas:
            self.compile(block, field)
        if self.report.failed:
            raise Refused(self.report)
        return Compiled(self.plan, self.pieces, self.trees, frozenset(self.follow))

    def _parse(self, block: Block, field: Field) -> None:
        entry = field.formulas.get(self.plan.system)
        if entry is None:
            self.report.error(
                "formula-none", field.where.at(), f"'{field.name}' has no formula in a {self.plan.system} book", "add one"
            )
            self.failed.add((block.name, field.name))
            return
        try:
            tree = self.trees[block.name, field.name] = parse(entry[0])
            if SHOWN & calls_in(tree):
                self.follow.add((block.name, field.name))
        except FormulaError as error:
            self._fail(block, field, error)

    def _fail(self, block: Block, field: Field, error: FormulaError) -> None:
        self.failed.add((block.name, field.name))
        text, where = field.formulas[self.plan.system]
        caret = f"{text}\n{' ' * error.at}^"
        self.report.error(error.code, where.at(error.at), f"{error.what}\n{caret}\n", error.mend)

    def compile(self, block: Block, field: Field) -> bool:
        """Compile a field once; return whether its value can be missing."""
        key = (block.name, field.name)
        if key in self.maybe:
            return self.maybe[key]
        if key in self.failed:
            return True
        self.path.append(key)
        try:
            scenarios = tuple(range(len(SCENARIOS))) if block.kind == "scenario" else (None,)
            for scenario in scenarios:
                context = Context(self.plan, block, field, scenario, self.can_be_missing)
                pieces, maybe = Compiler(context, self.factors).field(self.trees[key])
                self.pieces[(*key, scenario)] = pieces
        except FormulaError as error:
            self._fail(block, field, error)
            maybe = True
        finally:
            self.path.pop()
        self.maybe[key] = maybe
        return maybe

    def can_be_missing(self, block: Block, field: Field, name: Name) -> bool:
        """Return whether a field can be without a value; a circle of fields is refused here."""
        if field.kind in _MISSING_BY_NATURE:
            return True
        if field.kind in _ALWAYS_THERE:
            return False
        key = (block.name, field.name)
        if key in self.follow:
            raise FormulaError("formula-shown", name.at, "changes with the filter on its sheet", "sum the column itself")
        if key in self.path and key not in self.maybe:
            circle = " → ".join(".".join(step) for step in (*self.path[self.path.index(key) :], key))
            raise FormulaError("formula-circle", name.at, f"goes in a circle: {circle}", "break the circle")
        return self.compile(block, field)


def compile_plan(plan: Plan) -> Compiled:
    """Compile every formula of a plan.

    Raises
    ------
    Refused
        Any formula is wrong; all findings at once, each with file, line, column and caret.
    """
    return _Builder(plan, Report()).build()


@functools.cache
def shipped(kind: str, version: str = "") -> Book:
    """Return the template of one kind of book, read once: the present one unless a version is named.

    Raises
    ------
    KeyError
        There is no such version.
    """
    return load(template_versions(kind)[version] if version else template_folder(kind))


# A folder may hold books of many sizes, and each is eight megabytes.
@functools.lru_cache(maxsize=16)
def _compiled(kind: str, system: System, rows: tuple[tuple[str, int], ...], version: str, prefix: str) -> Compiled:
    return compile_plan(_planned(kind, system, rows, version, prefix))


@functools.lru_cache(maxsize=16)
def _planned(kind: str, system: System, rows: tuple[tuple[str, int], ...], version: str, prefix: str) -> Plan:
    return Plan(shipped(kind, version), system, dict(rows), prefix)


def compiled(
    kind: str, system: System, rows: Mapping[str, int] | None = None, version: str = "", prefix: str = ""
) -> Compiled:
    """Return the compiled template of one kind of book, made once per units, row counts, version and prefix."""
    return _compiled(*_key(kind, system, rows, version, prefix))


def planned(
    kind: str, system: System, rows: Mapping[str, int] | None = None, version: str = "", prefix: str = ""
) -> Plan:
    """Return the plan of one kind of book alone: where everything stands, which is known long before the formulas are."""
    return _planned(*_key(kind, system, rows, version, prefix))


def _key(
    kind: str, system: System, rows: Mapping[str, int] | None, version: str, prefix: str
) -> tuple[str, System, tuple[tuple[str, int], ...], str, str]:
    # The present version has one entry, whether it is named or not.
    named = "" if version and version == shipped(kind).version else version
    return kind, system, tuple(sorted((rows or {}).items())), named, prefix
