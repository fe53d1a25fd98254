"""Options that commands share, and how what is written after them is read."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Final

import click

FILE: Final = click.Path(path_type=Path)


def _remember_json(ctx: click.Context, _: click.Parameter, value: bool) -> bool:  # noqa: FBT001 - click's own order
    ctx.find_root().ensure_object(dict)["json"] = value
    return value


def as_day_or_none(ctx: click.Context, parameter: click.Parameter, value: str | None) -> dt.date | None:
    """Read a day written as 2026-05-31; None where none is."""
    return None if value is None else as_day(ctx, parameter, value)


def as_day(_: click.Context, __: click.Parameter, value: str | None) -> dt.date:
    """Read a day written as 2026-05-31; today where none is."""
    if value is None:
        return dt.datetime.now(tz=dt.UTC).astimezone().date()
    try:
        return dt.date.fromisoformat(value)
    except ValueError as error:
        raise click.BadParameter("write the date as 2026-05-31") from error


def as_reason(_: click.Context, __: click.Parameter, value: str | None) -> str:
    """Read a reason, which must say something where it is given."""
    if value is None:
        return ""
    if not value.strip():
        raise click.BadParameter("say why, in a few words")
    return " ".join(value.split())


def as_row_counts(_: click.Context, __: click.Parameter, value: tuple[str, ...]) -> dict[str, int]:
    """Read row counts written as areas=200."""
    found = {}
    for item in value:
        name, _sign, count = item.partition("=")
        if not count.isdigit():
            raise click.BadParameter(f"'{item}' is not like areas=200")
        found[name] = int(count)
    return found


json_option = click.option("--json", "as_json", is_flag=True, callback=_remember_json, is_eager=True, help="Print JSON.")
all_option = click.option("--all", "every", is_flag=True, help="Say all that changed, not only what should be seen.")
strict_option = click.option("--strict", is_flag=True, help="Exit 1 where there is something to look at.")
recalculate_option = click.option(
    "--recalculate", "program", type=click.Choice(["ironcalc", "libreoffice"]), default="ironcalc", show_default=True,
    help="Which program recalculates.",
)  # fmt: skip
