"""What a person writes in a job file or a list of areas is taken as written, or named with its place, all at once."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from sheetgen.book.load import template_folder
from sheetgen.engine.job import compute
from sheetgen.findings import Finding, Refused
from sheetgen.jobfile import read_areas, read_job, starter

if TYPE_CHECKING:
    from pathlib import Path

    from sheetgen.engine.job import Job
    from sheetgen.units import System

ONE_ROOM = """
[job]
name = "Back patio"
bid_date = 2026-05-31

[[zones]]
name = "Patio"
surface = "floor"
system = "Squeegee topping"

[[areas]]
label = "Patio"
zone = "Patio"
first = "24' 6\\""
second = "18' 0\\""
"""


def read(folder: Path, text: str, system: System = "us") -> Job:
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return read_job(path, starter(system))


def refused(folder: Path, text: str, system: System = "us") -> tuple[Finding, ...]:
    with pytest.raises(Refused) as caught:
        read(folder, text, system)
    assert all(one.mend for one in caught.value.findings)
    return caught.value.findings


def areas(folder: Path, text: str, system: System = "us") -> Job:
    path = folder / "areas.csv"
    path.write_text(text, encoding="utf-8")
    return read_areas(path, starter(system))


def areas_refused(folder: Path, text: str) -> tuple[Finding, ...]:
    with pytest.raises(Refused) as caught:
        areas(folder, text)
    assert all(one.mend for one in caught.value.findings)
    return caught.value.findings


def test_a_job_file_fills_the_job_and_leaves_the_rest_as_it_comes(tmp_path: Path) -> None:
    job = read(tmp_path, ONE_ROOM)

    assert (job.job.name, job.job.bid_date) == ("Back patio", dt.date(2026, 5, 31))
    assert [(zone.name, zone.surface) for zone in job.zones] == [("Patio", "floor")]
    assert (job.areas[0].first, job.areas[0].first_in, job.areas[0].second_in) == (24.0, 6.0, 0.0)
    assert job.products == starter("us").products
    assert job.policy == starter("us").policy


def test_a_job_file_gives_a_price(tmp_path: Path) -> None:
    """24 ft 6 in by 18 ft is 441 ft²."""
    values = compute(read(tmp_path, ONE_ROOM))

    assert values.column("areas.area")[0] == pytest.approx(441.0, abs=1e-9)
    assert values.scalar("price.total", "accepted") > 0


def test_the_readme_s_job_file_is_read(tmp_path: Path) -> None:
    from pathlib import Path as Folder

    readme = (Folder(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    text = readme.split("```toml\n")[1].split("```")[0]

    assert compute(read(tmp_path, text)).scalar("price.total", "accepted") > 0


@pytest.mark.parametrize("name", ["bid.toml", "log.toml"])
def test_the_demo_s_files_are_read(name: str) -> None:
    data = template_folder("demo")
    job = read_job(data / "bid.toml", starter("us"))

    assert read_job(data / name, job).zones == job.zones


@pytest.mark.parametrize(
    ("text", "code", "place", "said"),
    [
        ("[jobs]\nname = 'x'", "job-block", "job.toml jobs", "job"),
        ("[job]\nnam = 'x'", "job-field", "job.toml job, nam", "name"),
        ("[[areas]]\narea = 12.0", "job-field", "job.toml areas 1, area", "first"),
        ("[job]\nstatus = 'finished'", "job-choice", "job.toml job, status", "done"),
        ("[job]\nname = 5", "job-value", "job.toml job, name", "quotes"),
        ("[job]\nname = 'a\\nb'\n".replace("'", '"'), "job-value", "job.toml job, name", "shorten"),
        (f"[job]\nname = '{'x' * 201}'", "job-value", "job.toml job, name", "shorten"),
        ("[job]\nbid_date = 'soon'", "job-value", "job.toml job, bid_date", "2026-05-31"),
        ("[job]\nbid_date = '31.5.2026'", "job-value", "job.toml job, bid_date", "2026-05-31"),
        ("[takeoff]\nwaste = 8", "job-bounds", "job.toml takeoff, waste", "bounds"),
        ("[takeoff]\nwaste = -0.01", "job-bounds", "job.toml takeoff, waste", "bounds"),
        ("[takeoff]\nwaste = true", "job-value", "job.toml takeoff, waste", "plain number"),
        ("[takeoff]\nwaste = nan", "job-value", "job.toml takeoff, waste", "plain number"),
        ("[takeoff]\nwaste = inf", "job-value", "job.toml takeoff, waste", "plain number"),
        ("[costs]\nfreight = '$1,250'", "job-value", "job.toml costs, freight", "plain number"),
        ("[[areas]]\nfirst = 'about twelve'", "job-value", "job.toml areas 1, first", "feet and inches"),
        ("[[areas]]\nfirst = 3\n[[areas]]\nfirst = \"12' 1/0\\\"\"", "job-value", "job.toml areas 2, first", "feet"),
        ("[[areas]]\nzone = 'Nowhere'", "job-name", "job.toml areas 1, zone", "Zone 1"),
        ("[[zones]]\nname = 'A'\nsystem = 'Lava'", "job-name", "job.toml zones 1, system", "Squeegee topping"),
        ("[[job]]\nname = 'x'", "job-shape", "job.toml job", "[job]"),
        ("[areas]\nfirst = 2", "job-shape", "job.toml areas", "[[areas]]"),
        ("areas = [1]", "job-shape", "job.toml areas 1", "name = value"),
        ("units = 'metric'", "job-units", "job.toml units", "--units metric"),
        ("units = 'cubits'", "job-units", "job.toml units", "us or metric"),
    ],
)  # fmt: skip
def test_what_the_book_does_not_know_is_named(tmp_path: Path, text: str, code: str, place: str, said: str) -> None:
    (found,) = refused(tmp_path, text)

    assert (found.code, found.place) == (code, place)
    assert said in found.mend


def test_everything_that_is_wrong_is_said_at_once(tmp_path: Path) -> None:
    text = """
    extra = 1
    [job]
    nam = "x"
    bid_date = "soon"
    [takeoff]
    waste = 8
    [[areas]]
    first = "long"
    second = "wide"
    [[areas]]
    shape = "blob"
    """

    found = refused(tmp_path, text)

    assert [one.place.removeprefix("job.toml ") for one in found] == [
        "extra", "job, nam", "job, bid_date", "takeoff, waste", "areas 1, first", "areas 1, second", "areas 2, shape",
    ]  # fmt: skip


def test_toml_that_cannot_be_read_is_named_with_its_line(tmp_path: Path) -> None:
    (found,) = refused(tmp_path, "[job]\nname = 'x'\nnumber 5\n")

    assert found.code == "job-toml"
    assert "line 3" in found.what


def test_a_file_that_is_no_text_is_named(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes(b"\xff\xfe\x00name")

    with pytest.raises(Refused) as caught:
        read_job(tmp_path / "job.toml", starter("us"))

    assert caught.value.findings[0].code == "job-toml"


@pytest.mark.parametrize(("read_file", "code"), [(read_job, "job-file"), (read_areas, "areas-file")])
def test_a_file_that_is_not_there_is_named(tmp_path: Path, read_file: object, code: str) -> None:
    with pytest.raises(Refused) as caught:
        read_file(tmp_path / "gone", starter("us"))  # type: ignore[operator]

    assert caught.value.findings[0].code == code
    assert "gone" in caught.value.findings[0].place


@pytest.mark.parametrize("name", ["=SUM(1,2)", "+plus", "@at", "-minus", "'quoted", "50% <b>&amp;", "Küche 台所"])
def test_names_that_look_like_formulas_stay_text(tmp_path: Path, name: str) -> None:
    text = f'[job]\nname = "{name}"\n[[zones]]\nname = "{name}"\n[[areas]]\nlabel = "{name}"\nzone = "{name}"\nfirst = 10\nsecond = 2'

    job = read(tmp_path, text)

    assert (job.job.name, job.zones[0].name, job.areas[0].label) == (name, name, name)
    assert compute(job).column("zones.area")[0] == 20.0


def test_names_are_found_in_spite_of_case_and_blanks(tmp_path: Path) -> None:
    job = read(tmp_path, '[[zones]]\nname = "Back  Patio"\n[[areas]]\nzone = " back patio "\nfirst = 3\nsecond = 2')

    assert compute(job).column("zones.area")[0] == 6.0


def test_a_choice_may_be_a_word_or_a_code(tmp_path: Path) -> None:
    job = read(tmp_path, "[[areas]]\nshape = 'Half circle'\n[[areas]]\nshape = 'half_circle'")

    assert {area.shape for area in job.areas} == {"half_circle"}


def test_lengths_of_a_metric_book_are_metres(tmp_path: Path) -> None:
    job = read(tmp_path, "[[areas]]\nfirst = 3.5\nsecond = '2'", "metric")
    found = refused(tmp_path, "[[areas]]\nfirst = \"12' 6\\\"\"\nfirst_in = 3", "metric")

    assert (job.areas[0].first, job.areas[0].second) == (3.5, 2.0)
    assert [one.code for one in found] == ["job-value", "job-field"]


def test_areas_are_read_in_order_with_lengths_as_people_type_them(tmp_path: Path) -> None:
    text = "label,first,second,shape,how_many\nHall,\"19' 6 1/2\"\"\",4.25,Rectangle,\nBay,7 ft,,half_circle,2\n"

    job = areas(tmp_path, text)

    assert [(one.label, one.first, one.first_in, one.second, one.shape, one.how_many) for one in job.areas] == [
        ("Hall", 19.0, 6.5, 4.25, "rectangle", None),
        ("Bay", 7.0, None, None, "half_circle", 2.0),
    ]


def test_areas_keep_names_that_look_like_formulas(tmp_path: Path) -> None:
    job = areas(tmp_path, "label,first\n=1+1,2\n+49,3\n@x,4\n")

    assert [one.label for one in job.areas] == ["=1+1", "+49", "@x"]


def test_a_mark_at_the_start_of_the_file_does_no_harm(tmp_path: Path) -> None:
    assert areas(tmp_path, "﻿label,first\nHall,2\n").areas[0].label == "Hall"


@pytest.mark.parametrize(
    ("text", "code", "place", "said"),
    [
        ("", "areas-empty", "areas.csv", "header"),
        ("label,first\n", "areas-empty", "areas.csv", "header"),
        ("lable,first\nHall,2\nBay,3\n", "areas-header", "areas.csv line 1, column 1", "label"),
        ("label;first\nHall;2\n", "areas-header", "areas.csv line 1, column 1", "commas"),
        ("label,first,first\nHall,2,3\n", "areas-header", "areas.csv line 1, column 3", "leave one"),
        ("label,first\nHall,1,200\n", "areas-csv", "areas.csv line 2", "quotes"),
        ("label,first\nHall\n", "areas-csv", "areas.csv line 2", "heading"),
        ("label,first\nHall,2\n\n\nBay,wide\n", "job-value", "areas.csv line 5, first", "feet"),
        ("label,shape\nHall,blob\n", "job-choice", "areas.csv line 2, shape", "rectangle"),
        ("label,zone\nHall,Nowhere\n", "job-name", "areas.csv line 2, zone", "Zone 1"),
        ("label,how_many\nHall,-1\n", "job-bounds", "areas.csv line 2, how_many", "bounds"),
    ],
)
def test_what_is_wrong_in_a_list_of_areas_is_named_with_its_line(tmp_path: Path, text: str, code: str, place: str, said: str) -> None:
    (found,) = areas_refused(tmp_path, text)

    assert (found.code, found.place) == (code, place)
    assert said in found.mend


def test_all_lines_of_areas_are_looked_at(tmp_path: Path) -> None:
    found = areas_refused(tmp_path, "label,first,shape\nA,x,blob\nB,2\nC,y,\n")

    assert sorted(one.place for one in found) == [
        "areas.csv line 2, first", "areas.csv line 2, shape", "areas.csv line 3", "areas.csv line 4, first",
    ]  # fmt: skip


def test_an_open_quote_is_named(tmp_path: Path) -> None:
    (found,) = areas_refused(tmp_path, 'label,first\n"Hall,2\n')

    assert found.code == "areas-csv"
