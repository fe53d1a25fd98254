"""Wages: the Code of Federal Regulations where named; the loaded wage is common practice, no source."""

import pytest

from sheetgen.engine.labour import loaded_wage, overtime_half, regular_rate, straight_pay


def test_week_of_46_hours():
    """29 CFR 778.110(a), read: 46 h at $12 are $588."""
    pay = straight_pay([46], [12]) + overtime_half(46, 12)

    assert pay == 588


def test_week_of_46_hours_with_a_bonus():
    """29 CFR 778.110(b), read: with a bonus of $46 the regular rate is $13, the week $637."""
    straight = straight_pay([46], [12]) + 46
    rate = straight / 46
    pay = straight + overtime_half(46, rate)

    assert rate == 13
    assert pay == 637


def test_piece_work_with_waiting():
    """29 CFR 778.111(a), read: $491 in 46 h and 4 h waiting at $8: 50 h, $10.46, $52.30, $575.30."""
    straight = 491 + 4 * 8
    rate = straight / 50
    extra = overtime_half(50, rate)

    assert rate == 10.46
    assert extra == pytest.approx(52.30, abs=1e-9)
    assert straight + extra == pytest.approx(575.30, abs=1e-9)


def test_two_rates():
    """29 CFR 778.115; rule from memory: 30 h at $20 and 15 h at $26 average $22, and make $1045."""
    hours, rates = [30, 15], [20, 26]
    rate = regular_rate(hours, rates)

    assert rate == 22
    assert straight_pay(hours, rates) + overtime_half(45, rate) == 1045


def test_compensation_leaves_the_extra_half_out():
    """Rule read: workers' compensation excludes a third of time-and-a-half pay; $588 gross, $552 basis."""
    assert 588 - overtime_half(46, 12) == 552


def test_no_extra_half_within_the_week():
    assert overtime_half(40, 12) == 0


@pytest.mark.parametrize(("wage", "loaded"), [(32, 41.044), (24, 31.408)])
def test_loaded_wage(wage, loaded):
    """Worked job: 32 · 1.2045 + 2.50 and 24 · 1.2045 + 2.50, arithmetic."""
    assert loaded_wage(wage, 0.0845, 0.09, 0.03, 2.50) == pytest.approx(loaded, abs=1e-12)


def test_social_security_and_medicare():
    """FICA 6.2 % and 1.45 %, read: without anything else an hour at $20 costs $21.53."""
    assert loaded_wage(20, 0.062 + 0.0145, 0, 0, 0) == pytest.approx(21.53, abs=1e-12)
