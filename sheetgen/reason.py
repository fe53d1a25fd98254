"""Why the system does not read or write a file, in plain words where its own are not."""

from __future__ import annotations

import errno
from typing import Final

_WORDS: Final = {
    errno.ENOENT: "there is no such file or folder",
    errno.EISDIR: "it is a folder, and a file is wanted",
    errno.EEXIST: "it is a file, and a folder is wanted",
    errno.ENOTDIR: "a part of its path is a file, and a folder is wanted",
}


def reason_of(error: OSError) -> str:
    """Return why the system refused a file or folder."""
    return _WORDS.get(error.errno or 0, error.strerror or str(error))
