"""Rule 16: an input says what may be typed before and after, stops what may not, and has one rule."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from sheetgen.check.gather import Gathered
from sheetgen.check.rules.subject import TRUE, corners, places
from sheetgen.check.syntax import SyntaxRefusedError, parse
from sheetgen.check.tree import Name, Reference

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.rules.subject import Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawSheet

# what: (attribute, attribute that switches it on, most characters that Excel takes)
_SAID: Final = {
    "input title": ("promptTitle", "showInputMessage", 32),
    "input message": ("prompt", "showInputMessage", 255),
    "stop message": ("error", "showErrorMessage", 255),
}
_PAIRED: Final = frozenset({"between", "notBetween"})


def rules_of(sheet: RawSheet) -> list[Any]:
    """Return the validations of a sheet, those that newer programs keep apart too."""
    return list(sheet.root.iter("{*}dataValidation"))


def ranges(rule: Any) -> str:
    """Return the ranges of a validation, as it writes them."""
    return rule.get("sqref") or (rule.findtext("{*}sqref") or "")


def validations(subject: Subject) -> Iterator[Finding]:
    """Find validations that say too little, do not stop, list words instead of a range, or meet another."""
    twice = Gathered(subject.book.path, "rule-16-double")
    for sheet in subject.sheets:
        seen: set[tuple[int, int]] = set()
        for rule in rules_of(sheet):
            for what, mend, code in (*_messages(rule), *_bounds(subject, rule)):
                first = corners(ranges(rule).split(" ")[0])
                yield subject.error(f"rule-16-{code}", what, mend, sheet.name, first[:2] if first else (0, 0))
            for at in places(sheet, ranges(rule)):
                if at in seen:
                    twice.add(sheet.name, at, "a cell has two validations", "keep one")
                seen.add(at)
    yield from twice


def _messages(rule: Any) -> Iterator[tuple[str, str, str]]:
    for what, (attribute, switch, most) in _SAID.items():
        text = rule.get(attribute, "").strip()
        if not text or rule.get(switch) not in TRUE:
            yield f"the validation shows no {what}", f"give it a {what}", "message"
        elif len(text) > most:
            yield f"the {what} has {len(text)} characters; Excel takes {most}", "shorten it", "message"


def _bounds(subject: Subject, rule: Any) -> Iterator[tuple[str, str, str]]:
    kind = rule.get("type", "none")
    if kind == "none":
        yield "the validation allows anything", "give it bounds or a list", "bounds"
        return
    if rule.get("errorStyle", "stop") != "stop":
        yield "the validation only warns", "let it stop what is out of bounds", "stop"
    first, second = (_formula(rule, f"formula{number}") for number in (1, 2))
    operator = rule.get("operator", "between")
    if not first or (kind not in {"list", "custom"} and operator in _PAIRED and not second):
        yield "the validation lacks a bound", "give it the least and the most", "bounds"
    elif kind == "list" and not _is_range(subject, first):
        yield f"the list is {first[:60]}, which is no range", "list the words in cells and refer to these", "list"


def _formula(rule: Any, name: str) -> str:
    element = rule.find(f"{{*}}{name}")
    return "" if element is None else "".join(element.itertext()).strip()


def _is_range(subject: Subject, text: str) -> bool:
    try:
        found = parse(text.removeprefix("="), 1)
    except SyntaxRefusedError:
        return False
    if isinstance(found, Name):
        return found.name.casefold() in {name.casefold() for name in subject.book.names}
    return isinstance(found, Reference)
