"""What Start says beside its fields: the sheets with links, the legend, and the cautions."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sheetgen.book.contents import Contents
from sheetgen.book.style import Styles


def write(
    worksheet: Any, styles: Styles, contents: Contents, row: int, run: Callable[[Any, int, int, str, Any], None]
) -> int:
    """Write list of sheets, legend and cautions from a row on.

    Parameters
    ----------
    worksheet : xlsxwriter worksheet
        Start.
    styles : Styles
        Formats of the workbook.
    contents : Contents
        What stands in the cells; the look of linked inputs is told only where there are some.
    row : int
        0-based first free row [count].
    run : callable
        Writes text that may run over the cells to its right.

    Returns
    -------
    int
        0-based last row written [count].
    """
    plan = contents.plan
    words = plan.book.words
    worksheet.write_string(row, 0, words["sheets"], styles.part)
    for sheet in plan.book.sheets:
        row += 1
        title = plan.title(sheet)
        worksheet.write_url(row, 0, f"internal:'{title}'!A1", styles.link, title)
        run(worksheet, row, 1, sheet.about, styles.note)
    row += 2
    worksheet.write_string(row, 0, words["legend"], styles.part)
    looks = (
        ("legend_input", styles.entered("@")),
        *((("legend_linked", styles.entered("@", linked=True)),) if contents.tells_links else ()),
        ("legend_formula", styles.computed("@")),
        ("legend_show", styles.get(italic=True, border=1, border_color="#B9C0C6", num_format="@")),
        ("legend_constant", styles.constant("@")),
    )
    for word, look in looks:
        row += 1
        # The sample of an input is only a picture of one: nothing can be typed into it.
        sample = styles.get(num_format="@", bg_color="#FFF6DA", border=1, border_color="#8C7A3E") if word == "legend_input" else look
        worksheet.write_string(row, 0, words[word], sample)
        run(worksheet, row, 1, words[f"{word}_note"], styles.note)
    row += 2
    worksheet.write_string(row, 0, words["cautions"], styles.part)
    for caution in plan.book.cautions:
        row += 1
        run(worksheet, row, 0, caution, styles.note)
    return row
