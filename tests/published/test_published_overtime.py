"""Overtime by workweek: the Code of Federal Regulations, through the visits that pay it. Values read but where said."""

import pytest

from sheetgen.engine.labour import regular_rate, straight_pay
from sheetgen.engine.missing import cents
from sheetgen.engine.overtime import Attendance, overtime_cost, overtime_h, week_of


def week(*hours):
    """Return one person's days."""
    return [Attendance(day=day, people=1, each_h=each) for day, each in enumerate(hours, start=1)]


def extra(hours, regular):
    """Return what a week's overtime costs beyond straight time, without payroll taxes."""
    return overtime_cost(overtime_h(week(*hours)), 1.5, regular, 0)


def test_week_of_46_hours():
    """29 CFR 778.110(a): 46 h at $12 are $588."""
    assert 46 * 12 + extra([8, 8, 8, 8, 8, 6], 12) == 588


def test_with_a_bonus():
    """29 CFR 778.110(b): a bonus of $46 makes the regular rate $13 and the week $637."""
    straight = 46 * 12 + 46

    assert straight + extra([8, 8, 8, 8, 8, 6], straight / 46) == 637


def test_piece_work_with_waiting():
    """29 CFR 778.111(a): $491 in 46 h, 4 h waiting at $8: $10.46, $52.30, $575.30."""
    straight = 491 + 4 * 8

    assert extra([10] * 5, straight / 50) == 52.30
    assert straight + extra([10] * 5, straight / 50) == pytest.approx(575.30, abs=1e-9)


def test_salary_for_35_hours():
    """29 CFR 778.322: $200 for 35 h, 41 h worked; rates rounded to cents: $5.71, $237.12."""
    rate = cents(200 / 35)

    assert rate == 5.71
    assert 200 + 6 * rate + extra([8, 8, 8, 8, 8, 1], rate) == pytest.approx(237.12, abs=1e-9)


def test_two_rates():
    """29 CFR 778.115; rule from memory: 30 h at $20 and 15 h at $26 average $22 and make $1045."""
    hours, rates = [30, 15], [20, 26]

    assert straight_pay(hours, rates) + extra([9] * 5, regular_rate(hours, rates)) == 1045


def test_each_workweek_stands_alone():
    """29 CFR 778.104, from memory: 30 h in one week and 50 in the next are 10 h of overtime, not none."""
    visits = [Attendance(day=day, people=1, each_h=6) for day in range(1, 6)] + [Attendance(day=day, people=1, each_h=10) for day in range(8, 13)]
    weeks = [[visit for visit in visits if week_of(visit.day, 1) == number] for number in (1, 2)]

    assert [overtime_h(one) for one in weeks] == [0, 10]


def test_a_workweek_begins_on_any_day():
    """29 CFR 778.105, from memory: six days of 8 h from its fifth day on belong to two workweeks."""
    visits = [Attendance(day=day, people=1, each_h=8) for day in range(1, 7)]
    weeks = [[visit for visit in visits if week_of(visit.day, 5) == number] for number in (1, 2)]

    assert overtime_h(visits) == 8
    assert [overtime_h(one) for one in weeks] == [0, 0]


def test_worked_job():
    """The worked job: 5, 5 and 4 h: nobody is paid over 40 h in the week."""
    visits = [Attendance(day=1, people=2, each_h=5), Attendance(day=2, people=3, each_h=5), Attendance(day=4, people=2, each_h=4)]

    assert overtime_h(visits) == 0
