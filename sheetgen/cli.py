"""The program ``sheetgen``: its commands, and what becomes of a fault."""

from __future__ import annotations

from typing import Any

import click

from sheetgen import steps
from sheetgen.commands.add import add
from sheetgen.commands.bid import bid
from sheetgen.commands.carry import carry
from sheetgen.commands.check import check
from sheetgen.commands.demo import demo
from sheetgen.commands.fields import fields
from sheetgen.commands.log import log
from sheetgen.commands.post import post
from sheetgen.commands.proposal import proposal
from sheetgen.commands.rates import rates
from sheetgen.commands.reconcile import reconcile
from sheetgen.commands.take_out import take_out
from sheetgen.commands.tune import tune
from sheetgen.findings import Refused
from sheetgen.terminal import FOUND, OURS, place_of, show_findings, status_line
from sheetgen.version import __version__


class _Commands(click.Group):
    """Turns what a user can mend into lines and exit 1, and a fault of ours into exit 3."""

    def invoke(self, ctx: click.Context) -> Any:
        def as_json() -> bool:
            return bool(ctx.ensure_object(dict).get("json"))

        try:
            with steps.heard(status_line(as_json)):
                return super().invoke(ctx)
        except Refused as refused:
            show_findings(refused.findings, as_json=as_json())
            ctx.exit(FOUND)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except Exception as error:  # noqa: BLE001 - the last place at which a fault of ours can be named
            # Not its text, which may hold what a person typed: the lines are meant to be sent to the makers.
            click.echo(f"sheetgen itself failed: {type(error).__name__} in {place_of(error)}", err=True)
            click.echo(
                "This is a fault of the program, not of your file. Please report it with the command that you gave.", err=True
            )
            ctx.exit(OURS)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="sheetgen")
def main() -> None:
    """Workbooks for the contractor who lays thin cement-based toppings: made, checked, read back, compared."""


for _command in (
    add, bid, carry, check, demo, fields, log, post, proposal, rates, reconcile, take_out, tune,
):  # fmt: skip
    main.add_command(_command)

if __name__ == "__main__":
    main()
