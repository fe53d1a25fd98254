"""A book is handed out only when every formula cell agrees; an old file stays whole when it does not."""

from __future__ import annotations

import datetime as dt
import zipfile
from pathlib import Path

import pytest
from jobs import SMALL, demo_job

from sheetgen import build
from sheetgen.book.compile import compile_plan, compiled, shipped
from sheetgen.book.contents import Contents
from sheetgen.book.plan import Place, Plan
from sheetgen.book.stamp import Stamp
from sheetgen.build import build_bid, hand_out
from sheetgen.check.filled import check_filled
from sheetgen.check.meet import contents_of
from sheetgen.engine.job import compute
from sheetgen.findings import Refused
from sheetgen.jobfile import starter

DAY = dt.date(2026, 3, 2)


def test_same_inputs_date_and_id_give_the_same_bytes(tmp_path: Path) -> None:
    """Same inputs, date and id → byte-identical file."""
    for name in ("a", "b"):
        build_bid(demo_job(), tmp_path / f"{name}.xlsx", made_on=DAY, book_id="x", rows=SMALL)

    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()


def test_every_formula_cell_is_compared(tmp_path: Path) -> None:
    built = build_bid(demo_job(), tmp_path / "a.xlsx", made_on=DAY, book_id="x")

    assert built.counts.found == built.counts.recalculated == built.counts.compared + built.counts.shows
    assert built.counts.found > 10_000


def test_a_wrong_engine_value_stops_the_book(tmp_path: Path) -> None:
    made = compiled("bid", "us", SMALL)
    job = demo_job()
    good = contents_of(made, job)

    def wrong(place: Place) -> object:
        value = good.formula(place)
        return 1.0 + value if place.name == "price.direct" and isinstance(value, float) else value

    goal = tmp_path / "goal.xlsx"
    goal.write_bytes(b"the old file")
    with pytest.raises(Refused) as refused:
        hand_out(Contents(made, good._entered, wrong), Stamp.of(made.plan, "x", DAY), goal)

    assert any("price.direct" in finding.what for finding in refused.value.findings)
    assert goal.read_bytes() == b"the old file"
    assert [one.name for one in tmp_path.iterdir()] == ["goal.xlsx"]


def test_a_changed_constant_of_a_template_stops_the_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Change a constant in a template → build fails."""
    import attrs

    book = shipped("bid")
    shapes = book.blocks["shapes"]
    records = tuple({**one, "factor": 0.49} if one["code"] == "triangle" else one for one in shapes.records)
    changed = attrs.evolve(book, blocks={**book.blocks, "shapes": attrs.evolve(shapes, records=records)})
    made = compile_plan(Plan(changed, "us", SMALL))
    monkeypatch.setattr(build, "compiled", lambda *_: made)
    job = attrs.evolve(
        demo_job(), areas=(attrs.evolve(demo_job().areas[0], shape="triangle"), *demo_job().areas[1:])
    )

    with pytest.raises(Refused):
        build_bid(job, tmp_path / "a.xlsx", made_on=DAY, book_id="x")

    assert list(tmp_path.iterdir()) == []


def test_check_names_a_changed_formula_cell(tmp_path: Path) -> None:
    """Change a formula cell → check names it."""
    path = tmp_path / "a.xlsx"
    build_bid(demo_job(), path, made_on=DAY, book_id="x", rows=SMALL)
    spot = compiled("bid", "us", SMALL).plan.spot("price", "materials").cell(0, 1)
    sheet = next(number for number, one in enumerate(shipped("bid").sheets, start=1) if one.title == spot.sheet)
    changed = tmp_path / "changed.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as new:
        for item in old.infolist():
            data = old.read(item)
            if item.filename == f"xl/worksheets/sheet{sheet}.xml":
                cell = spot.a1.split("!")[1].encode()
                start = data.index(b'<c r="' + cell + b'"')
                end = data.index(b"</f>", start)
                data = data[:end] + b"+1" + data[end:]
            new.writestr(item.filename, data)

    found = check_filled(changed).findings

    assert any(spot.a1 in finding.place or spot.a1.split("!")[1] in finding.place for finding in found)


def test_a_full_block_says_how_to_build_a_larger_book(tmp_path: Path) -> None:
    import attrs

    job = demo_job()
    job = attrs.evolve(job, areas=job.areas * 10)
    with pytest.raises(Refused) as refused:
        build_bid(job, tmp_path / "a.xlsx", made_on=DAY)

    assert "--rows areas=90" in refused.value.findings[0].mend
    assert build_bid(job, tmp_path / "a.xlsx", made_on=DAY, rows={**SMALL, "areas": 90}).counts.compared > 0


def test_an_option_more_has_no_scenario(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        build_bid(starter("us"), tmp_path / "a.xlsx", made_on=DAY, rows={"options": 7})

    assert refused.value.findings[0].code == "rows-unknown"


def test_an_output_that_cannot_be_written_is_a_finding(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    with pytest.raises(Refused) as refused:
        build_bid(starter("us"), tmp_path / "file" / "a.xlsx", made_on=DAY)

    assert refused.value.findings[0].code == "output-write"


def test_names_that_look_like_formulas_stay_text(tmp_path: Path) -> None:
    """A name that begins with ``=`` stays a name, and sums find it exactly."""
    import attrs

    names = ("=SUM(1,2)", "+plus", "@at", ">5", "a*", "b?", "~c", "a*x")
    job = starter("us")
    zones = tuple(attrs.evolve(job.zones[0], name=name) for name in names)
    area = demo_job().areas[0]
    areas = tuple(
        attrs.evolve(area, label=name, zone=name, first=float(number), first_in=None, second=1.0, second_in=None)
        for number, name in enumerate(names, start=1)
    )
    job = attrs.evolve(job, zones=zones, areas=areas)
    path = tmp_path / "a.xlsx"

    build_bid(job, path, made_on=DAY, book_id="x", rows={**SMALL, "zones": 8})

    assert compute(job).column("zones.area")[: len(names)] == tuple(float(n) for n in range(1, len(names) + 1))
    assert not [one for one in check_filled(path).findings if one.severity > 1]


def test_one_area_gives_a_price() -> None:
    """First price in five minutes: a job name, a system and one area give a price."""
    import attrs

    job = starter("us")
    bare = compute(job)
    area = attrs.evolve(demo_job().areas[0], zone=None, label=None, shape=None)
    job = attrs.evolve(job, job=attrs.evolve(job.job, name="Hall"), areas=(area,))

    values = compute(job)

    assert bare.scalar("price.total", "accepted") is None
    assert values.scalar("price.total", "accepted") > 0
    assert [values.scalar(f"steps.{name}") for name in ("job_name", "zone", "system", "area", "price")] == [0.0] * 5


@pytest.mark.parametrize("after_s", [0.3, 0.9, 1.5, 2.1])
def test_a_killed_run_leaves_the_old_file_whole(tmp_path: Path, after_s: float) -> None:
    """A run that dies leaves the old file whole: old or new, never half."""
    import subprocess
    import sys
    import time

    goal = tmp_path / "goal.xlsx"
    goal.write_bytes(b"the old file")
    command = [sys.executable, "-m", "sheetgen.cli", "bid", str(goal), "--replace", "--id", "x", "--date", "2026-03-02"]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(after_s)
    process.kill()
    process.wait()

    content = goal.read_bytes()
    assert content == b"the old file" or zipfile.is_zipfile(goal)
