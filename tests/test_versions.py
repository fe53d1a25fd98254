"""A template version that was released once is read, checked and carried for ever, whatever the next one looks like."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator
from pathlib import Path

import attrs
import pytest
from filled_books import LEAST, metric_job, put

from sheetgen.book import compile as compiler
from sheetgen.book import load
from sheetgen.book.compile import shipped
from sheetgen.book.load import template_versions
from sheetgen.carry import carry
from sheetgen.check.filled import check_filled
from sheetgen.check.meet import job_of
from sheetgen.content import content_of
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.filled import read_filled
from sheetgen.reconcile import reconcile

DAY = dt.date(2027, 1, 4)
FAX = 'name = "fax"\nkind = "input"\nunit = "text"\nlabel = "Fax"\nmessage = "Number."\noptional = true'
NEXT = str(int(shipped("bid").version) + 1)


def edit(path: Path, *changes: tuple[str, str]) -> None:
    """Change a template file; each piece must be there once or more."""
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Return a copy of all templates, which takes the place of those that are shipped."""
    goal = tmp_path / "templates"
    shutil.copytree(load.templates(), goal)
    monkeypatch.setattr(load, "templates", lambda: goal)
    yield goal
    monkeypatch.undo()
    forget()


def forget() -> None:
    compiler.shipped.cache_clear()
    compiler._compiled.cache_clear()
    compiler._planned.cache_clear()


def release(folder: Path) -> Path:
    """Keep the present templates as released, and raise the present version; return the folder of what was released."""
    kept = folder / "released" / "first"
    for kind in ("bid", "rates", "cost"):
        shutil.copytree(folder / kind, kept / kind)
    for kind in ("bid", "rates"):
        edit(folder / kind / "book.toml", (f'version = "{shipped("bid").version}"', f'version = "{NEXT}"'))
    forget()
    return kept


def codes(findings: tuple[Finding, ...]) -> set[str]:
    return {one.code for one in findings if one.severity > Severity.NOTE}


def test_an_invented_next_version_leaves_books_of_this_one_readable(folder: Path, tmp_path: Path) -> None:
    """The next version says other words, has its rows elsewhere and a field less, and another bound."""
    old = put(metric_job(), tmp_path / "old.xlsx", "the-job", LEAST)
    before = read_filled(old)
    figures = reconcile([old]).tables
    assert not before.outdated
    release(folder)
    edit(
        folder / "bid" / "03-takeoff.toml",
        ('title = "Takeoff"', 'title = "Measured"'), ("note = [", 'note = ["One.", "Two.", "Three.", '),
    )  # fmt: skip
    edit(folder / "bid" / "01-start.toml", _without(folder / "bid" / "01-start.toml", "reason_lost"))
    forget()

    filled = read_filled(old)

    assert list(template_versions("bid")) == [shipped("bid", "1").version, NEXT]
    assert filled.outdated
    assert {"version-old"} <= {one.code for one in filled.findings}
    assert filled.entries == {name: column for name, column in before.entries.items() if name != ("job", "reason_lost")}
    assert reconcile([old]).tables == figures
    checked = check_filled(old)
    assert codes(checked.findings) == {"compared-none"}
    carried = carry(old, tmp_path / "new.xlsx", made_on=DAY)
    after = read_filled(tmp_path / "new.xlsx")
    assert after.stamp.version == NEXT
    assert after.stamp.book_id == "the-job"
    assert "Measured" in [sheet.name for sheet in after.raw.sheets]
    assert content_of(after)["entries"] == content_of(filled)["entries"]
    assert carried.left_over == ()


def _without(path: Path, field: str) -> tuple[str, str]:
    """Return the text of a field in a template file, and nothing to put in its place."""
    text = path.read_text(encoding="utf-8")
    at = text.index(f'name = "{field}"')
    start = text.rindex("[[block.field]]", 0, at)
    end = text.find("[[block", at)
    return text[start : end if end > 0 else len(text)], ""


def test_fields_that_were_renamed_dropped_or_measured_otherwise_find_their_place_or_are_left_over(folder: Path, tmp_path: Path) -> None:
    """An invented version before this one: other names, other units, a field and a word that are no more."""
    kept = release(folder)
    edit(
        kept / "bid" / "03-takeoff.toml",
        ('name = "waste"', 'name = "loss"'), ('name = "third"\nkind = "input"\nunit = "length"', 'name = "third"\nkind = "input"\nunit = "depth"'),
    )  # fmt: skip
    for path in (kept / "bid").glob("*.toml"):
        path.write_text(path.read_text(encoding="utf-8").replace("takeoff.waste", "takeoff.loss"), encoding="utf-8")
    edit(
        kept / "bid" / "01-start.toml",
        ('name = "customer"', f'{FAX}\n\n[[block.field]]\nname = "customer"'),
    )
    edit(folder / "bid" / "book.toml", ("[words]", '[renamed]\n"takeoff.loss" = "takeoff.waste"\n\n[words]'))
    forget()
    old = _book_of_before(tmp_path)

    filled = read_filled(old)

    assert filled.outdated
    assert filled.entries["takeoff", "waste"] == (0.07,)
    assert ("takeoff", "loss") not in filled.entries
    assert filled.entries["areas", "third"][0] == 0.5  # metres now, typed as millimetres
    assert [(one.field, one.value) for one in filled.leftovers] == [("job.fax", "555 0100")]
    assert codes(filled.findings) == {"version-left-over"}
    assert job_of(filled.entries, "metric").takeoff.waste == 0.07
    carried = carry(old, tmp_path / "new.xlsx", made_on=DAY)
    assert [(one.field, one.why) for one in carried.left_over] == [("job.fax", "this version has no such field")]
    assert [(one.field, one.before, one.after, one.was, one.worth_seeing) for one in carried.entries.changed] == [
        ("takeoff.waste", "7 %", "7 %", "'Waste of topping' (takeoff.loss)", True),
        ("areas.third[1]", "500 mm", "0.5 m", "'Size 3' (areas.third)", True),
    ]
    assert read_filled(tmp_path / "new.xlsx").entries["takeoff", "waste"] == (0.07,)


def _book_of_before(tmp_path: Path) -> Path:
    """Write a filled book of the version before; the engine knows nothing of it."""
    from sheetgen.book.compile import compiled
    from sheetgen.book.contents import Contents
    from sheetgen.book.stamp import Stamp
    from sheetgen.book.write import write

    made = compiled("bid", "metric", LEAST, "1")
    typed = {"takeoff.loss": 0.07, "job.fax": "555 0100", "job.name": "Old job", "areas.first": 5.0, "areas.third": 500.0}
    contents = Contents(made, lambda place: typed.get(place.name) if place.record == 0 else None, lambda _: None)
    path = tmp_path / "before.xlsx"
    write(path, contents, Stamp.of(made.plan, "before", DAY))
    return path


def test_rates_of_an_earlier_version_are_copied_into_a_bid_of_this_one(folder: Path, tmp_path: Path) -> None:
    from sheetgen import jobfile
    from sheetgen.rates import build_rates, read_rates, with_rates

    starter = jobfile.starter("us")
    dearer = attrs.evolve(starter, products=(attrs.evolve(starter.products[0], price=99.0), *starter.products[1:]))
    build_rates(dearer, tmp_path / "rates.xlsx", made_on=DAY, book_id="r")
    release(folder)

    taken = read_rates(tmp_path / "rates.xlsx")

    assert "version-old" in {one.code for one in taken.findings}
    assert with_rates(starter, taken).products[0].price == 99.0
    assert taken.made.plan.book.version == NEXT


def test_a_version_that_nobody_released_is_refused(folder: Path, tmp_path: Path) -> None:
    old = put(metric_job(), tmp_path / "old.xlsx", "the-job", LEAST)
    for kind in ("bid", "rates"):
        edit(folder / kind / "book.toml", (f'version = "{shipped("bid").version}"', f'version = "{NEXT}"'))
    forget()

    with pytest.raises(Refused) as refused:
        read_filled(old)

    assert [one.code for one in refused.value.findings] == ["stamp-version"]
