"""How the cells of a saved book look: fonts, fills and borders by style index, and the contrast between colours."""

from __future__ import annotations

import colorsys
from typing import TYPE_CHECKING, Any, Final, TypeVar

import attrs

from sheetgen.reader.package import local

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sheetgen.reader.raw import RawBook

Colour = tuple[int, int, int]
_Item = TypeVar("_Item")

BLACK: Final[Colour] = (0, 0, 0)
WHITE: Final[Colour] = (255, 255, 255)
_HIGHEST: Final = 255
# Light and dark change places between the theme's own order and the numbers by which cells call them.
_THEME_ORDER: Final = (1, 0, 3, 2)
_BASIC: Final[tuple[Colour, ...]] = (
    BLACK, WHITE, (255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 0), (255, 0, 255), (0, 255, 255),
)  # fmt: skip
_WINDOW_TEXT, _WINDOW = 64, 65
_TRUE: Final = frozenset({"1", "true"})


@attrs.frozen
class Look:
    """How a cell looks.

    Parameters
    ----------
    ink : tuple of int
        Colour of the text [0 to 255 each for red, green, blue].
    fill : tuple of int or None
        Colour behind it; None where there is none [0 to 255 each].
    border : str
        Its four edges, written out.
    size : float
        Size of the text [point].
    bold, wrap : bool
        Whether the text is bold, and whether it is broken into lines.
    across : bool
        Whether it is centred across several columns.
    """

    ink: Colour = BLACK
    fill: Colour | None = None
    border: str = ""
    size: float = 11.0
    bold: bool = False
    wrap: bool = False
    across: bool = False

    @property
    def frame(self) -> tuple[Colour | None, str]:
        """Fill and border: by these inputs are known."""
        return self.fill, self.border


@attrs.frozen
class Looks:
    """The looks of a book.

    Parameters
    ----------
    styles : tuple of Look
        By style index.
    conditional : tuple of (ink, fill)
        By index of the conditional format; None where it changes nothing.
    """

    styles: tuple[Look, ...] = (Look(),)
    conditional: tuple[tuple[Colour | None, Colour | None], ...] = ()

    def of(self, style: int) -> Look:
        """Return the look of a style.

        Parameters
        ----------
        style : int
            Its index [index].
        """
        return self.styles[style] if 0 <= style < len(self.styles) else self.styles[0]


def contrast(first: Colour, second: Colour) -> float:
    """Return the contrast of two colours.

    Parameters
    ----------
    first, second : tuple of int
        Red, green and blue [0 to 255].

    Returns
    -------
    float
        From 1 (none) to 21 (black on white) [-].

    References
    ----------
    W3C, Web Content Accessibility Guidelines 2.1, definitions of contrast ratio and relative luminance.
    """
    lighter, darker = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: Colour) -> float:
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (channel / _HIGHEST for channel in colour)
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def read_looks(book: RawBook) -> Looks:
    """Read fonts, fills and borders from the styles of a book."""
    package = book.inspected.package
    parts = {line.kind: line.target for line in package.relationships(book.inspected.workbook)}
    root = package.tree(parts.get("styles", ""))
    if root is None:
        return Looks()
    reading = _Reading(_theme(package.tree(parts.get("theme", ""))))
    groups = {local(group.tag): list(group) for group in root}
    fonts = [reading.font(font) for font in groups.get("fonts", ())]
    fills = [reading.fill(fill) for fill in groups.get("fills", ())]
    borders = [reading.border(border) for border in groups.get("borders", ())]
    styles = tuple(reading.look(record, fonts, fills, borders) for record in groups.get("cellXfs", ()))
    return Looks(styles or (Look(),), tuple(reading.conditional(record) for record in groups.get("dxfs", ())))


def _theme(root: Any | None) -> list[Colour]:
    colours: list[Colour] = []
    for scheme in root.iter("{*}clrScheme") if root is not None else ():
        for entry in scheme:
            value = next((part.get("lastClr") or part.get("val") for part in entry), None)
            colours.append(_hex(value) or BLACK)
    return [colours[number] for number in _THEME_ORDER] + colours[4:] if len(colours) > 3 else [WHITE, BLACK]


def _hex(text: str | None) -> Colour | None:
    try:
        number = int((text or "")[-6:], 16)
    except ValueError:
        return None
    return number >> 16, number >> 8 & _HIGHEST, number & _HIGHEST


@attrs.frozen
class _Reading:
    theme: list[Colour]

    def colour(self, element: Any | None) -> Colour | None:
        """Return the colour that an element names, lightened or darkened as it says."""
        if element is None:
            return None
        named: Mapping[str, str] = element.attrib
        found = None
        if "rgb" in named:
            found = _hex(named["rgb"])
        elif "theme" in named and int(named["theme"]) < len(self.theme):
            found = self.theme[int(named["theme"])]
        elif "indexed" in named:
            number = int(named["indexed"])
            found = {_WINDOW_TEXT: BLACK, _WINDOW: WHITE}.get(number)
            found = _BASIC[number % len(_BASIC)] if found is None and number < 2 * len(_BASIC) else found
        tint = float(named.get("tint", 0))
        return _tinted(found, tint) if found is not None and tint else found

    def font(self, element: Any) -> tuple[Colour, float, bool]:
        size, bold = element.find("{*}sz"), element.find("{*}b")
        return (
            self.colour(element.find("{*}color")) or BLACK,
            float(size.get("val", 11)) if size is not None else 11.0,
            bold is not None and bold.get("val", "1") in _TRUE,
        )

    def fill(self, element: Any) -> Colour | None:
        pattern = element.find("{*}patternFill")
        if pattern is None or pattern.get("patternType", "none") != "solid":
            return None
        return self.colour(pattern.find("{*}fgColor"))

    def border(self, element: Any) -> str:
        return ", ".join(
            f"{local(side.tag)} {side.get('style')} {self.colour(side.find('{*}color'))}"
            for side in element
            if side.get("style", "none") != "none"
        )

    def look(
        self, record: Any, fonts: list[tuple[Colour, float, bool]], fills: list[Colour | None], borders: list[str]
    ) -> Look:
        ink, size, bold = _at(fonts, record.get("fontId"), (BLACK, 11.0, False))
        alignment = record.find("{*}alignment")
        kept: Mapping[str, str] = {} if alignment is None else alignment.attrib
        return Look(
            ink=ink,
            fill=_at(fills, record.get("fillId"), None),
            border=_at(borders, record.get("borderId"), ""),
            size=size,
            bold=bold,
            wrap=kept.get("wrapText") in _TRUE,
            across=kept.get("horizontal") == "centerContinuous",
        )

    def conditional(self, record: Any) -> tuple[Colour | None, Colour | None]:
        font, pattern = record.find("{*}font"), record.find("{*}fill/{*}patternFill")
        ink = None if font is None else self.colour(font.find("{*}color"))
        # Unlike a cell's, the fill of a conditional format is named by its background.
        return ink, None if pattern is None else self.colour(pattern.find("{*}bgColor"))


def _at(found: list[_Item], index: str | None, default: _Item) -> _Item:
    number = int(index or 0)
    return found[number] if number < len(found) else default


def _tinted(colour: Colour, tint: float) -> Colour:
    hue, light, saturation = colorsys.rgb_to_hls(*(channel / _HIGHEST for channel in colour))
    light = light * (1 + tint) if tint < 0 else light * (1 - tint) + tint
    red, green, blue = colorsys.hls_to_rgb(hue, light, saturation)
    return round(red * _HIGHEST), round(green * _HIGHEST), round(blue * _HIGHEST)
