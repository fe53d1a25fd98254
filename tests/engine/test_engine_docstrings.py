"""Every number in the docstrings of the sums has a unit, and one that is known.

Design: plain floats carry the unit in the argument's name and in the docstring; a test reads them.
"""

import importlib
import inspect
import re

import pytest

from sheetgen.engine import materials
from sheetgen.units import WORDS, symbol

SUMS = (
    "batch_line climate crew data_sheet flow hands heat labour level materials missing names offsets overtime "
    "perimeter pour pour_checks price priming progress risk splits survey takeoff temperature totals trowel_hands variance visits "
    "tuning.ages tuning.apart tuning.backtest tuning.conditions tuning.fitted tuning.holm tuning.huber tuning.job_wide "
    "tuned_jobs tuned_tasks tuning_figures tuning.ranges tuning.recommend tuning.shrink tuning.spreads tuning.tuned"
)
MODULES = tuple(importlib.import_module(f"sheetgen.engine.{name}") for name in SUMS.split())
# What the engine computes in: the US symbols, and what has no symbol of its own.
SYMBOLS = {symbol(word, "us") for word in WORDS} | {"money", "package", "share", "count", "no", "basis", "mil", "°C", "-"}
# An argument's name ends in its unit.
ENDINGS = {
    "_ft": "ft", "_ft2": "ft²", "_ft3": "ft³", "_in": "in", "_h": "h", "_mil": "mil", "_mile": "mile", "_min": "min",
    "_f": "°F", "_c": "°C", "_kelvin": "K", "_percent": "%", "_mph": "mph", "_lb": "lb", "_qt": "qt",
}
NUMBER = re.compile(r"\bfloat\b")
UNIT = re.compile(r"\[([^\]]+)\]")


def public_sums():
    for module in MODULES:
        for name, one in inspect.getmembers(module, inspect.isfunction):
            if one.__module__ == module.__name__ and not name.startswith("_"):
                yield pytest.param(one, id=f"{module.__name__.rpartition('.')[2]}.{name}")


def section(text, title):
    """Return (names, type, description) of each entry of a numpydoc section."""
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w[\w ]*\n-+\n|\Z)", text, re.DOTALL | re.MULTILINE)
    if not found:
        return []
    entries = re.findall(r"^(\S.*)\n((?:[ ]+.*\n?|\n)*)", found.group(1), re.MULTILINE)
    return [(*(head.split(" : ") if " : " in head else ("", head)), body) for head, body in entries]


def numbers(function):
    text = inspect.getdoc(function) or ""
    return [entry for title in ("Parameters", "Returns") for entry in section(text, title) if NUMBER.search(entry[1])]


@pytest.mark.parametrize("function", list(public_sums()))
class TestDocstring:
    def test_every_number_has_a_known_unit(self, function):
        for name, kind, body in numbers(function):
            units = UNIT.findall(body)
            assert units, f"{name or 'what it returns'} : {kind} has no [unit]"
            parts = [units[-1]] if units[-1] in SYMBOLS else re.split(r"[/·]", units[-1])
            for part in parts:
                assert part in SYMBOLS, f"[{units[-1]}] is not a unit of the engine"

    def test_every_argument_that_is_a_number_is_described(self, function):
        described = {name for entry in section(inspect.getdoc(function), "Parameters") for name in entry[0].split(", ")}
        taken = {
            name
            for name, one in inspect.signature(function).parameters.items()
            if NUMBER.search(str(one.annotation)) or "Column" in str(one.annotation)
        }

        assert taken <= described

    def test_a_name_that_ends_in_a_unit_means_it(self, function):
        for heads, _, body in numbers(function):
            for name in filter(None, heads.split(", ")):
                for ending, unit in ENDINGS.items():
                    if name.endswith(ending) and not name.endswith(f"_per{ending}"):
                        assert UNIT.findall(body)[-1] == unit, name

    def test_one_sentence_that_ends(self, function):
        first = inspect.getdoc(function).partition("\n")[0]

        assert first.endswith(".")

    def test_what_it_raises_is_said(self, function):
        """A range that is enforced is also noted."""
        source, text = inspect.getsource(function), inspect.getdoc(function)
        guarded = "require_" in source or "raise OutOfRangeError" in source

        assert not guarded or "Raises\n" in text


def test_the_reader_of_docstrings_reads():
    """It would find nothing wrong if it found nothing."""
    found = numbers(materials.mixed_volume_ft3)

    assert [entry[0] for entry in found] == ["area_ft2", "depth_in", "coats", "fill_in", "waste", ""]
    assert sum(len(numbers(one.values[0])) for one in public_sums()) > 100
