"""Missing numbers, totals over rows, and names."""

import math

import pytest

from sheetgen.engine.lists import BASES, LISTS, number_of
from sheetgen.engine.missing import above_zero, cents, given, known, larger, ratio, sixth, up, value
from sheetgen.engine.names import Register, key, keys, twins
from sheetgen.engine.totals import at, counted, per_record, sum_known, total, totals_by_number

NONE = math.nan


def is_missing(x):
    return math.isnan(x)


class TestMissing:
    def test_blank_is_missing_and_not_zero(self):
        assert is_missing(value(None))
        assert value(0.0) == 0
        assert not known(value(None))

    def test_given(self):
        assert given(None, 1) == 1
        assert given(0.0, 1) == 0

    def test_nothing_is_divided_by_zero(self):
        assert is_missing(ratio(1, 0))
        assert is_missing(ratio(NONE, 2))
        assert ratio(1, 2) == 0.5

    def test_above_zero(self):
        assert above_zero(2) == 2
        assert is_missing(above_zero(0))
        assert is_missing(above_zero(-1))
        assert is_missing(above_zero(NONE))

    @pytest.mark.parametrize(("x", "y"), [(1, NONE), (NONE, 1), (NONE, NONE)])
    def test_the_larger_of_one_that_is_missing(self, x, y):
        assert is_missing(larger(x, y))

    def test_the_larger(self):
        assert larger(-1, 3) == larger(3, -1) == 3

    @pytest.mark.parametrize("rounded", [sixth, cents, up])
    @pytest.mark.parametrize("x", [NONE, math.inf, -math.inf, 1e300])
    def test_what_cannot_be_rounded_passes(self, rounded, x):
        assert rounded(x) == x or is_missing(x)

    @pytest.mark.parametrize(
        ("x", "to_cents"),
        [(1.005, 1.01), (2.675, 2.68), (-1.005, -1.01), (0.004999, 0.0), (0.0049999999, 0.01), (71.617, 71.62)],
    )
    def test_half_a_cent_goes_up_after_six_places(self, x, to_cents):
        """ROUND(ROUND(x, 6), 2): money, one rule."""
        assert cents(x) == to_cents


class TestTotals:
    def test_no_started_row_is_zero(self):
        assert total((), ()) == 0
        assert total((NONE, NONE), (NONE, NONE)) == 0

    def test_a_started_row_without_its_figure_leaves_no_total(self):
        assert is_missing(total((1.0, NONE), (1.0, 1.0)))

    def test_a_blank_row_says_nothing(self):
        assert total((1.0, NONE, 2.0), (1.0, NONE, 1.0)) == 3

    def test_by_number(self):
        found = totals_by_number((1.0, 2.0, 4.0, 8.0), (1.0,) * 4, (1.0, 3.0, 1.0, NONE), 3)

        assert found == (5, 0, 2)

    def test_by_number_a_row_without_its_figure_leaves_none(self):
        found = totals_by_number((1.0, NONE), (1.0, 1.0), (1.0, 2.0), 2)

        assert all(map(is_missing, found))

    def test_order_does_not_change_a_total(self):
        figures = (0.1, 1e15, 0.2, -1e15, 0.3)

        assert total(figures, (1.0,) * 5) == total(tuple(reversed(figures)), (1.0,) * 5) == 0.6

    def test_so_far(self):
        assert sum_known((1.0, NONE, 2.0)) == 3
        assert sum_known(()) == 0

    def test_counted(self):
        assert counted((0.0, NONE, 3.0, 6.0)) == 2

    def test_looked_up(self):
        assert at((5.0, 6.0), 2) == 6
        assert is_missing(at((5.0, 6.0), 3))
        assert is_missing(at((5.0, 6.0), 0))
        assert is_missing(at((5.0, 6.0), NONE))
        assert per_record((5.0, 6.0), (2.0, 1.0)) == (6, 5)


class TestNames:
    @pytest.mark.parametrize(
        ("typed", "trimmed"),
        [(" Studio ", "Studio"), ("Front   steps", "Front steps"), ("   ", None), (None, None), ("a\tb", "a\tb")],
    )
    def test_key(self, typed, trimmed):
        assert key(typed) == trimmed

    @pytest.mark.parametrize("typed", ["studio", " STUDIO", "Studio  "])
    def test_matched_whatever_case_and_spaces(self, typed):
        assert Register(keys(["Hall", "Studio"])).number(typed) == 2

    @pytest.mark.parametrize("typed", ["S*", "?tudio", "~*", "=Studio", "<>Hall", "tud"])
    def test_nothing_is_a_pattern(self, typed):
        assert is_missing(Register(keys(["Hall", "Studio"])).number(typed))

    @pytest.mark.parametrize("name", ["*", "?", "~", "=1+1", "<5", '"'])
    def test_any_character_is_itself(self, name):
        assert Register(keys(["Hall", name])).number(name) == 2

    def test_the_first_of_twins(self):
        assert Register(keys(["Hall", "hall"])).number("HALL") == 1

    def test_blank(self):
        register = Register(keys(["Hall", None]))

        assert is_missing(register.number(None))
        assert register.number("  ", blank=1) == 1

    def test_twins(self):
        found = twins(keys(["Hall", None, " hall", "Studio"]))

        assert (found[0], found[2], found[3]) == (2, 2, 1)
        assert is_missing(found[1])


class TestLists:
    def test_number_of_a_code(self):
        assert number_of(BASES, "once") == 1
        assert number_of(BASES, "visits") == len(BASES) == 19
        assert is_missing(number_of(BASES, "bays"))
        assert is_missing(number_of(BASES, None))
        assert number_of(BASES, None, blank=2) == 2

    @pytest.mark.parametrize("name", sorted(LISTS))
    def test_no_code_twice(self, name):
        assert len(set(LISTS[name])) == len(LISTS[name])
