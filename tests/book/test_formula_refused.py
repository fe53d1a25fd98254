"""Each reason for which the compiler refuses a formula: code, line, column, caret and what to do."""

from __future__ import annotations

import pytest
from minibook import Mini, block, factors

from sheetgen.book.compile import compile_plan
from sheetgen.book.parse import MOST_CHARACTERS
from sheetgen.findings import Refused

COLUMNS = (
    'started: count = IF(name = "", "", 1)', "len: length", "thin: inch", "area: area", "gal: liquid", "temp: temperature",
    "step: temperature_step", "day: date", "time: clock", "name: text", "n: count", "cost: money/basis", "each: pack",
    "span: hour", "whole: number := 1",
)  # fmt: skip
OTHERS = (
    block("y", "rows", "z: number", "w: length", rows=4),
    block("one", "fields", "size: length", "fixed: length := 2"),
    block("case", "scenario", "price: money = 0"),
    block("shapes", "list", 'word: text; kind = "note"', 'no: number; kind = "constant"', record=[{"code": "disc", "word": "Disc", "no": 1}, {"code": "ring", "word": "Ring", "no": 2}]),
)  # fmt: skip


def refusal(mini: Mini, formula: str, unit: str = "number", kind: str = "formula") -> tuple[str, int, str]:
    """Return code, caret's offset and words of the one finding that a formula causes."""
    mark = "=" if kind == "formula" else "~"
    mini.sums(block("x", "rows", *COLUMNS, f"q: {unit} {mark} {formula}", rows=3), *OTHERS)
    (finding,) = mini.findings()
    file, line, column = finding.place.split(":")
    written = (mini.folder / file).read_text(encoding="utf-8").splitlines()[int(line) - 1]
    what, text, caret, _ = finding.what.split("\n")
    offset = len(caret) - 1
    assert caret == " " * offset + "^"
    assert text == formula
    assert written[int(column) - 1 :] == f"{formula}'"[offset:]
    assert finding.mend
    return finding.code, offset, what


@pytest.mark.parametrize(
    ("formula", "code", "at"),
    [
        ("n ! n", "formula-character", 2),
        ("n % n", "formula-character", 2),
        ("n * 2", "formula-number", 4),
        ("n * 1.5", "formula-number", 4),
        ("n * 01", "formula-number", 4),
        ("n +", "formula-syntax", 3),
        ("n n", "formula-syntax", 2),
        ("n, n", "formula-syntax", 1),
        ("(n + n", "formula-syntax", 6),
        ("IF(n > 0, 1, 0", "formula-syntax", 14),
        ("n = n = n", "formula-syntax", 6),
        ("-n ^ n", "formula-minus-power", 0),
        ("0 - n ^ n ^ n", "formula-chained-power", 10),
        ("ABS(ABS(ABS(ABS(ABS(n)))))", "formula-depth", 16),
        ("n" + " + n" * 30, "formula-long", MOST_CHARACTERS),
        ("IF(n > 0, n)", "formula-arguments", 0),
        ("SQRT(n, n)", "formula-arguments", 0),
        ("up(n, n)", "formula-arguments", 0),
        ("given(n)", "formula-arguments", 0),
        ("0 + XLOOKUP(n, n, n)", "formula-function", 4),
        ("OFFSET(n, 1, 1)", "formula-function", 0),
        ("RAND()", "formula-function", 0),
        ("sum(n)", "formula-function", 0),
        ("0 + nothing", "formula-name", 4),
        ("x.nothing", "formula-name", 0),
        ("nothing.at_all", "formula-name", 0),
        ("known(n + n)", "formula-name", 8),
        ("0 + y.z", "formula-range", 4),
        ("1 + shapes.no", "formula-range", 4),
        ("SUMIFS(n, y.z, n)", "formula-not-range", 7),
        ("INDEX(one.size, 1)", "formula-not-range", 6),
        ("INDEX(n + n, 1)", "formula-range", 8),
        ("shapes.no.square", "formula-code", 0),
        ("above(n)", "formula-place", 0),
        ("SUM(above(y.z))", "formula-above", 10),
        ("SUM(above(n + n))", "formula-range", 4),
        ("back(n + n, 1)", "formula-back", 0),
        ("no", "formula-no", 0),
        ("back(n, 1)", "formula-no", 0),
        ("SUM(table(x))", "formula-table", 10),
        ("SUM(table(nothing))", "formula-name", 10),
        ('number(case.price, "money")', "formula-scenario", 7),
        ('number(case.price.third, "money")', "formula-scenario", 7),
        ('IF(name = "Jo", 1, 0)', "formula-text", 10),
        ("1 + match(name, x.name)", "formula-maybe", 4),
        ('1 + IF(n > 0, n, "")', "formula-maybe", 4),
        ("1 + given(n, n)", "formula-maybe", 4),
        ("SUMPRODUCT(x.n * x.n)", "formula-array", 11),
        ("n > 0", "formula-truth", 2),
        ("number(len, area)", "formula-cast", 0),
        ('number(len, "cubit9")', "formula-unit", 12),
        ('TEXT(n, "0.0000")', "formula-format", 8),
        ("TEXT(n, name)", "formula-format", 8),
        ('TEXT(time, "hh:mm")', "formula-format", 11),
        ('IF(n + n = "", 0, 1)', "formula-blank", 9),
        ('IF(n < "", 0, 1)', "formula-blank", 5),
        ('n * ""', "formula-kind", 2),
        ("IF(name > 0, 1, 0)", "formula-kind", 8),
        ("IF(name, 1, 0)", "formula-kind", 3),
        ("SUM(x.temp)", "formula-kind", 4),
        ("SUM(x.name)", "formula-kind", 4),
        ("MAX(x.name)", "formula-kind", 4),
        ("SUMIFS(x.n, x.name, name)", "formula-kind", 20),
        ("COUNTIF(x.name, name)", "formula-kind", 16),
        ("SUMIFS(x.n, y.z, n)", "formula-shape", 0),
        ("SUMPRODUCT((x.n = y.z) * 1)", "formula-shape", 16),
        ("SUMPRODUCT((x.len = x.thin) * 1)", "formula-array", 18),
        ("SUM(1, shapes.no.square)", "formula-code", 7),
        ("back(n, 0)", "formula-back", 8),
    ],
)
def test_each_reason(mini: Mini, formula: str, code: str, at: int) -> None:
    assert refusal(mini, formula)[:2] == (code, at)


@pytest.mark.parametrize(
    ("formula", "unit", "code", "words"),
    [
        ("area + gal", "area", "formula-unit", "adds gal to ft²"),
        ("area - len", "area", "formula-unit", "subtracts ft from ft²"),
        ("len + n", "length", "formula-unit", "adds a plain number to ft"),
        ("len + 1", "length", "formula-unit", "adds a plain number to ft"),
        ("len * len", "length", "formula-unit", "gives ft², not ft"),
        ("area / len", "area", "formula-unit", "gives ft, not ft²"),
        ("IF(len > area, 1, 0)", "number", "formula-unit", "gives ft², not ft"),
        ("MIN(len, area)", "length", "formula-unit", "MIN mixes ft and ft²"),
        ("IF(n > 0, len, area)", "length", "formula-unit", "gives ft², not ft"),
        ("given(len, area)", "length", "formula-unit", "gives ft², not ft"),
        ("EXP(len)", "number", "formula-unit", "EXP of ft"),
        ("len ^ n", "area", "formula-power", "a power of ft"),
        ("temp + temp", "temperature", "formula-unit", "adds °F to °F"),
        ("step + temp", "temperature", "formula-unit", "adds °F to Δ°F"),
        ("temp * n", "temperature", "formula-kind", "a temperature cannot stand beside *"),
        ("temp - temp", "temperature", "formula-unit", "gives Δ°F, not °F"),
        ("temp - step", "temperature_step", "formula-unit", "gives °F, not Δ°F"),
        ("day + day", "date", "formula-unit", "adds date to date"),
        ("day * n", "number", "formula-kind", "a date cannot stand beside *"),
        ("day - time", "day", "formula-unit", "subtracts clock from date"),
        ("day - len", "date", "formula-unit", "gives ft, not d"),
        ("day - n", "date", "formula-unit", "gives a plain number, not d"),
        ("time + time", "clock", "formula-unit", "adds clock to clock"),
        ("time * n", "clock", "formula-kind", "a clock cannot stand beside *"),
        ("name + name", "text", "formula-unit", "adds text to text"),
        ("name * n", "number", "formula-kind", "a text cannot stand beside *"),
        ("name", "number", "formula-unit", "gives text, not a plain number"),
        ("len", "text", "formula-unit", "gives ft, not text"),
        ("cost * each", "money", "formula-unit", "gives money·pack/basis, not money"),
        ("each", "count", "formula-unit", "gives pack, not a plain number"),
        ('quantity(len, "area")', "area", "formula-unit", "ft has a unit already"),
        ('number(temp, "degC")', "number", "formula-name", "no block 'scales'"),
        ("gal", "volume", "formula-factor", "no factor from gal to ft³"),
        ("given(len, len) + 0", "length", "formula-maybe", "given can be blank and is used in a sum"),
        ("name & name", "text", "formula-join", "texts are joined in a formula"),
    ],
)
def test_units_and_kinds_that_do_not_fit(mini: Mini, formula: str, unit: str, code: str, words: str) -> None:
    found = refusal(mini, formula, unit)

    assert (found[0], found[2]) == (code, words)


def test_a_blank_branch_cannot_be_converted(mini: Mini) -> None:
    mini.sums(block("x", "rows", *COLUMNS, "q: length = sum_known(u, len)", "u: inch = thin", rows=3), *OTHERS)

    assert mini.codes() == ["formula-sum-known"]


@pytest.mark.parametrize(
    ("formula", "unit"),
    [("n * n", "number"), ("n + n", "count"), ("SUM(x.n)", "count"), ("COUNT(x.n)", "count"), ("EXP(n)", "number")],
)
def test_a_show_field_does_not_reckon(mini: Mini, formula: str, unit: str) -> None:
    assert refusal(mini, formula, unit, "show")[0] == "formula-show"


@pytest.mark.parametrize(
    ("formula", "unit"),
    [("name & (n = n)", "text"), ("name & n", "text"), ("IF(n, name, name)", "text"), ("thin", "length"), ("up(n)", "count"), ("match(name, x.name)", "number"), ("-n", "count"), ("sum_known(n, n)", "count"), ('number(n, "count")', "number")],
)
def test_a_show_field_that_python_cannot_evaluate_is_refused_when_compiled(mini: Mini, formula: str, unit: str) -> None:
    assert refusal(mini, formula, unit, "show")[0] in {"formula-show", "formula-kind"}


@pytest.mark.parametrize(
    ("formula", "unit"),
    [('len + ""', "length"), ("-name", "text"), ("SUMPRODUCT(x.n, y.z)", "number"), ("SUM(x.len, x.thin)", "length")],
)
def test_formulas_that_would_give_an_error_are_refused(mini: Mini, formula: str, unit: str) -> None:
    mini.sums(block("x", "rows", *COLUMNS, f"q: {unit} = {formula}", rows=3), *OTHERS)

    assert mini.codes() != []


def test_500_characters_when_compiled(mini: Mini) -> None:
    mini.sums(block("x", "rows", "n: count", f"q: count = {' + '.join(['o.z'] * 17)}", rows=3))
    far = block("o", "fields", "z: count := 1")
    mini.text("05-far.toml", f'title = "Far away on the last sheet"\nabout = "Far."\ntype = "reference"\n{far}')

    (finding,) = mini.findings()

    assert finding.code == "formula-size"
    # 17 times the 34 characters of 'Far away on the last sheet'!$B$6, and 16 signs.
    assert finding.what.startswith(f"{17 * 33 + 16} characters when compiled, 500 at most")


def test_length_and_depth_at_the_limit_are_allowed(mini: Mini) -> None:
    longest = "n" + " + n" * 29
    assert len(longest) <= MOST_CHARACTERS < len(longest) + 4
    mini.sums(block("x", "rows", "n: count", f"a: count = {longest}", "b: count = ABS(ABS(ABS(ABS(n))))", rows=2))

    assert mini.codes() == []


def test_a_circle_names_its_path(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: number = b + 1", "b: number = e", "e: number = a", rows=3))

    findings = mini.findings()

    assert [finding.code for finding in findings] == ["formula-circle"]
    assert "x.a → x.b → x.e → x.a" in findings[0].what


def test_a_circle_through_a_range(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: number = total.all", rows=3), block("total", "fields", "all: number = SUM(x.a)"))

    assert "x.a → total.all → x.a" in mini.findings()[0].what


def test_looking_back_is_no_circle(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: count = so_far + 1", "so_far: count = SUM(above(a))", rows=3))

    assert mini.codes() == []


def test_all_errors_are_said_at_once(mini: Mini) -> None:
    mini.sums(
        block("x", "rows", "len: length", "area: area", "p: area = len + area", "q: number = 2", "s: number = nothing", rows=3),
        lists=factors(("in_per_ft", 13.0, "inch", "foot")),
    )

    assert sorted(mini.codes()) == ["factor-wrong", "formula-name", "formula-number", "formula-unit"]
    with pytest.raises(Refused, match="adds ft² to ft"):
        compile_plan(mini.plan())


def test_a_wrong_factor_says_what_is_right(mini: Mini) -> None:
    mini.sums(block("x", "fields", "a: length"), lists=factors(("in_per_ft", 12.1, "inch", "foot"), ("mm_per_in", 25.4, "millimeter", "inch")))

    ((finding),) = mini.findings()

    assert (finding.code, finding.place) == ("factor-wrong", "03-lists.toml:15:1 factors.in_per_ft")
    assert finding.what.startswith("is 12.1, but the units make it 12.0") or "11.99999" in finding.what


def test_twelve_calls_inside_each_other_when_compiled(mini: Mini) -> None:
    """The guards and the escape of a typed name count: four in the template become thirteen."""
    mini.sums(block("x", "rows", "n: count", "name: text", "q: no = IF(n > 0, IF(n > 0, IF(n > 0, match(name, x.name), 0), 0), 0)", rows=3))

    assert mini.codes() == ["formula-size"]
