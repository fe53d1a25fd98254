"""Small templates for the tests: blocks written in one line per field become a template folder.

A field is ``name: unit`` with a tail that says its kind: none, an input; ``= formula``, a formula; ``~ formula``, a show
field; ``:= value``, a constant; ``in list``, a choice. ``; key = value`` after it is copied into the TOML as it is.
"""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, Any

from sheetgen.book.compile import Compiled, compile_plan
from sheetgen.book.contents import Contents
from sheetgen.book.load import load
from sheetgen.book.plan import Place, Plan
from sheetgen.book.stamp import Stamp
from sheetgen.book.template import SCENARIOS
from sheetgen.book.write import write
from sheetgen.check.recalculate import recalculate
from sheetgen.findings import Finding, Refused

if TYPE_CHECKING:
    from pathlib import Path

WORDS = (
    "checks number_header code_header label_header unit_header check_header state_header value_header "
    "tolerance_header mend_header sheets legend legend_input legend_input_note legend_formula "
    "legend_formula_note legend_show legend_show_note legend_constant legend_constant_note cautions no_limit picture "
    + " ".join(SCENARIOS)
)
BOOK = 'kind = "mini"\nversion = "7"\ntitle = "Mini"\ncautions = ["Take care."]\n\n[words]\nlanguage = "en-US"\n' + "".join(
    f'{word} = "{word}"\n' for word in WORDS.split()
)
STATES = """
[[block]]
name = "states"
kind = "list"
record = [ { code = "ok", word = "OK" }, { code = "look", word = "LOOK" } ]

[[block.field]]
name = "word"
kind = "note"
unit = "text"
"""
_FACTORS = (
    ("in_per_ft", 12.0, "inch", "foot"),
    ("min_per_h", 60.0, "minute", "hour"),
    ("h_per_day", 24.0, "hour", "day"),
    ("mm_per_m", 1000.0, "millimeter", "meter"),
)
_FIELD = re.compile(r"^(?P<name>\w*): (?P<unit>[^\s;]*)(?: (?P<mark>:=|=|~|in) (?P<tail>[^;]*?))?(?P<extra>\s*;.*)?$")


def factors(*records: tuple[str, float, str, str]) -> str:
    """Return the list of factors."""
    rows = ", ".join(
        f'{{ code = "{code}", word = "{code}", value = {value}, top = "{top}", bottom = "{bottom}" }}'
        for code, value, top, bottom in records or _FACTORS
    )
    return f'\n[[block]]\nname = "factors"\nkind = "list"\nrecord = [ {rows} ]\n' + "".join(
        map(field, ('word: text; kind = "note"', 'value: number; kind = "constant"'))
    )


def field(line: str) -> str:
    """Return the TOML of one field."""
    found = _FIELD.match(line)
    assert found is not None, line
    mark, tail = found["mark"], found["tail"]
    said = [f'name = "{found["name"]}"', f'unit = "{found["unit"]}"']
    extra = [item.strip() for item in (found["extra"] or "").split(";") if item.strip()]
    if mark in {"=", "~"}:
        said.append(f"formula = '{tail}'")
    if mark == ":=":
        said.append(f"value = {tail}")
    if mark == "in":
        said.append(f'choices = "{tail}"')
    if not any(item.startswith("kind") for item in extra):
        kind = {"=": "formula", "~": "show", ":=": "constant", "in": "choice", None: "input"}[mark]
        said.append(f'kind = "{kind}"')
        if kind in {"input", "choice"} and not any(item.startswith("message") for item in extra):
            said.append('message = "Type it."')
    return "\n".join(["", "[[block.field]]", *said, *extra, ""])


def block(name: str, kind: str, *lines: str, **keys: Any) -> str:
    """Return the TOML of one block."""
    said = "".join(f"{key} = {_toml(value)}\n" for key, value in keys.items())
    return f'\n[[block]]\nname = "{name}"\nkind = "{kind}"\n{said}' + "".join(map(field, lines))


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return "[ " + ", ".join(map(_toml, value)) + " ]"
    return f'"{value}"' if isinstance(value, str) else str(value)


def sheet(title: str, *blocks: str, kind: str = "calculation") -> str:
    """Return the TOML of one sheet."""
    return f'title = "{title}"\nabout = "About {title}."\ntype = "{kind}"\n' + "".join(blocks)


class Mini:
    """A template folder in the making."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.text("book.toml", BOOK)

    def text(self, name: str, text: str) -> Mini:
        """Write one file of the folder."""
        (self.folder / name).write_text(text, encoding="utf-8")
        return self

    def sums(self, *blocks: str, lists: str | None = None, looks: str = "0") -> Mini:
        """Write a whole small book whose second sheet, Sums, holds these blocks."""
        self.text("01-start.toml", sheet("Start", kind="start"))
        self.text("02-sums.toml", sheet("Sums", *blocks))
        self.text("03-lists.toml", sheet("Lists and units", STATES, factors() if lists is None else lists, kind="reference"))
        master = block("master", "fields", f"looks: count = {looks}")
        return self.text("04-checks.toml", sheet("Checks", master, kind="checks"))

    def plan(self, system: str = "us", **rows: int) -> Plan:
        """Return the plan."""
        return Plan(load(self.folder), system, rows)

    def compile(self, system: str = "us", **rows: int) -> Compiled:
        """Return the compiled template."""
        return compile_plan(self.plan(system, **rows))

    def cell(self, name: str, record: int = 0, scenario: int | None = None, system: str = "us") -> str:
        """Return the formula of one cell."""
        return self.compile(system).text(Place(*name.split("."), record, scenario))

    def findings(self, system: str = "us") -> tuple[Finding, ...]:
        """Return why the template is refused; nothing where it is not."""
        try:
            self.compile(system)
        except Refused as refused:
            return refused.findings
        return ()

    def codes(self, system: str = "us") -> list[str]:
        """Return the codes of the findings."""
        return [finding.code for finding in self.findings(system)]

    def recalculated(self, entries: dict[tuple[str, int] | str, Any], system: str = "us", **rows: int) -> Recalculated:
        """Write the book with what was typed, and let IronCalc reckon it."""
        return Recalculated(self.compile(system, **rows), entries, self.folder / "book.xlsx")


class Recalculated:
    """A written book and what IronCalc makes of its formulas."""

    def __init__(self, compiled: Compiled, entries: dict[Any, Any], path: Path) -> None:
        self.compiled, self.plan, self.path = compiled, compiled.plan, path
        self.entries = {(key, 0) if isinstance(key, str) else key: value for key, value in entries.items()}
        # First with no values, then with those of IronCalc: show fields are made from them.
        self._write(lambda place: 0.0 if place.field == "looks" else None)
        values = recalculate(path)
        self.values = {
            (place.name, place.record, place.scenario): self._at(values, cell)
            for owner, one in compiled.formulas()
            for place, cell in compiled.plan.places(owner, one)
        }

    def _write(self, computed: Any) -> None:
        self.contents = Contents(self.compiled, lambda place: self.entries.get((place.name, place.record)), computed)
        self.made = Stamp.of(self.plan, "mini-1", dt.date(2026, 3, 1))
        write(self.path, self.contents, self.made)

    @staticmethod
    def _at(values: Any, cell: Any) -> Any:
        return values[cell.sheet][cell.row + 1, cell.column + 1]

    def value(self, name: str, record: int = 0, scenario: int | None = None) -> Any:
        """Return IronCalc's value of a formula cell."""
        return self.values[name, record, scenario]

    def column(self, name: str, scenario: int | None = None) -> list[Any]:
        """Return IronCalc's values of a formula column."""
        return [value for (one, _, which), value in self.values.items() if one == name and which == scenario]

    def shown(self, name: str, record: int = 0) -> Any:
        """Return the value that Python gives a show field, from IronCalc's values of the formulas."""
        contents = Contents(
            self.compiled,
            lambda place: self.entries.get((place.name, place.record)),
            lambda place: self.values[place.name, place.record, place.scenario],
        )
        owner = self.plan.book.blocks[name.split(".", maxsplit=1)[0]]
        one = owner.field(name.split(".")[1])
        assert one is not None
        return contents.shown(owner, one, Place(owner.name, one.name, record, None))
