"""Areas and perimeters, against arithmetic that goes another way than the sums do.

Plane geometry: where a shape can be cut into others, joined from others, or walked round in many small
straight lines, it must come out the same.
"""

import math

import pytest

from sheetgen.engine import offsets, perimeter, takeoff

CORNERS = 20_000


def polygon_area(corners):
    """Shoelace formula."""
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(math.fsum(x * v - u * y for (x, y), (u, v) in pairs)) / 2


def polygon_perimeter(corners):
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return math.fsum(math.hypot(u - x, v - y) for (x, y), (u, v) in pairs)


def arc(width, height, share=1.0):
    """Corners on a part of an ellipse with these full axes."""
    angles = [2 * math.pi * share * step / CORNERS for step in range(CORNERS + 1)]
    return [(width / 2 * math.cos(angle), height / 2 * math.sin(angle)) for angle in angles]


def test_rectangle():
    corners = [(0, 0), (24.5, 0), (24.5, 18), (0, 18)]

    assert takeoff.rectangle_area_ft2(24.5, 18) == polygon_area(corners) == 441
    assert perimeter.rectangle_perimeter_ft(24.5, 18) == polygon_perimeter(corners) == 85


def test_triangle_is_half_of_its_rectangle():
    assert takeoff.triangle_area_ft2(7, 5) == takeoff.rectangle_area_ft2(7, 5) / 2 == 17.5


def test_trapezoid_is_two_triangles():
    """A diagonal cuts it into two triangles of the one height."""
    whole = takeoff.trapezoid_area_ft2(9, 4, 6)

    assert whole == takeoff.triangle_area_ft2(9, 6) + takeoff.triangle_area_ft2(4, 6) == 39


def test_circle():
    """A polygon of many corners is short by about 2/3 (π/n)² of it."""
    assert takeoff.circle_area_ft2(8) == pytest.approx(polygon_area(arc(8, 8)), rel=1e-6)
    assert perimeter.circle_perimeter_ft(8) == pytest.approx(polygon_perimeter(arc(8, 8)), rel=1e-6)


def test_half_circle_with_its_straight_side():
    assert takeoff.half_circle_area_ft2(8) == pytest.approx(polygon_area(arc(8, 8, 0.5)), rel=1e-6)
    assert takeoff.half_circle_area_ft2(8) == pytest.approx(25.132741, abs=5e-7)  # worked job
    assert perimeter.half_circle_perimeter_ft(8) == pytest.approx(polygon_perimeter(arc(8, 8, 0.5)), rel=1e-6)


def test_quarter_circle_with_its_straight_sides():
    corners = [*arc(8, 8, 0.25), (0.0, 0.0)]

    assert takeoff.quarter_circle_area_ft2(4) == pytest.approx(polygon_area(corners), rel=1e-6)
    assert perimeter.quarter_circle_perimeter_ft(4) == pytest.approx(polygon_perimeter(corners), rel=1e-6)


def test_ellipse():
    """Its perimeter is an approximation: Ramanujan's first, within 0.1 % for 1 to 5."""
    assert takeoff.ellipse_area_ft2(10, 6) == pytest.approx(polygon_area(arc(10, 6)), rel=1e-6)
    assert perimeter.ellipse_perimeter_ft(10, 6) == pytest.approx(polygon_perimeter(arc(10, 6)), rel=1e-5)
    assert perimeter.ellipse_perimeter_ft(10, 2) == pytest.approx(polygon_perimeter(arc(10, 2)), rel=1e-3)


def test_round_ellipse_is_a_circle():
    assert takeoff.ellipse_area_ft2(8, 8) == pytest.approx(takeoff.circle_area_ft2(8), rel=1e-15)
    assert perimeter.ellipse_perimeter_ft(8, 8) == pytest.approx(perimeter.circle_perimeter_ft(8), rel=1e-15)


def test_ring_is_a_circle_less_a_circle():
    less = takeoff.circle_area_ft2(10) - takeoff.circle_area_ft2(4)
    edges = perimeter.circle_perimeter_ft(10) + perimeter.circle_perimeter_ft(4)

    assert takeoff.ring_area_ft2(10, 4) == pytest.approx(less, rel=1e-14)
    assert perimeter.ring_perimeter_ft(10, 4) == pytest.approx(edges, rel=1e-14)


def test_ring_without_a_hole_is_a_circle():
    assert takeoff.ring_area_ft2(10, 0) == pytest.approx(takeoff.circle_area_ft2(10), rel=1e-15)


def test_step_is_a_tread_and_a_riser():
    tread, riser = takeoff.rectangle_area_ft2(4.5, 11 / 12), takeoff.rectangle_area_ft2(4.5, 7 / 12)

    assert takeoff.steps_area_ft2(4.5, 11 / 12, 7 / 12) == pytest.approx(tread + riser, rel=1e-15)
    assert 5 * takeoff.steps_area_ft2(4.5, 11 / 12, 7 / 12) == pytest.approx(33.75, abs=1e-12)  # worked job


@pytest.mark.parametrize(
    ("sides", "area"),
    [
        pytest.param((3, 4, 5), 6, id="right angle"),
        pytest.param((13, 14, 15), 84, id="Heron of Alexandria's own example, Metrica I 8; memory"),
        pytest.param((2, 2, 2), math.sqrt(3), id="equal sides"),
    ],
)
def test_three_sides(sides, area):
    assert takeoff.three_sides_area_ft2(*sides) == pytest.approx(area, rel=1e-14)
    assert perimeter.three_sides_perimeter_ft(*sides) == sum(sides)


def test_three_sides_in_any_order():
    assert takeoff.three_sides_area_ft2(15, 13, 14) == pytest.approx(84, rel=1e-14)


@pytest.mark.parametrize("count", [3, 5, 11])
def test_offsets_of_a_parabola_are_exact(count):
    """Simpson's rule is exact for what is at most cubic: the area under x(12 - x) from 0 to 12 is 12³/6."""
    spacing = 12 / (count - 1)
    widths = [spacing * at * (12 - spacing * at) for at in range(count)]

    assert offsets.offsets_area_ft2(spacing, widths) == pytest.approx(12**3 / 6, rel=1e-14)


def test_offsets_with_an_odd_number_of_intervals_are_trapezoids():
    parts = takeoff.trapezoid_area_ft2(5, 7, 2) + takeoff.trapezoid_area_ft2(7, 6, 2) + takeoff.trapezoid_area_ft2(6, 3, 2)

    assert offsets.offsets_area_ft2(2, [5, 7, 6, 3]) == pytest.approx(parts, rel=1e-15)


def test_two_offsets_are_a_trapezoid():
    assert offsets.offsets_area_ft2(4, [5, 7]) == takeoff.trapezoid_area_ft2(5, 7, 4) == 24


@pytest.mark.parametrize("count", [2, 3, 4, 5, 8, 9])
def test_equal_offsets_are_a_rectangle(count):
    assert offsets.offsets_area_ft2(3, [6.0] * count) == pytest.approx(6 * 3 * (count - 1), rel=1e-14)
