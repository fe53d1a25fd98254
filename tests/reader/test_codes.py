"""Every refusal of the gate has a code, and every code stands in the table of DEVELOPERS.md."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from sheetgen import reader
from sheetgen.reader.limits import ACTIVE

ROOT = Path(__file__).parents[2]
MODULES = ("file", "foreign", "archive", "scan", "sheet_scan", "gate", "raw", "stamped")
CODE = re.compile(
    r"(?:file|zip|types|workbook|active|xml|sheet|book|merge|merged|formula|cell|number|text|string|style|stamp|worker|folder|pattern)"
    r"(?:-[a-z]+)+"
)


def used() -> set[str]:
    """Return every text of these modules that is a code."""
    package = Path(reader.__file__).parent
    paths = [package / f"{name}.py" for name in MODULES] + [package.parent / "pool.py", package.parent / "sources.py"]
    texts = {
        node.value
        for path in paths
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    return {text for text in texts if CODE.fullmatch(text)} | {f"active-{kind.replace(' ', '-')}" for kind in ACTIVE}


def test_the_table_has_the_codes_and_no_others() -> None:
    section = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## The gate")[2].partition("\n## ")[0]
    rows = [line.split("|")[1] for line in section.splitlines() if line.startswith("| `")]
    told = [code for row in rows for code in re.findall(r"`([a-z-]+)`", row)]

    assert len(told) == len(set(told))
    assert set(told) == used()
