"""Whether our sheets can be added to a workbook: what it is, how it is protected, and what its sheets and names are called."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

from sheetgen.book import prefix as prefixing
from sheetgen.book.defined import defined_names
from sheetgen.book.plan import Plan
from sheetgen.findings import Finding, Report
from sheetgen.host.package import Package
from sheetgen.reader.gate import Inspected
from sheetgen.reader.package import local

_TRUE: Final = frozenset({"1", "true", "on"})
_STRICT: Final = "http://purl.oclc.org/ooxml/"
_TABLES: Final = "spreadsheetml.table+xml"
_TEMPLATE: Final = "template.main+xml"


def unfit(host: Package, inspected: Inspected) -> tuple[Finding, ...]:
    """Return why nothing can be added to a workbook; empty where it can.

    Parameters
    ----------
    host : Package
        The workbook.
    inspected : Inspected
        What the gate saw of it.

    Returns
    -------
    tuple of Finding
        Errors, and looks where our sheets will work otherwise than in a workbook of their own.
    """
    report = Report()
    place = host.path.name
    root = host.tree(inspected.workbook)
    kinds = {line.kind.casefold() for line in (*host.relationships(), *host.relationships(inspected.workbook))}
    if root.tag.startswith("{" + _STRICT) or any(line.get("conformance") == "strict" for line in (root,)):
        report.error("host-strict", place, "is a Strict Open XML workbook", "save it as Excel Workbook (.xlsx), not as Strict Open XML")
    if _on(root, "workbookPr", "date1904"):
        mend = "turn off 'Use 1904 date system' in its options and put its dates right, or copy its sheets into a new workbook"
        report.error("host-1904", place, "counts days from 1904: every date would be four years off", mend)
    if "origin" in kinds or any(name.casefold().startswith("_xmlsignatures/") for name in host.names):
        report.error("host-signed", place, "carries a digital signature, which any change makes void", "take the signature off first")
    if {"revisionheaders", "usernames"} & kinds:
        report.error("host-shared", place, "is a shared workbook", "end sharing in the spreadsheet program and save it")
    if _on(root, "workbookProtection", "lockStructure") or _on(root, "workbookProtection", "lockRevision"):
        report.error("host-structure", place, "protects its structure, so that no sheet may be added", "take that protection off first")
    if _on(root, "calcPr", "fullPrecision", absent=True, wanted=False):
        report.error("host-precision", place, "reckons with the figures as displayed: prices would be rounded on the way",
                     "turn off 'Set precision as displayed' in its options")  # fmt: skip
    if _TEMPLATE in _declared(host, inspected.workbook):
        report.error("host-template", place, "is a template for workbooks", "make a workbook from it and give that")
    for line in _lines(root, "calcPr"):
        if line.get("calcMode") == "manual":
            report.look("host-manual", place, "reckons only when told to: after typing, press F9", "set calculation to automatic")
    return tuple(report)


def clashes(host: Package, inspected: Inspected, plan: Plan) -> tuple[Finding, ...]:
    """Return each sheet or name of ours that the host has too, and what is wrong with the prefix.

    Parameters
    ----------
    host : Package
        The workbook.
    inspected : Inspected
        What the gate saw of it.
    plan : Plan
        Of our book, with its prefix.
    """
    report = Report()
    place = host.path.name
    titles = [sheet.title for sheet in plan.book.sheets]
    why = prefixing.wrong(plan.prefix, titles)
    if why is not None:
        report.error("prefix-wrong", f"--prefix '{plan.prefix}'", why, "choose a short one, such as 'Job 7 '")
        return tuple(report)
    mend = "add the sheets with --prefix 'Job 7 ', or another that is not there yet"
    tabs = {tab.casefold(): tab for tab in inspected.tabs}
    for sheet in plan.book.sheets:
        title = plan.title(sheet)
        if title.casefold() in tabs:
            report.error("host-sheet", place, f"has a sheet '{tabs[title.casefold()]}', as the bid's '{title}'", mend)
    held = {name.casefold(): (name, what) for name, what in _names(host, inspected.workbook)}
    for name in defined_names(plan):
        if name.casefold() in held:
            theirs, what = held[name.casefold()]
            report.error("host-name", place, f"has {what} '{theirs}', as the bid's name '{name}'", mend)
    return tuple(report)


def _names(host: Package, workbook: str) -> Iterator[tuple[str, str]]:
    for line in _lines(host.tree(workbook), "definedNames", "definedName"):
        yield line.get("name", ""), "a name" if line.get("localSheetId") is None else "a name on one sheet"
    for part in table_parts(host):
        root = host.tree(part)
        yield from ((name, "a table") for name in {root.get("displayName", ""), root.get("name", "")} if name)


def table_parts(host: Package) -> list[str]:
    """Return the parts that hold tables."""
    types = host.tree("[Content_Types].xml")
    named = (line.get("PartName", "").lstrip("/") for line in types if _TABLES in line.get("ContentType", ""))
    return [part for name in named if (part := host.spelt(name)) is not None]


def _declared(host: Package, part: str) -> str:
    """Return the content type of a part."""
    for line in host.tree("[Content_Types].xml"):
        if line.get("PartName", "").lstrip("/").casefold() == part.casefold():
            return str(line.get("ContentType", ""))
    return ""


def _lines(root: Any, *path: str) -> Iterable[Any]:
    found = [root]
    for name in path:
        found = [child for one in found for child in one if local(child.tag) == name]
    return found


def _on(root: Any, element: str, attribute: str, *, absent: bool = False, wanted: bool = True) -> bool:
    """Return whether an attribute that is on or off is as wanted."""
    return any((line.get(attribute, "1" if absent else "0") in _TRUE) is wanted for line in _lines(root, element))
