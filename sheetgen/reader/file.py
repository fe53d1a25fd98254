"""The file itself: there, ordinary, readable, and not too large."""

from __future__ import annotations

import stat
from typing import TYPE_CHECKING, Final

from sheetgen.reader.archive import refuse

if TYPE_CHECKING:
    from pathlib import Path

    from sheetgen.reader.limits import Limits

_LOCKS: Final = ("~$", ".~lock.")  # as Excel and LibreOffice name them


def read_file(path: Path, limits: Limits) -> bytes:
    """Read a whole file, if it is an ordinary one of allowed size.

    Parameters
    ----------
    path : Path
        The file; a link is followed.
    limits : Limits
        Profile.

    Returns
    -------
    bytes
        Its content, read once, so that what is inspected is what is parsed.

    Raises
    ------
    Refused
        It is missing, no ordinary file, unreadable, empty or too large.
    """
    place = path.name or str(path)
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise refuse("file-folder", place, "this is a folder, and one file is wanted", "name the file that is in it")
        if not stat.S_ISREG(status.st_mode):
            raise refuse("file-special", place, "this is not an ordinary file", "name a file")
        if path.name.startswith(_LOCKS):
            what = "this is the lock of a workbook that is open somewhere, not the workbook"
            raise refuse("file-lock", place, what, "name the workbook itself")
        # one byte more than allowed tells a file that grew since it was measured
        with path.open("rb") as stream:
            data = stream.read(limits.size + 1)
    except FileNotFoundError as error:
        raise refuse("file-missing", place, "there is no such file", "check the name, and whether you are in the right folder") from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        what = f"the file cannot be read ({reason})"
        raise refuse("file-unreadable", place, what, "check the name and your rights") from error
    size = max(status.st_size, len(data))
    if size > limits.size:
        what = f"{size:,} bytes, {size - limits.size:,} over the {limits.size:,} of a {limits.name}"
        raise refuse("file-size", place, what, "take out pictures or unused sheets")
    if not data:
        raise refuse("file-empty", place, "the file is empty", "get it again from where it came")
    return data
