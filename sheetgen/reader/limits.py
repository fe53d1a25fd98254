"""The limits of the gate, all in one place: one profile for our books, one for a person's own workbook."""

from __future__ import annotations

from typing import Final

import attrs

ACTIVE: Final = frozenset({"macros", "external link", "embedding", "connection"})
_MEGABYTE: Final = 1024 * 1024


@attrs.frozen
class Limits:
    """What a workbook may hold before anything of it is built.

    Parameters
    ----------
    name : str
        What a refusal calls the profile.
    size : int
        The file as it lies on the disk [byte].
    parts : int
        Entries of the zip [count].
    unpacked : int
        All parts together, as they inflate and not as they declare [byte].
    ratio : int
        Unpacked bytes per packed byte, for one part [-].
    ratio_from : int
        Unpacked size below which the ratio of a part does not matter [byte].
    rows, columns : int
        The farthest row and column that hold a cell or a merged range [count].
    cells : int
        Cells that are written down, all sheets together [count].
    merges : int
        Merged ranges, all sheets together [count].
    merged_cells : int
        Cells that the merged ranges cover, all sheets together [count].
    text : int
        Characters of one cell; Excel's own bound [count].
    formula : int
        Characters of one formula; Excel's own bound [count].
    text_total : int
        Characters of all cells, a shared string or formula counted wherever it is used [count].
    nodes : int
        XML elements and attributes of the parts that get parsed [count].
    depth : int
        XML elements inside one another [count].
    tolerated : frozenset of str
        Kinds of active content that are listed where they would otherwise be refused.
    every_part : bool
        Whether parts that are neither sheets nor needed to read them are looked into.
    """

    name: str
    size: int = 10 * _MEGABYTE
    parts: int = 300
    unpacked: int = 100 * _MEGABYTE
    ratio: int = 100
    ratio_from: int = 1 * _MEGABYTE
    rows: int = 20_000
    columns: int = 256
    cells: int = 300_000
    merges: int = 20_000
    merged_cells: int = 300_000
    text: int = 32_767
    formula: int = 8_192
    text_total: int = 50_000_000
    nodes: int = 4_000_000
    depth: int = 100
    tolerated: frozenset[str] = frozenset()
    every_part: bool = True


BOOK: Final = Limits("book")
# A person's own workbook may reach as far as a spreadsheet program lets it; what acts by itself stays outside.
HOST: Final = Limits(
    "host workbook",
    size=50 * _MEGABYTE,
    parts=2_000,
    unpacked=250 * _MEGABYTE,
    rows=1_048_576,
    columns=16_384,
    cells=1_500_000,
    merges=100_000,
    merged_cells=20_000_000,
    text_total=200_000_000,
    nodes=15_000_000,
    tolerated=ACTIVE - {"macros"},
    every_part=False,
)
