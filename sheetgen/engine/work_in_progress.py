"""Work in progress, cost to cost: what a job has earned of its contract, and what of that is billed."""

from __future__ import annotations

import attrs

from sheetgen.engine.missing import MISSING, cents, given, known, larger, ratio, value


@attrs.frozen(kw_only=True)
class WorkInProgress:
    """A job that was won, as of a date; missing is NaN.

    Parameters
    ----------
    contract, cost_actual, to_go, cost_total : float
        Price before tax with accepted change orders; direct cost so far, still to come, and both [money].
    share : float
        How much of the cost is spent [-].
    earned, profit_total, provision, gross_profit : float
        Revenue earned; profit once all is done; provision for a loss still to come; profit so far, after that provision [money].
    billed, held, under, over : float
        Billed before tax; retainage held; earned and not yet billed; billed and not yet earned [money].
    """

    contract: float
    cost_actual: float
    to_go: float
    cost_total: float
    share: float
    earned: float
    profit_total: float
    provision: float
    gross_profit: float
    billed: float
    held: float
    under: float
    over: float


def work_in_progress(
    *,
    contract: float | None,
    cost_actual: float | None,
    to_go: float | None,
    finished: bool,
    billed: float | None = None,
    held: float | None = None,
) -> WorkInProgress:
    """Compute how far a job is by its cost, and what follows from that.

    Parameters
    ----------
    contract : float or None
        Price before tax with accepted change orders [money].
    cost_actual : float or None
        Direct cost so far; None where nothing was logged, which is no cost [money].
    to_go : float or None
        Direct cost still to come [money].
    finished : bool
        Whether the job is done: then nothing is to come.
    billed, held : float or None
        Billed before tax, and retainage held of it [money].

    Returns
    -------
    WorkInProgress
        What is not known is missing.

    Notes
    -----
    Cost to cost: share = cost so far / (cost so far + cost to come); earned = share · contract. A loss that is still to come
    is provided for at once, and whole.
    """
    spent = given(cost_actual, 0)
    to_come = 0.0 if finished else value(to_go)
    cost_total = spent + to_come
    share = 1.0 if finished else ratio(spent, cost_total)
    earned = cents(share * value(contract))
    profit_total = value(contract) - cost_total
    provision = cents(-profit_total * (1 - share)) if profit_total < 0 else 0.0 if known(profit_total) else MISSING
    return WorkInProgress(
        contract=value(contract),
        cost_actual=spent,
        to_go=to_come,
        cost_total=cost_total,
        share=share,
        earned=earned,
        profit_total=profit_total,
        provision=provision,
        gross_profit=earned - spent - provision,
        billed=value(billed),
        held=value(held),
        under=larger(0.0, earned - value(billed)),
        over=larger(0.0, value(billed) - earned),
    )
