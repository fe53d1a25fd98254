"""Overtime through a whole job: the Code of Federal Regulations, by visits. Values read but where said."""

import pytest
from week_jobs import SIX_DAYS, WEEKS, week_job

from sheetgen.engine.job import compute


@pytest.mark.parametrize("paragraph", WEEKS)
def test_week_pays(paragraph):
    job, pay = WEEKS[paragraph]
    values = compute(job)

    assert values.scalar("price.labour", "accepted") + values.scalar("price.overtime", "accepted") == pytest.approx(pay, abs=1e-9)


def test_compensation_leaves_the_extra_half_out():
    """Rule read: workers' compensation excludes a third of time-and-a-half pay; $588 gross, $552 basis."""
    values = compute(week_job(SIX_DAYS, ((46, 12),)))

    assert values.scalar("price.labour", "accepted") == 552
    assert values.scalar("price.overtime", "accepted") == 36


def test_regular_rate_of_piece_work_with_waiting():
    """29 CFR 778.111(a): $10.46, and $52.30 on top."""
    values = compute(WEEKS["778.111(a): $491 of piece work in 46 h, 4 h of waiting at $8"][0])

    assert values.scalar("paid.plain_wage") == pytest.approx(10.46, abs=1e-9)
    assert values.scalar("paid.overtime_cost") == 52.30
