"""A person's workbook, the same with a bid in it, and with two."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest
from filled_books import DAY, metric_job
from hosts import FIRM, LINKS, ROWS, made

from sheetgen.engine.records import Area
from sheetgen.host.add import add


@pytest.fixture(scope="session")
def host(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook that waits for a bid: it names its results and holds what the bid takes over, and all that years of use bring."""
    return made("everything", tmp_path_factory.mktemp("host") / "office.xlsx")


@pytest.fixture(scope="session")
def one(host: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("one") / "office-7.xlsx"
    built = add(host, path, metric_job(), made_on=DAY, book_id="seven", rows=ROWS, prefix="Job 7 ", links=LINKS, picture=FIRM)
    assert [finding.code for finding in built.findings].count("host-uses") == 2
    assert built.counts.others == 3
    return path


@pytest.fixture(scope="session")
def two(one: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    job = metric_job()
    job = attrs.evolve(job, job=attrs.evolve(job.job, number="M-2", name="=Other"), areas=(Area(first=9.0, second=9.0),))
    path = tmp_path_factory.mktemp("two") / "office-78.xlsx"
    add(one, path, job, made_on=DAY, book_id="eight", rows=ROWS, prefix="Job 8 ")
    return path
