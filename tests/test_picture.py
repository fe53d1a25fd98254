"""A firm's picture: checked, made small, and rid of what cameras write into it."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from sheetgen.findings import Refused
from sheetgen.picture import read_picture

PLACE = "51 deg 30 min N"


def saved(path: Path, size: tuple[int, int] = (300, 120), kind: str = "PNG", mode: str = "RGB", **more: object) -> Path:
    Image.new(mode, size, {"RGB": "teal", "1": 0}.get(mode, (0, 120, 120, 90))).save(path, kind, **more)  # type: ignore[arg-type]
    return path


@pytest.mark.parametrize(("kind", "suffix"), [("PNG", "png"), ("JPEG", "jpg")])
def test_a_picture_keeps_its_kind_and_size(tmp_path: Path, kind: str, suffix: str) -> None:
    picture = read_picture(saved(tmp_path / "firm", kind=kind))

    assert (picture.width, picture.height, picture.kind) == (300, 120, suffix)
    with Image.open(io.BytesIO(picture.data)) as again:
        assert (again.format, again.size) == (kind, (300, 120))


def test_a_large_picture_is_made_small(tmp_path: Path) -> None:
    picture = read_picture(saved(tmp_path / "firm.png", (4000, 1000)))

    assert (picture.width, picture.height) == (1000, 250)


def test_what_can_be_seen_through_stays_so(tmp_path: Path) -> None:
    picture = read_picture(saved(tmp_path / "firm.png", mode="RGBA"))

    with Image.open(io.BytesIO(picture.data)) as again:
        assert again.mode == "RGBA"
        assert again.getpixel((0, 0)) == (0, 120, 120, 90)


def test_nothing_but_the_picture_goes_on(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x010E] = PLACE  # the picture's description
    exif[0x0112] = 6  # taken with the camera on its side
    path = saved(tmp_path / "firm.jpg", kind="JPEG", exif=exif, comment=PLACE.encode())
    assert PLACE.encode() in path.read_bytes()

    picture = read_picture(path)

    assert PLACE.encode() not in picture.data
    assert b"Exif" not in picture.data
    # It is turned upright before what says so is dropped.
    assert (picture.width, picture.height) == (120, 300)


def test_the_same_file_gives_the_same_bytes(tmp_path: Path) -> None:
    path = saved(tmp_path / "firm.jpg", kind="JPEG")

    assert read_picture(path).data == read_picture(path).data


def cut(path: Path) -> None:
    saved(path)
    path.write_bytes(path.read_bytes()[:80])


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda path: path.write_text("no picture"), "is no PNG or JPEG picture"),
        (lambda path: saved(path, kind="GIF"), "is no PNG or JPEG picture"),
        (cut, "is damaged"),
        (lambda path: path.write_bytes(b"\x89PNG" + bytes(21 * 1024 * 1024)), "has 21 MB; 20 MB is the most"),
        (lambda path: saved(path, (9000, 6000), mode="1"), "is 9000 × 6000 pixels"),
        (lambda path: path, "cannot be read"),
    ],
)
def test_what_is_no_picture_is_refused(tmp_path: Path, make: object, words: str) -> None:
    path = tmp_path / "firm"
    make(path)  # type: ignore[operator]

    with pytest.raises(Refused, match=words):
        read_picture(path)
