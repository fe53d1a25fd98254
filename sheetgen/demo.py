"""The invented example: a blank bid book, the same filled for the bid and for the customer, filled with a log, checked, reconciled.

Everything about the job is invented; the data stands in ``templates/demo`` and nowhere else.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Final

import attrs

from sheetgen import jobfile, steps
from sheetgen.book.load import template_folder
from sheetgen.build import Built, build_bid
from sheetgen.check.filled import check_filled
from sheetgen.checked_words import made_line
from sheetgen.cost import build_cost
from sheetgen.csv_tables import write_csv
from sheetgen.findings import Finding
from sheetgen.proposal import make_proposal
from sheetgen.rates import build_rates
from sheetgen.reconcile import reconcile
from sheetgen.show import tables

# One day for the whole story, so that the demo's files are the same every time.
DAY: Final = dt.date(2026, 3, 2)


def run(folder: Path, say: Callable[[str], None]) -> list[Finding]:
    """Make the demo's books.

    Parameters
    ----------
    folder : Path
        Where they go.
    say : callable
        Told what happens, a line each.

    Returns
    -------
    list of Finding
        What the checks found.

    Raises
    ------
    Refused
        A book does not pass.
    """
    say("Everything in this example is invented: the firm, the customer, the job, the prices.")
    data = template_folder("demo")
    blank = jobfile.starter("us")
    bid = jobfile.read_job(data / "bid.toml", blank)
    done = jobfile.read_job(data / "log.toml", bid)
    done = attrs.evolve(done, job=attrs.evolve(done.job, status="done"))
    findings: list[Finding] = []
    books = []
    stages = (("1-blank-bid", blank, "demo-1"), ("2-filled-for-the-bid", bid, "demo-2"), ("3-done-with-log", done, "demo-3"))
    for name, job, number in stages:
        built = build_bid(job, folder / f"{name}.xlsx", made_on=DAY, book_id=number)
        _told(built, say)
        books.append(built.path)
    page = make_proposal(books[1], folder / "2-page-for-the-customer.xlsx", made_on=DAY)
    findings.extend(page.findings)
    say(f"made {page.path}: {page.values} values of the book, and nothing of the bid behind them")
    _told(build_rates(blank, folder / "5-rate-book.xlsx", made_on=DAY, book_id="demo-5"), say)
    metric = build_bid(jobfile.starter("metric"), folder / "1-blank-bid-metric.xlsx", made_on=DAY, book_id="demo-m")
    _told(metric, say)
    for path in books:
        say(f"checking {path} as it will come back from a person")
        with steps.during(f"checking {path.name} …"):
            findings.extend(check_filled(path).findings)
    compared = reconcile([books[2]])
    findings.extend(compared.findings)
    tables(compared)
    for path in write_csv(compared, folder / "tables"):
        say(f"made {path}")
    _told(build_cost(compared, folder / "4-cost-book.xlsx", made_on=DAY, book_id="demo-4"), say)
    return findings


def _told(built: Built, say: Callable[[str], None]) -> None:
    say(made_line(built))
