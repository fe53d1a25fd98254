"""Every code that a finding can have stands in the README or in DEVELOPERS.md, and no table names a code that is not in the source."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from sheetgen.past_work import NO_HOURS, REASONS, UNREAD
from sheetgen.reader.limits import ACTIVE

ROOT = Path(__file__).parents[1]
CODE = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
# What makes a finding, and which argument is its code; elsewhere in the source the words may be anything.
TELLING = {
    "Finding": 0, "error": 0, "look": 0, "note": 0, "refuse": 0, "_refused": 0, "FormulaError": 0, "SyntaxRefusedError": 0,
    "Problem": 0, "problem": 0, "_Change": 0, "_book": 0, "_error": 0, "_differs": 0, "_dismiss": 2, "Gathered": 1,
}  # fmt: skip
# Codes of which a part is known only when the finding is made, with all that it can be.
MADE = {
    "ledger-{}": ("busy", "full", "disk", "read-only", "open", "foreign", "damaged", "newer"),
    # What has no hours is told as tune-unlogged, and a book that was not read as book-left-out.
    "tune-{}": tuple(code.replace("_", "-") for code in REASONS if code not in {NO_HOURS, UNREAD}),
    "active-{}": tuple(kind.replace(" ", "-") for kind in ACTIVE),
    "{}-inserted": ("rows", "columns"),
    "{}-deleted": ("rows", "columns"),
    "rule-15-{}": ("cut", "width", "merge"),
    "rule-16-{}": ("double",),
}


def in_source() -> set[str]:
    """Return every code of the package; of one that is made of parts, all that it can be."""
    found: set[str] = set()
    for path in sorted((ROOT / "sheetgen").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        constants = {
            target.id: node.value.value
            for node in tree.body
            if isinstance(node, ast.AnnAssign | ast.Assign) and isinstance(node.value, ast.Constant)
            for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
            if isinstance(target, ast.Name)
        }
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name not in TELLING or len(node.args) <= TELLING[name]:
                continue
            code = node.args[TELLING[name]]
            value = constants.get(code.id) if isinstance(code, ast.Name) else getattr(code, "value", None)
            if isinstance(code, ast.JoinedStr):
                parts = "".join(part.value if isinstance(part, ast.Constant) else "{}" for part in code.values)
                found |= {parts.format(rest) for rest in MADE.get(parts, ())}
                assert parts in MADE or CODE.fullmatch(parts.replace("{}", "x")) is None, f"{path.name}: what can {parts} be?"
            elif isinstance(value, str) and "-" in value and CODE.fullmatch(value):
                found.add(value)
    return found


def in_tables() -> tuple[set[str], set[str]]:
    """Return the codes of the tables, and the beginnings of those that are named together: ``file-…``."""
    text = "".join((ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md"))
    tables = [table for table in text.split("\n\n") if re.match(r"\|\s*code\s*\|", table.lstrip())]
    told = [code for table in tables for line in table.splitlines() for code in re.findall(r"`([^`]+)`", line.split("|")[1])]
    return {code for code in told if not code.endswith("…")}, {code.rstrip("…") for code in told if code.endswith("…")}


def test_every_code_stands_in_a_table() -> None:
    source, (told, families) = in_source(), in_tables()

    assert {"job-changed", "log-row", "tune-few", "worker-time", "book-left-out", "stored-stale", "ledger-busy"} <= source
    assert sorted(code for code in source - told if not code.startswith(tuple(families))) == []


def test_no_table_names_a_code_that_is_not_in_the_source() -> None:
    told, families = in_tables()
    text = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "sheetgen").rglob("*.py"))
    source = in_source()
    # The gate's codes for foreign files are listed apart from what makes the finding; reader/test_codes.py has these.
    assert sorted(code for code in told - source if f'"{code}"' not in text) == []
    assert sorted(family for family in families if not any(code.startswith(family) for code in source)) == []


def test_a_code_that_no_table_has_is_found() -> None:
    told, families = in_tables()

    assert not "a-new-code".startswith(tuple(families))
    assert "a-new-code" not in told
