"""Weather of both places, the times that follow from it, and the waits of the layers."""

import attrs
import pytest
from engine_jobs import changed, one_area, with_more
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetgen.engine.climate import dew_point_f, evaporation_lb_per_ft2_h
from sheetgen.engine.heat import heat_index_f, heat_no
from sheetgen.engine.job import Job, compute, convert_job
from sheetgen.engine.records import Layer, Survey, Weather, Zone
from sheetgen.engine.temperature import time_factor

MILD = Weather(air=70, humidity=50, wind=5)


def weather(inside=None, outside=None, **more):
    return compute(Job(weather=(inside or Weather(), outside or Weather()), **more))


def figure(name, typed, place=1):
    values = weather(**{"inside" if place == 0 else "outside": typed})
    return values.column(f"weather.{name}")[place]


class TestDefaults:
    def test_inside_there_is_no_wind(self):
        """Wind at 20 in above the surface, inside 0: trade, survey."""
        values = weather(Weather(air=70, humidity=50), Weather(air=70, humidity=50))

        assert values.column("weather.wind_used") == (0, None)
        assert values.column("weather.evaporation")[1] is None
        assert values.column("weather.evaporation")[0] == pytest.approx(evaporation_lb_per_ft2_h(70, 70, 50, 0))
        assert values.column("weather.warnings") == (0, 0)

    @pytest.mark.parametrize(
        ("typed", "slab", "mix"),
        [
            (Weather(air=70), 70, 70),
            (Weather(air=70, slab=60), 60, 60),
            (Weather(air=70, mix=80), 70, 80),
            (Weather(air=70, slab=60, mix=80), 60, 80),
            (Weather(), None, None),
        ],
    )
    def test_slab_as_the_air_and_mix_as_the_slab(self, typed, slab, mix):
        assert (figure("slab_used", typed), figure("mix_used", typed)) == (slab, mix)

    def test_nothing_is_typed(self):
        values = weather()

        assert values.column("weather.warnings") == (0, 0)
        assert values.column("weather.range_fault") == (0, 0)
        assert values.column("weather.wind_used") == (0, None)
        for name in ("slab_used", "mix_used", "evaporation", "evaporation_no", "dew_point", "dew_gap", "dew_no", "heat_index", "heat_no"):
            assert values.column(f"weather.{name}") == (None, None)


class TestFigures:
    def test_a_hot_windy_day(self):
        """87 °F mix, 80 °F, 50 %, 12 mph: 0.24 lb/ft²/h, published; real rates lie within 40 %."""
        values = weather(outside=Weather(air=80, humidity=50, wind=12, mix=87))

        assert values.column("weather.evaporation")[1] == pytest.approx(0.24, abs=0.005)
        assert values.column("weather.evaporation_low")[1] == pytest.approx(0.6 * values.column("weather.evaporation")[1])
        assert values.column("weather.evaporation_high")[1] == pytest.approx(1.4 * values.column("weather.evaporation")[1])
        assert values.column("weather.evaporation_no")[1] == 3
        assert values.column("weather.heat_no")[1] == 2
        assert values.column("weather.warnings")[1] == 1
        assert values.scalar("checks.weather") == 1

    def test_condensing(self):
        """A negative result is 0 and "condensing": published."""
        typed = Weather(air=80, humidity=90, wind=5, slab=60)

        assert figure("evaporation", typed) == figure("evaporation_low", typed) == 0
        assert figure("evaporation_no", typed) == 4
        assert figure("dew_no", typed) == 2
        assert figure("dew_gap", typed) == pytest.approx(60 - dew_point_f(80, 90))
        assert figure("warnings", typed) == 2

    def test_dangerous_heat(self):
        typed = Weather(air=100, humidity=40, wind=0)

        assert figure("heat_index", typed) == pytest.approx(109, abs=1)
        assert figure("heat_no", typed) == 4

    @pytest.mark.parametrize(("air", "humidity"), [(80, 1), (112, 1), (95, 12.99), (80, 86), (87, 100), (79.0, 80)])
    def test_where_dry_and_damp_air_begin_to_count_is_the_same_in_metric(self, air, humidity):
        """80 °F is 26.666… °C, which is 80 °F but for noise: from there on the adjustments of the NWS hold, in either unit."""
        job = Job(weather=(Weather(air=air, humidity=humidity, wind=0),))
        here, there = compute(job), compute(convert_job(job, "metric"))

        for name in ("heat_dry", "heat_damp", "heat_f"):
            assert there.column(f"weather.{name}")[0] == pytest.approx(here.column(f"weather.{name}")[0], abs=1e-5), name

    @pytest.mark.parametrize(("slab_c", "state"), [(13.0, 1), (12.9, 2)])
    def test_three_degrees_above_the_dew_point(self, slab_c, state):
        """Dew point 10 °C in air of 20 °C at 52.52 %: 13.0 passes, 12.9 fails; published."""
        job = Job(system="metric", weather=(Weather(air=20, humidity=52.5224541378 - 0.02, slab=slab_c),))

        assert compute(job).column("weather.dew_no")[0] == state

    def test_without_a_margin(self):
        values = weather(MILD, MILD, survey=Survey(dew_margin=None))

        assert values.column("weather.dew_no") == (None, None)
        assert values.column("weather.dew_gap")[0] is not None

    def test_a_gap_is_a_step(self):
        """19.5 °F is 10.8 °C, not -6.9 °C."""
        here = compute(convert_job(Job(weather=(MILD,)), "metric")).in_job_system()
        gap = 70 - dew_point_f(70, 50)

        assert here.column("weather.dew_gap")[0] == pytest.approx(gap / 1.8, rel=1e-9)


class TestRange:
    @pytest.mark.parametrize(
        ("name", "least", "most"),
        [("air", 20, 130), ("humidity", 1, 100), ("wind", 0, 60), ("slab", 20, 160), ("mix", 30, 130)],
    )
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_bounds(self, name, least, most, system):
        """A value that cannot be leaves no figure of its place, and is looked at."""
        for value, outside in ((least, 0), (most, 0), (least - 0.1, 1), (most + 0.1, 1)):
            job = convert_job(Job(weather=(MILD, attrs.evolve(MILD, **{name: value}))), system)
            values = compute(job)

            assert values.column("weather.range_fault") == (0, outside)
            assert (values.column("weather.wind_used")[1] is None) == bool(outside)
            assert (values.column("weather.heat_no")[1] is None) == bool(outside)
            assert values.column("weather.heat_no")[0] is not None
            assert values.scalar("checks.weather") >= outside

    def test_typed_in_metric_to_six_digits(self):
        """54.444444 °C is 130 °F but for noise, and is let in; so is what is computed with it."""
        values = compute(Job(system="metric", weather=(Weather(air=54.4444445, humidity=10),)))

        assert values.column("weather.range_fault")[0] == 0
        assert values.column("weather.heat_index")[0] is not None


SYSTEM = {
    "working_time": 20,
    "open_time": 12,
    "second_earliest": 60,
    "second_latest": 90,
    "trowel_limit": 3,
    "reference_temperature": 70,
    "q_hot": 6500,
    "q_cold": 4500,
}
NAMES = ("working_time", "open_time", "second_earliest", "second_latest")


def warm_job(air, **system):
    job = changed(one_area(weather=(Weather(air=air),)), "systems", 0, **{**SYSTEM, **system})
    return attrs.evolve(job, weather=(Weather(air=air),))


def times(job, name):
    return compute(job).column(f"times.{name}")[0]


class TestTimes:
    @pytest.mark.parametrize(("air", "q"), [(85, 6500), (95, 6500), (55, 4500), (45, 4500)])
    def test_scaled(self, air, q):
        factor = time_factor(air, 70, q)

        assert times(warm_job(air), "factor") == pytest.approx(factor)
        for name in NAMES:
            assert times(warm_job(air), name) == pytest.approx(SYSTEM[name] * factor)

    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_exactly_one_at_the_reference(self, system):
        job = convert_job(warm_job(70), system)

        assert times(job, "factor") == 1
        assert times(job, "open_time") == 12

    def test_the_trowel_s_limit_is_not_scaled(self):
        """The wait to the first trowel: limit at the day's temperature, not scaled; trade, the pour."""
        assert times(warm_job(95), "trowel_limit") == 3

    def test_the_mix_decides(self):
        """A mix in the sun uses its own temperature."""
        job = attrs.evolve(warm_job(70), weather=(Weather(air=70, mix=85),))

        assert times(job, "temperature") == 85
        assert times(job, "factor") == pytest.approx(time_factor(85, 70, 6500))

    def test_the_sun_shortens_the_open_time_only(self):
        job = changed(attrs.evolve(warm_job(70), weather=(Weather(air=70, sun="yes"),)), "systems", 0, sun_factor=0.6)

        assert times(job, "open_time") == pytest.approx(7.2)
        assert times(job, "working_time") == 20
        assert times(job, "second_earliest") == 60
        assert times(changed(job, "weather", 0, sun="no"), "open_time") == 12
        assert times(changed(job, "systems", 0, sun_factor=None), "open_time") == 12

    @pytest.mark.parametrize("missing", ["reference_temperature", "q_hot"])
    def test_without_a_number_there_is_no_factor(self, missing):
        job = warm_job(85, **{missing: None})

        assert times(job, "factor") is None
        assert times(job, "working_time") is None
        assert times(job, "trowel_limit") == 3
        assert times(job, "temperature") == 85

    def test_the_other_constant_is_not_wanted(self):
        assert times(warm_job(85, q_cold=None), "factor") is not None
        assert times(warm_job(60, q_hot=None), "factor") is not None

    def test_without_weather(self):
        assert times(attrs.evolve(warm_job(70), weather=()), "factor") is None

    def test_each_zone_has_its_place(self):
        job = with_more(warm_job(70), "zones", Zone(name="Patio", place="outside"))
        values = compute(attrs.evolve(job, weather=(Weather(air=70), Weather(air=85))))

        assert values.column("times.temperature") == (70, 85)

    @pytest.mark.parametrize("odd", [{"reference_temperature": -500}, {"reference_temperature": -459.67}, {"q_hot": -1e12}])
    def test_odd_numbers_give_none(self, odd):
        """Pasting passes validation; there is no such temperature, and no such factor."""
        assert times(warm_job(85, **odd), "factor") is None


class TestWaits:
    def waits(self, layer, air=85, **system):
        job = with_more(warm_job(air, **system), "layers", attrs.evolve(layer, system="A"))
        values = compute(attrs.evolve(job, weather=(Weather(air=air), Weather(air=air, slab=110))))
        return tuple(values.column(f"layers.{name}")[0] for name in ("wait_inside", "wait_outside", "window_inside", "window_outside"))

    def test_not_scaled_without_a_q(self):
        """Starter: not scaled, as the data sheet prints them."""
        assert self.waits(Layer(wait=2, window=24)) == (2, 2, 24, 24)

    def test_scaled_by_the_slab_of_each_place(self):
        inside, outside = time_factor(85, 70, 5000), time_factor(110, 70, 5000)

        assert self.waits(Layer(wait=2, window=24, q=5000)) == pytest.approx((2 * inside, 2 * outside, 24 * inside, 24 * outside))

    def test_missing_temperatures(self):
        assert self.waits(Layer(wait=2, window=24, q=5000), reference_temperature=None) == (None,) * 4
        assert self.waits(Layer(wait=2), reference_temperature=None) == (2, 2, None, None)

    def test_a_blank_row(self):
        assert self.waits(Layer()) == (None,) * 4 or compute(Job(layers=(Layer(),))).column("layers.wait_inside") == (None,)


QUICK = settings(max_examples=60, deadline=None)
airs = st.integers(20, 130)
percents = st.integers(1, 100)
winds = st.integers(0, 60)


@QUICK
@given(st.integers(20, 160), airs, percents, winds, winds)
def test_more_wind_never_lowers_evaporation(concrete, air, percent, wind, more):
    calm, windy = sorted((wind, more))

    assert evaporation_lb_per_ft2_h(concrete, air, percent, windy) >= evaporation_lb_per_ft2_h(concrete, air, percent, calm)


@QUICK
@given(airs, percents, winds, st.integers(20, 159))
def test_a_warmer_mix_and_drier_air_never_lower_evaporation(air, percent, wind, concrete):
    rate = evaporation_lb_per_ft2_h(concrete, air, percent, wind)

    assert evaporation_lb_per_ft2_h(concrete + 1, air, percent, wind) >= rate
    assert evaporation_lb_per_ft2_h(concrete, air, max(percent - 1, 1), wind) >= rate


@QUICK
@given(st.integers(-40, 150), st.integers(-40, 150), st.integers(30, 120), st.integers(0, 12000))
def test_colder_never_shortens_a_time(temperature, other, reference, q):
    """exp(Q (1/T - 1/T0)): trade, the pour."""
    cold, warm = sorted((temperature, other))

    assert time_factor(cold, reference, q) >= time_factor(warm, reference, q)


@QUICK
@given(st.integers(20, 129), st.integers(1, 12000), st.integers(1, 12000))
def test_colder_never_shortens_a_time_with_two_constants(air, q_hot, q_cold):
    """Nor across the reference temperature, where the constant changes."""
    warm, cold = (times(warm_job(at, q_hot=q_hot, q_cold=q_cold), "working_time") for at in (air + 1, air))

    assert cold >= warm


@QUICK
@given(airs, percents)
def test_dew_point_is_never_above_the_air(air, percent):
    assert dew_point_f(air, percent) <= air + 1e-9
    assert dew_point_f(air, max(percent - 1, 1)) <= dew_point_f(air, percent)


@QUICK
@given(st.integers(80, 105), st.integers(40, 99))
def test_moister_air_feels_hotter(air, percent):
    """Within the range that the regression was made for: 80 °F and 40 % on."""
    assert heat_index_f(air, percent + 1) >= heat_index_f(air, percent) - 0.05
    assert heat_no(heat_index_f(air, percent)) >= 2 or heat_index_f(air, percent) < 80
