"""The twin of a book: the same template in the same size, blank and just made, to see what a person changed in theirs."""

from __future__ import annotations

import datetime as dt
import functools
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.book.contents import Contents
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.reader.raw import read_raw

if TYPE_CHECKING:
    from sheetgen.book.compile import Compiled
    from sheetgen.reader.raw import RawBook


@functools.lru_cache(maxsize=1)
def twin_of(compiled: Compiled, *, tells_links: bool) -> RawBook:
    """Return a blank book of a template as it is when it was just made.

    Parameters
    ----------
    compiled : Compiled
        The template, for the units, row counts and prefix of the book.
    tells_links : bool
        Whether Start tells the look of linked inputs.

    Returns
    -------
    RawBook
        Its formulas, fixed words, locks and validations are those that belong there; its values mean nothing, and its stamp
        has another id and day.
    """
    contents = Contents(compiled, lambda _: None, lambda _: None, tells_links=tells_links)
    with tempfile.TemporaryDirectory(prefix="sheetgen-") as folder:
        path = Path(folder, "twin.xlsx")
        write(path, contents, Stamp.of(compiled.plan, "twin", dt.date(2000, 1, 1)))
        return read_raw(path)
