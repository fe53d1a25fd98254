"""Rule 18: a chart has a title, titles on its axes, and a text for those who cannot see it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from sheetgen.check.rules.subject import TRUE
from sheetgen.reader.package import RELATION_ID, target_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.rules.subject import Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawSheet

_AXES: Final = ("catAx", "valAx", "dateAx", "serAx")


def charts(subject: Subject) -> Iterator[Finding]:
    """Find charts and pictures without titles or alternative text."""
    for sheet in subject.sheets:
        yield from _sheet(subject, sheet)


def _sheet(subject: Subject, sheet: RawSheet) -> Iterator[Finding]:
    package = subject.book.inspected.package
    part = target_of(package.relationships(sheet.part), "drawing")
    root = package.tree(part) if part else None
    if root is None:
        return
    targets = {line.id: line.target for line in package.relationships(part)}
    for anchor in root:
        for kind, shape in (("chart", "graphicFrame"), ("picture", "pic")):
            for frame in anchor.iter(f"{{*}}{shape}"):
                at = _place(anchor)
                properties = frame.find("*/{*}cNvPr")
                if properties is None or not properties.get("descr", "").strip():
                    mend = "say in one sentence what it shows"
                    yield subject.error("rule-18-alt", f"a {kind} has no alternative text", mend, sheet.name, at)
                chart = frame.find(".//{*}graphicData/{*}chart")
                identity = None if chart is None else next(filter(None, map(chart.get, RELATION_ID)), None)
                drawn = package.tree(targets.get(identity, "")) if identity else None
                for what in () if drawn is None else _missing(drawn):
                    yield subject.error("rule-18-title", f"a chart has no {what}", "give it one", sheet.name, at)


def _missing(root: Any) -> Iterator[str]:
    chart = root.find("{*}chart")
    if chart is None or not _titled(chart):
        yield "title"
    for kind in _AXES:
        for axis in root.iter(f"{{*}}{kind}"):
            deleted = axis.find("{*}delete")
            if (deleted is None or deleted.get("val", "1") not in TRUE) and not _titled(axis):
                yield "title on the value axis" if kind == "valAx" else "title on the category axis"


def _titled(element: Any) -> bool:
    title = element.find("{*}title")
    return title is not None and any((text.text or "").strip() for text in (*title.iter("{*}t"), *title.iter("{*}f")))


def _place(anchor: Any) -> tuple[int, int]:
    row, column = anchor.findtext("{*}from/{*}row"), anchor.findtext("{*}from/{*}col")
    return (int(row) + 1, int(column) + 1) if row and column else (1, 1)
