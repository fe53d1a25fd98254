"""The ledger gives the tables that the books gave, also as of a day."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from filled_books import DAY
from posted_books import LATER

from sheetgen import figures
from sheetgen import reconcile as reconciles
from sheetgen.csv_tables import write_csv
from sheetgen.figures import TABLES, columns
from sheetgen.findings import Refused
from sheetgen.ledger import writing
from sheetgen.post import post, posted
from sheetgen.reconcile import compare, reconcile

pytestmark = pytest.mark.usefixtures("read_once")


@pytest.mark.parametrize("system", ["us", "metric", None])
@pytest.mark.parametrize("first", ["done", "metric"])
def test_the_ledger_gives_the_tables_that_the_books_gave(
    books: dict[str, Path], ledger: Path, tmp_path: Path, system: Any, first: str
) -> None:
    paths = [books[first], books["metric" if first == "done" else "done"]]
    post(paths, ledger, day=DAY)

    held, read = compare(posted(ledger), system=system), reconcile(paths, system=system)

    assert (held.system, held.tables, held.findings) == (read.system, read.tables, read.findings)
    for one, other in zip(write_csv(held, tmp_path / "held"), write_csv(read, tmp_path / "read"), strict=True):
        assert one.read_bytes() == other.read_bytes()


def test_a_column_that_came_later_is_not_known_of_what_was_posted_before(
    books: dict[str, Path], ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables grow; figures are held by the names of their columns."""
    post([books["done"]], ledger, day=DAY)
    grown = {**TABLES, "jobs": (("margin", "money"), *TABLES["jobs"]), "weather": (("reading", "temperature"),)}
    for module in (figures, reconciles):
        monkeypatch.setattr(module, "TABLES", grown)

    compared = compare(posted(ledger))

    (job,) = compared.tables["jobs"]
    assert tuple(job) == columns("jobs")
    assert job["margin"] is None
    assert job["hours_actual"] == reconcile([books["done"]]).tables["jobs"][0]["hours_actual"]
    assert compared.tables["weather"] == ()


def test_a_ledger_as_of_a_day_is_what_was_posted_by_then(books: dict[str, Path], changed: Path, ledger: Path) -> None:
    post([books["done"]], ledger, day=DAY)
    post([changed], ledger, day=LATER, amend="measured")
    post([books["metric"]], ledger, day=LATER)

    then, now = compare(posted(ledger, DAY)), compare(posted(ledger, LATER))

    assert [one["job_number"] for one in then.tables["jobs"]] == ["D-1"]
    assert then.tables == reconcile([books["done"]]).tables
    assert [one["job_number"] for one in now.tables["jobs"]] == ["D-1", "M-1"]
    with pytest.raises(Refused) as caught:
        list(posted(ledger, DAY - dt.timedelta(days=1)))
    assert caught.value.findings[0].code == "ledger-empty"
    assert str(DAY - dt.timedelta(days=1)) in caught.value.findings[0].what


def test_an_empty_ledger_says_so(ledger: Path) -> None:
    with writing(ledger):
        pass

    with pytest.raises(Refused) as caught:
        compare(posted(ledger))
    assert [one.code for one in caught.value.findings] == ["ledger-empty"]
