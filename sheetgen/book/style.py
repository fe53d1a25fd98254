"""How cells look: one calm style that reads in black and white, and number formats by unit."""

from __future__ import annotations

from typing import Any, Final

from sheetgen.book.template import TEXT_SIZE
from sheetgen.units import System

FONT: Final = "Calibri"
INK: Final = "#1F2A33"
QUIET: Final = "#55606A"
INPUT_FILL: Final = "#FFF6DA"
INPUT_EDGE: Final = "#8C7A3E"
LINKED_FILL: Final = "#E3F0E6"
HEAD_FILL: Final = "#E4E7EA"
EDGE: Final = "#B9C0C6"

_FORMATS: Final[dict[str, str]] = {
    "text": "@",
    "code": "@",
    "no": "0",
    "date": "yyyy-mm-dd",
    "clock": "hh:mm",
    "share": "0.0%",
    "count": "#,##0",
    "number": "#,##0.00##",
    "money": "#,##0.00",
    "length": "#,##0.00",
    "inch": "0.##",
    "depth": "0.0###",
    "area": "#,##0.00",
    "volume": "#,##0.000",
    "hour": "#,##0.00",
    "minute": "#,##0.0",
    "day": "#,##0.0",
    "distance": "#,##0.0",
    "temperature": "0.0",
    "temperature_step": "0.0",
    "speed": "0.0",
    "second": "#,##0",
    "kelvin": "#,##0",
    "percent": "0.0",
    "pressure": "#,##0.0#",
    "mver": "#,##0.0#",
    "mass/area/hour": "0.000",
    "mass/volume": "#,##0.0##",
    "bag": "#,##0.00",
    "batch": "#,##0",
    "package": "#,##0.00",
    "pack": "#,##0.00",
    "basis": "#,##0.00",
}
_WHOLE: Final = frozenset({"bags", "bags_all", "packages", "to_buy"})


def number_format(unit: str, name: str = "") -> str:
    """Return the number format of a unit expression; whole things (bags to buy) are shown whole.

    Parameters
    ----------
    unit : str
        Unit expression of the template.
    name : str
        Name of the field.

    Returns
    -------
    str
        A spreadsheet number format; never General.
    """
    if name in _WHOLE:
        return "#,##0"
    if unit.startswith("money/"):
        return "#,##0.00"
    return _FORMATS.get(unit, "#,##0.00##")


def decimals(unit: str, name: str = "") -> int | None:
    """Return how many decimals a cell shows of a number, None where it shows no plain number."""
    form = number_format(unit, name)
    if not set(form) <= set("#,0.%"):
        return None
    return len(form.rstrip("%").partition(".")[2]) + (2 if form.endswith("%") else 0)


def default_width(unit: str) -> float:
    """Return the width of a column that holds this unit [characters]."""
    if unit == "text":
        return 18
    return 12 if unit.startswith("money") or unit == "date" else 10


def paper(system: System) -> int:
    """Return the paper code: Letter in US books, A4 in metric ones."""
    return 1 if system == "us" else 9


class Styles:
    """Cell formats of one workbook, each made once.

    Parameters
    ----------
    workbook : xlsxwriter.Workbook
        The workbook that will own them.
    """

    def __init__(self, workbook: Any) -> None:
        self._workbook = workbook
        # Size of plain text; a sheet to be read at arm's length has its own [point].
        self.size: float = TEXT_SIZE
        self._made: dict[tuple[tuple[str, Any], ...], Any] = {}
        self._forms: dict[str, Any] = {}

    def get(self, **properties: Any) -> Any:
        """Return the format with these properties on top of the base."""
        base = {"font_name": FONT, "font_size": self.size, "font_color": INK, "valign": "vcenter"}
        base.update(properties)
        key = tuple(sorted(base.items()))
        if key not in self._made:
            self._made[key] = self._workbook.add_format(base)
        return self._made[key]

    def only_form(self, form: str) -> Any:
        """Return a number format alone, for a cell that has its look already."""
        if form not in self._forms:
            self._forms[form] = self._workbook.add_format({"num_format": form})
        return self._forms[form]

    def entered(self, form: str, *, linked: bool = False, **more: Any) -> Any:
        """Return the look of an input cell: used for nothing else."""
        fill = LINKED_FILL if linked else INPUT_FILL
        return self.get(
            num_format=form, bg_color=fill, border=1, border_color=INPUT_EDGE, locked=linked,
            align="left" if form == "@" else "right", **more,
        )  # fmt: skip

    def computed(self, form: str, **more: Any) -> Any:
        """Return the look of a formula cell."""
        align = "left" if form == "@" else "right"
        return self.get(**{"num_format": form, "border": 1, "border_color": EDGE, "align": align, **more})

    def shown(self, form: str, **more: Any) -> Any:
        """Return the look of a cell that repeats or joins values."""
        align = "left" if form == "@" else "right"
        return self.get(**{"num_format": form, "border": 1, "border_color": EDGE, "italic": True, "align": align, **more})

    def constant(self, form: str, **more: Any) -> Any:
        """Return the look of a fixed number or word."""
        align = "left" if form == "@" else "right"
        return self.get(num_format=form, border=1, border_color=EDGE, font_color=QUIET, align=align, **more)

    @property
    def title(self) -> Any:
        """Title of a sheet."""
        return self.get(bold=True, font_size=16)

    @property
    def about(self) -> Any:
        """Line under the title."""
        return self.get(font_color=QUIET)

    @property
    def part(self) -> Any:
        """Title of a part."""
        return self.get(bold=True, font_size=12, bottom=2, bottom_color=INK)

    @property
    def part_note(self) -> Any:
        """Line under the title of a part."""
        return self.get(font_color=QUIET, italic=True)

    # What stands between the label of a column and its unit; how many letters of them a column takes [letter per digit].
    before_unit, head_letters = "\n", 1.0

    def head(self, align: str = "left") -> Any:
        """Return the look of the header of a column; it stands over its numbers, where it has such."""
        return self.get(bold=True, bg_color=HEAD_FILL, border=1, border_color=EDGE, text_wrap=True, valign="bottom", align=align)

    @property
    def group(self) -> Any:
        """Header above a group of columns."""
        return self.get(bold=True, bg_color=HEAD_FILL, align="center_across", border=1, border_color=EDGE)

    def letter(self, size: int) -> Any:
        """Return the look of a line of a letterhead; the name is larger than plain text [point]."""
        large = size > self.size
        return self.get(num_format="@", font_size=size, bold=large, font_color=INK if large else QUIET, text_wrap=True)

    @property
    def label(self) -> Any:
        """Label of a field."""
        return self.get(text_wrap=True)

    @property
    def strong(self) -> Any:
        """Label of a sum."""
        return self.get(bold=True)

    @property
    def unit(self) -> Any:
        """Unit beside a value."""
        return self.get(font_color=QUIET)

    @property
    def note(self) -> Any:
        """Note beside a field; it may run over empty cells to its right."""
        return self.get(font_color=QUIET)

    @property
    def link(self) -> Any:
        """A link to another sheet."""
        return self.get(font_color="#0B5394", underline=1)

    @property
    def state(self) -> Any:
        """OK or LOOK."""
        return self.get(bold=True, border=1, border_color=EDGE, num_format="@")
