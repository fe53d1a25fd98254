"""Proposal: the lines of the price, as the customer reads them."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.scenarios import OPTIONS
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.contract import Contract
    from sheetgen.engine.blocks.options import OptionPrices, Options
    from sheetgen.engine.blocks.payments import Paying

BASE, OPTION, NET, TAX, TOTAL, HELD, END = map(float, range(1, 8))
_LINES: Final = (BASE, *(OPTION,) * OPTIONS, NET, TAX, TOTAL, HELD, END)


@attrs.frozen(kw_only=True)
class Quote:
    """The lines of the price; one that says nothing has no amount."""

    block: ClassVar[str] = "quote"
    over: ClassVar[str | None] = "price_lines"
    scenario: ClassVar[bool] = False

    way: Column = figure("no")
    option_no: Column = figure("no")
    option_amount: Column = figure("money")
    net_amount: Column = figure("money")
    tax_amount: Column = figure("money")
    held_amount: Column = figure("money")
    end_amount: Column = figure("money")
    amount: Column = figure("money")


def _unless_zero(amount: float) -> float:
    return amount if amount != 0 else MISSING


def make_quote(options: Options, prices: OptionPrices, contract: Contract, paying: Paying) -> Quote:
    """Set the lines up: the price before tax stands apart only where there is tax, and one payment where there are no steps."""
    taxed = known(_unless_zero(contract.tax))
    plain = {
        "net_amount": contract.net if taxed else MISSING,
        "tax_amount": contract.tax if taxed else MISSING,
        "held_amount": _unless_zero(paying.held),
        "end_amount": contract.total if paying.used == 0 else MISSING,
    }
    rows: list[Row] = []
    for number, way in enumerate(_LINES):
        option_no = float(number) if way == OPTION else 0.0
        of_option = at(prices.price, option_no) if at(options.taken, option_no) == 1 else MISSING
        by_way = {BASE: contract.base, OPTION: of_option, TOTAL: contract.total}
        by_way |= {NET: plain["net_amount"], TAX: plain["tax_amount"], HELD: plain["held_amount"], END: plain["end_amount"]}
        rows.append({"way": way, "option_no": option_no, "option_amount": of_option, "amount": by_way[way]} | plain)
    return table(Quote, rows)
