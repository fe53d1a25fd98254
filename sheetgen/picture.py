"""A firm's picture: a PNG or JPEG that is checked, made small, and rid of everything but the picture itself."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Final

import attrs

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reason import reason_of

_MOST_BYTES: Final = 20 * 1024 * 1024
_MOST_PIXELS: Final = 50_000_000
# A picture stands about 6 cm wide on paper: this is 300 dots to the inch and more.
_LONGEST: Final = 1000
_KINDS: Final = {"PNG": "png", "JPEG": "jpg"}


@attrs.frozen
class Picture:
    """A picture that may go into a book.

    Parameters
    ----------
    data : bytes
        PNG or JPEG without camera, place or author in it.
    width, height : int
        Its size [pixel].
    kind : {'png', 'jpg'}
        How it is stored.
    """

    data: bytes = attrs.field(repr=False)
    width: int
    height: int
    kind: str


def read_picture(path: Path) -> Picture:
    """Read a picture from a file; the file is never written to.

    Parameters
    ----------
    path : Path
        A PNG or JPEG.

    Returns
    -------
    Picture
        Upright, at most 1000 pixels long, without whatever else was in the file.

    Raises
    ------
    Refused
        The file cannot be read, or is no such picture.
    """
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= _MOST_BYTES else b""
    except OSError as error:
        raise _refused(path, f"cannot be read: {reason_of(error)}", "name a picture that is there") from error
    if size > _MOST_BYTES:
        raise _refused(path, f"has {size / 1024**2:.0f} MB; {_MOST_BYTES // 1024**2} MB is the most", "save it smaller")
    return picture_of(data, path)


def picture_of(data: bytes, path: Path) -> Picture:
    """Check the bytes of a picture, and keep what can be seen of it.

    Raises
    ------
    Refused
        They are no PNG or JPEG, or are damaged.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(data), formats=list(_KINDS)) as opened:
            kind = str(opened.format)
            if opened.width * opened.height > _MOST_PIXELS:
                raise _refused(path, f"is {opened.width} × {opened.height} pixels", "save it smaller")
            opened.load()
            shown = ImageOps.exif_transpose(opened)
    except UnidentifiedImageError as error:
        raise _refused(path, "is no PNG or JPEG picture", "save it as PNG or JPEG") from error
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise _refused(path, "is damaged: it cannot be shown", "save it anew as PNG or JPEG") from error
    shown.thumbnail((_LONGEST, _LONGEST))
    modes = {"PNG": ("RGBA" if shown.mode in {"RGBA", "LA", "PA"} or "transparency" in shown.info else "RGB"), "JPEG": "RGB"}
    # A new picture takes over the pixels and nothing else.
    bare = Image.new(modes[kind], shown.size)
    bare.paste(shown.convert(modes[kind]))
    made = io.BytesIO()
    bare.save(made, kind, **({"optimize": True} if kind == "PNG" else {"quality": 88}))
    return Picture(made.getvalue(), bare.width, bare.height, _KINDS[kind])


def _refused(path: Path, what: str, mend: str) -> Refused:
    return Refused([Finding("picture", Severity.ERROR, path.name, what, mend)])
