"""The stamp of a book: what it is, by which template and in which size it was made."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import Final

import attrs

from sheetgen.book.plan import Plan
from sheetgen.units import SYSTEMS, System
from sheetgen.version import __version__

FIELDS: Final = ("book_kind", "template_version", "units", "rows", "book_id", "made_on", "tool_version")
PROPERTY_PREFIX: Final = "sheetgen_"
# A property of a document holds no more; a longer text goes on in the next one.
_LONGEST: Final = 255
_ROWS = re.compile(r"^(?:[a-z][a-z0-9_]*=\d{1,5}(?: [a-z][a-z0-9_]*=\d{1,5})*)?$")


@attrs.frozen
class Stamp:
    """What is written on Start and in the document's properties, and read before anything else.

    Parameters
    ----------
    kind : str
        Kind of book.
    version : str
        Template version.
    system : {'us', 'metric'}
        Units.
    rows : Mapping of str to int
        Row counts that differ from the template's [count].
    book_id : str
        Random unless it was given.
    made_on : datetime.date
        Day on which the book was made.
    tool : str
        Version of the tool.
    """

    kind: str
    version: str
    system: System
    book_id: str
    made_on: dt.date
    rows: Mapping[str, int] = attrs.field(factory=dict, hash=False)
    tool: str = __version__

    @classmethod
    def of(cls, plan: Plan, book_id: str, made_on: dt.date) -> Stamp:
        """Return the stamp of a book that is made from a plan."""
        return cls(plan.book.kind, plan.book.version, plan.system, book_id, made_on, dict(plan.row_counts))

    def texts(self) -> dict[str, str]:
        """Return the stamp as texts, by stamp field."""
        return {
            "book_kind": self.kind,
            "template_version": self.version,
            "units": self.system,
            "rows": " ".join(f"{block}={count}" for block, count in sorted(self.rows.items())),
            "book_id": self.book_id,
            "made_on": self.made_on.isoformat(),
            "tool_version": self.tool,
        }

    def properties(self) -> dict[str, str]:
        """Return the stamp as properties of a document; a blank text is a dash, a long one goes on in further properties."""
        said = {}
        for name, text in self.texts().items():
            pieces = [text[start : start + _LONGEST] for start in range(0, len(text), _LONGEST)] or ["-"]
            for number, piece in enumerate(pieces, start=1):
                said[f"{PROPERTY_PREFIX}{name}" + (f"_{number}" if number > 1 else "")] = piece
        return said

    @classmethod
    def read(cls, texts: Mapping[str, str]) -> Stamp:
        """Return the stamp that these texts say.

        Parameters
        ----------
        texts : Mapping of str to str
            Texts by stamp field.

        Raises
        ------
        ValueError
            A text is missing or not a stamp's.
        """
        missing = [name for name in FIELDS if name not in texts]
        if missing:
            raise ValueError(f"the stamp lacks {', '.join(missing)}")
        system, rows = texts["units"], texts["rows"].strip()
        if system not in SYSTEMS:
            raise ValueError(f"units '{system}' are neither us nor metric")
        if not _ROWS.match(rows):
            raise ValueError(f"row counts '{rows}' are not like areas=200")
        counts = {block: int(count) for block, _, count in (item.partition("=") for item in rows.split())}
        return cls(
            texts["book_kind"], texts["template_version"], system, texts["book_id"],
            dt.date.fromisoformat(texts["made_on"]), counts, texts["tool_version"],
        )  # fmt: skip


def texts_of(properties: Mapping[str, str]) -> dict[str, str]:
    """Return the texts of a stamp, by stamp field, that stand in the properties of a document.

    Parameters
    ----------
    properties : Mapping of str to str
        All properties of the document.
    """
    found = {}
    for name in FIELDS:
        text = properties.get(f"{PROPERTY_PREFIX}{name}")
        if text is None:
            continue
        number = 2
        while (more := properties.get(f"{PROPERTY_PREFIX}{name}_{number}")) is not None:
            text, number = text + more, number + 1
        found[name] = "" if text == "-" else text
    return found
