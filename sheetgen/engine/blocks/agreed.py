"""Price: what is offered and agreed, one block after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.contract import Contract, WhatIfs, make_contract, make_what_ifs
from sheetgen.engine.blocks.options import OptionPrices, Options, make_option_prices
from sheetgen.engine.blocks.payments import Paying, Payments, make_payments
from sheetgen.engine.blocks.quote import Quote, make_quote
from sheetgen.engine.scenarios import BY_NAME

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sheetgen.engine.blocks.change_orders import Orders
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Agreed:
    """The options priced, the contract, and how it is paid."""

    option_prices: OptionPrices
    contract: Contract
    what_ifs: WhatIfs
    payments: Payments
    paying: Paying
    quote: Quote

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return tuple(getattr(self, one.name) for one in attrs.fields(Agreed))


def make_agreed(job: Job, options: Options, of: Mapping[str, Price], orders: Orders) -> Agreed:
    """Price the options, agree on the contract, and split it into payments."""
    alone = {int(scenario.alone): of[name].net for name, scenario in BY_NAME.items() if scenario.alone}
    option_prices = make_option_prices(job, options, alone, of["as_bid"].net)
    contract = make_contract(job, options, option_prices, of, orders)
    payments, paying = make_payments(job, contract.total)
    return Agreed(
        option_prices=option_prices,
        contract=contract,
        what_ifs=make_what_ifs(of),
        payments=payments,
        paying=paying,
        quote=make_quote(options, option_prices, contract, paying),
    )
