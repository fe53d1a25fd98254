"""Cost to cost, and variances over jobs.

Cost to cost: a contract of 1,500,000 over three years; numbers read from a textbook's example of contract accounting. Cost to
date 400, 935 and 1,070 thousand; still to come 600, 165 and 0.
"""

import pytest

from sheetgen.engine.cost_book import cost_book
from sheetgen.engine.work_in_progress import work_in_progress

CONTRACT = 1_500_000
YEARS = ((400_000, 600_000), (935_000, 165_000), (1_070_000, 0))


def years(billed=(None, None, None)):
    return [
        work_in_progress(contract=CONTRACT, cost_actual=cost, to_go=to_go, finished=to_go == 0, billed=bill)
        for (cost, to_go), bill in zip(YEARS, billed, strict=True)
    ]


def test_share_of_cost():
    """40, 85 and 100 %."""
    assert [one.share for one in years()] == [0.40, 0.85, 1.0]


def test_revenue_of_each_year():
    """600, 675 and 225 thousand: each year earns what the years before it have not."""
    earned = [one.earned for one in years()]

    assert [now - before for before, now in zip((0, *earned), earned, strict=False)] == [600_000, 675_000, 225_000]


def test_gross_profit_of_each_year():
    """200, 140 and 90 thousand; there is no loss to provide for."""
    profit = [one.gross_profit for one in years()]

    assert [now - before for before, now in zip((0, *profit), profit, strict=False)] == [200_000, 140_000, 90_000]
    assert [one.provision for one in years()] == [0, 0, 0]


def test_under_billed():
    """Billed 300, then 1,200 in all: 300 and 75 thousand are earned and not billed."""
    first, second, _ = years(billed=(300_000, 1_200_000, 1_500_000))

    assert (first.under, first.over) == (300_000, 0)
    assert (second.under, second.over) == (75_000, 0)


def test_a_job_that_is_not_called_finished_is_done_where_nothing_is_to_come():
    last = work_in_progress(contract=CONTRACT, cost_actual=1_070_000, to_go=0, finished=False)

    assert (last.share, last.earned) == (1.0, CONTRACT)


@pytest.mark.parametrize(("cost", "to_go", "provision"), [(400_000, 1_200_000, 75_000), (800_000, 800_000, 50_000)])
def test_loss_still_to_come(cost, to_go, provision):
    """1,600 thousand in all on a contract of 1,500: the loss is 100 thousand, a quarter or half of it already made; arithmetic."""
    found = work_in_progress(contract=CONTRACT, cost_actual=cost, to_go=to_go, finished=False)

    assert found.provision == provision
    assert found.gross_profit == -100_000


def test_variances_of_two_jobs():
    """OpenStax, Principles of Accounting, vol. 2, chapter 8: shampoo material -890 and +850, labour +5,600 and -17,500; with them
    32,000 h at 15.75 against 31,450 h at 15.50: +8,000 and +8,525. Price + quantity = total, rate + time = total."""
    done = {"workbook": "a.xlsx", "finished": 1.0}
    found = cost_book(
        {
            "by_product": [{"product": "Shampoo"}],
            "materials": [
                {**done, "product_no": 1.0, "needed": 88_000.0, "used": 89_000.0, "price_variance": -890.0, "quantity_variance": 850.0}
            ],
            "by_task": [{"task": "Fill"}],
            "hours": [
                {**done, "task_no": 1.0, "estimated": 16_500.0, "actual": 16_000.0, "rate_variance": 5_600.0, "efficiency_variance": -17_500.0},
                {**done, "task_no": 1.0, "estimated": 31_450.0, "actual": 32_000.0, "rate_variance": 8_000.0, "efficiency_variance": 8_525.0},
            ],
        },
        "us",
    )  # fmt: skip

    assert found["by_product.money"] == (74_760 - 88_000 * 0.85,)
    assert found["by_task.money"] == (565_600 - 16_500 * 35 + 32_000 * 15.75 - 31_450 * 15.50,)
    assert found["by_task.variance"] == (-500 + 550,)
