"""Hours of a task and what an hour costs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from sheetgen.engine.missing import cents
from sheetgen.engine.ranges import OutOfRangeError, require_above_zero

if TYPE_CHECKING:
    from collections.abc import Sequence



def loaded_wage(wage: float, payroll_taxes: float, compensation: float, liability: float, benefits: float) -> float:
    """Compute what an hour costs the employer.

    Parameters
    ----------
    wage : float
        Wage [money/h].
    payroll_taxes, compensation, liability : float
        Shares of the wage for taxes, workers' compensation and liability insurance [-].
    benefits : float
        Benefits, for each hour [money/h].

    Returns
    -------
    float
        wage · (1 + taxes + compensation + liability) + benefits [money/h].

    Notes
    -----
    Trade, labour.
    """
    return wage * (1 + payroll_taxes + compensation + liability) + benefits


def task_hours(
    set_up_h: float,
    set_ups: float,
    weighted_basis: float,
    rate_basis_per_h: float,
    difficulty: float = 1.0,
) -> float:
    """Compute the person-hours of a task.

    Parameters
    ----------
    set_up_h : float
        Person-hours to set up once [h].
    set_ups : float
        How often it is set up [count].
    weighted_basis : float
        Basis times the multiplier of its surface, added up [basis].
    rate_basis_per_h : float
        Basis that a person does in an hour, above 0 [basis/h].
    difficulty : float
        Factor of the job [-].

    Returns
    -------
    float
        difficulty · (set-up · set-ups + Σ basis · multiplier / rate) [h].

    Raises
    ------
    OutOfRangeError
        The rate is 0 or less.

    Notes
    -----
    Trade, labour.
    """
    require_above_zero(rate_basis_per_h=rate_basis_per_h)
    return difficulty * (set_up_h * set_ups + weighted_basis / rate_basis_per_h)


def task_cost(hours_h: float, loaded_money_per_h: float) -> float:
    """Compute what the hours of a task cost.

    Parameters
    ----------
    hours_h : float
        Person-hours [h].
    loaded_money_per_h : float
        Loaded wage [money/h].

    Returns
    -------
    float
        Cost to the cent [money].
    """
    return cents(hours_h * loaded_money_per_h)


def regular_rate(hours_h: Sequence[float], rates_money_per_h: Sequence[float]) -> float:
    """Compute the regular rate of a week worked at two or more rates.

    Parameters
    ----------
    hours_h : sequence of float
        Hours at each rate, together above 0 [h].
    rates_money_per_h : sequence of float
        The rates, in the same order [money/h].

    Returns
    -------
    float
        Mean rate, weighted by hours [money/h].

    Raises
    ------
    OutOfRangeError
        No hours.

    References
    ----------
    29 CFR 778.115.
    """
    hours = math.fsum(hours_h)
    if hours <= 0:
        raise OutOfRangeError("hours_h", hours, "above 0 together")
    return straight_pay(hours_h, rates_money_per_h) / hours


def straight_pay(hours_h: Sequence[float], rates_money_per_h: Sequence[float]) -> float:
    """Compute a week's pay without the overtime half.

    Parameters
    ----------
    hours_h : sequence of float
        Hours at each rate [h].
    rates_money_per_h : sequence of float
        The rates, in the same order [money/h].

    Returns
    -------
    float
        Σ hours · rate [money].
    """
    pairs = zip(hours_h, rates_money_per_h, strict=True)
    return math.fsum(hours * rate for hours, rate in pairs)
