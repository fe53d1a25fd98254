"""What the trade's sums refuse, one test per guard, and what they do with a missing number."""

import math

import pytest

from sheetgen.engine import labour, materials, offsets, perimeter, price, progress, takeoff, variance
from sheetgen.engine.ranges import OutOfRangeError


@pytest.mark.parametrize(
    ("sum_of", "arguments"),
    [
        (takeoff.rectangle_area_ft2, (0, 5)),
        (takeoff.rectangle_area_ft2, (5, -1)),
        (takeoff.triangle_area_ft2, (5, 0)),
        (takeoff.trapezoid_area_ft2, (5, 4, 0)),
        (takeoff.circle_area_ft2, (0,)),
        (takeoff.half_circle_area_ft2, (-1,)),
        (takeoff.quarter_circle_area_ft2, (0,)),
        (takeoff.ellipse_area_ft2, (5, 0)),
        (takeoff.ring_area_ft2, (0, 0)),
        (takeoff.ring_area_ft2, (5, -1)),
        (takeoff.ring_area_ft2, (5, 5.1)),
        (takeoff.steps_area_ft2, (4, 0, 1)),
        (takeoff.steps_area_ft2, (4, 1, -1)),
        (takeoff.three_sides_area_ft2, (1, 2, 3)),
        (takeoff.three_sides_area_ft2, (1, 2, 4)),
        (takeoff.three_sides_area_ft2, (0, 2, 2)),
        (offsets.offsets_area_ft2, (0, [1, 2])),
        (offsets.offsets_area_ft2, (1, [2])),
        (offsets.offset_weight, (0, 3)),
        (offsets.offset_weight, (4, 3)),
        (perimeter.rectangle_perimeter_ft, (0, 1)),
        (perimeter.circle_perimeter_ft, (0,)),
        (perimeter.half_circle_perimeter_ft, (0,)),
        (perimeter.quarter_circle_perimeter_ft, (0,)),
        (perimeter.ellipse_perimeter_ft, (1, 0)),
        (perimeter.ring_perimeter_ft, (1, -1)),
        (perimeter.three_sides_perimeter_ft, (1, 1, 0)),
        (materials.mixed_volume_ft3, (-1, 0.1, 1, 0, 0)),
        (materials.covered_area_ft2, (1, 0)),
        (materials.film_coverage_ft2_per_gal, (0,)),
        (materials.film_coverage_ft2_per_gal, (4, 0)),
        (materials.film_coverage_ft2_per_gal, (4, 1.1)),
        (materials.wet_film_mil, (0,)),
        (materials.bags_before_rounding, (1, 0)),
        (materials.whole_packages, (1, 0)),
        (materials.packages_to_buy, (1, 0, 0)),
        (labour.task_hours, (0, 0, 100, 0)),
        (labour.regular_rate, ([0], [20])),
        (price.price_at_margin, (100, 1)),
        (price.markup_of_margin, (1,)),
        (price.margin_of_markup, (-1,)),
        (variance.depth_used_in, (1, 0.45, 0)),
        (variance.average_thickness_in, (0.1, 0, 0, 0)),
    ],
)
def test_out_of_range(sum_of, arguments):
    with pytest.raises(OutOfRangeError):
        sum_of(*arguments)


def test_the_refusal_keeps_its_facts():
    with pytest.raises(OutOfRangeError) as caught:
        price.price_at_margin(100, 1.5)

    assert caught.value.name == "margin"
    assert caught.value.value == 1.5
    assert "below 1" in str(caught.value)


@pytest.mark.parametrize(
    ("sum_of", "arguments"),
    [
        (takeoff.rectangle_area_ft2, (math.nan, 5)),
        (takeoff.trapezoid_area_ft2, (5, 5, math.nan)),
        (materials.mixed_volume_ft3, (100, math.nan, 1, 0, 0.1)),
        (materials.bags_before_rounding, (10, math.nan)),
        (materials.whole_bags, (math.nan,)),
        (materials.packages_cost, (math.nan, 40)),
        (materials.packages_to_buy, (math.nan, 1, 0)),
        (labour.loaded_wage, (math.nan, 0, 0, 0, 0)),
        (labour.task_hours, (0.5, 1, 100, math.nan)),
        (labour.task_cost, (2, math.nan)),
        (price.price_at_margin, (100, math.nan)),
        (price.price_at_markup, (math.nan, 0.3)),
        (price.rounded_up, (math.nan, 5)),
        (price.rounded_to_nearest, (math.nan, 5)),
        (progress.share_by_estimate, (math.nan, 1)),
        (progress.share_by_estimate, (1, 0)),
        (progress.share_by_cost_to_go, (5, math.nan)),
        (progress.share_by_cost_to_go, (0, 0)),
        (progress.earned_value, (0.5, math.nan)),
        (progress.cost_performance, (5, 0)),
        (progress.schedule_performance, (5, 0)),
        (progress.estimate_at_completion, (5, 9, 4, 0)),
        (variance.price_variance, (math.nan, 1, 1)),
        (variance.average_thickness_in, (0.1, 1, math.nan, 0)),
    ],
)
def test_missing_in_missing_out(sum_of, arguments):
    """Missing is never zero: design, rules that hold everywhere."""
    assert math.isnan(sum_of(*arguments))


@pytest.mark.parametrize(
    ("amount", "step", "up", "nearest"),
    [
        (4112.62, 5, 4115, 4115),
        (4112.49, 5, 4115, 4110),
        (4115.00, 5, 4115, 4115),
        (4112.50, 5, 4115, 4115),
        (12.34, 0, 12.34, 12.34),
        (0.30, 0.1, 0.3, 0.3),
        (1500, 100, 1500, 1500),
        (1549.99, 100, 1600, 1500),
    ],
)
def test_rounding_to_a_step(amount, step, up, nearest):
    assert price.rounded_up(amount, step) == pytest.approx(up, abs=1e-9)
    assert price.rounded_to_nearest(amount, step) == pytest.approx(nearest, abs=1e-9)


def test_need_and_packages():
    """need = basis · dose · (1 + waste); packages once for the job; to buy is cash, not cost: trade, materials."""
    need = materials.need_of_basis(85, 1, 0.10)

    assert need == pytest.approx(93.5, abs=1e-12)
    assert materials.whole_packages(need, 180) == 1
    assert materials.packages_cost(1, 7.25) == 7.25
    assert materials.packages_to_buy(need, 180, 0.4) == 1
    assert materials.packages_to_buy(need, 180, 0.6) == 0


@pytest.mark.parametrize(
    ("need", "on_hand", "to_buy"),
    [(4.41, 1, 4), (4.41, 0.41, 4), (4.41, 0.4, 5), (4.41, 9, 0), (0, 0, 0)],
)
def test_a_part_package_on_hand_counts(need, on_hand, to_buy):
    assert materials.packages_to_buy(need, 1, on_hand) == to_buy


def test_first_primer_coat_on_an_open_slab():
    """Two coats on 100 ft², the first of them at 1.5: as much as 250 ft²."""
    assert materials.primed_area_ft2(100, 2, 1.5) == 250
