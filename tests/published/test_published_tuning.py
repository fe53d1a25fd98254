"""Statistics of tuning and of risk: NIST Statistical Reference Datasets and textbooks.

Read: NIST StRD Michelso, SiRstv, Norris (certified values and data); Venables & Ripley, MASS (copper in wholemeal flour,
Huber's proposal 2); OpenStax, Introductory Statistics, section 8.2 (sensory rates). Efron & Morris, JASA 70 (1975): batting
averages of 1970, known from the paper. Fenton-Wilkinson and the two normals are arithmetic; the
sum of two lognormals was simulated.
"""

import numpy as np
import pytest

from sheetgen.engine import risk
from sheetgen.engine.tuning.conditions import line, parted
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.holm import chance
from sheetgen.engine.tuning.huber import huber
from sheetgen.engine.tuning.ranges import next_spread
from sheetgen.engine.tuning.shrink import between_tasks

FAR_OUT = 12.0


def one_group(rows):
    return Groups(np.zeros(len(rows), dtype=np.intp), 1)


# NIST StRD Michelso: speed of light less 299 000 km/s, in five series of twenty, [1000 km/s] when divided by 1000.
MICHELSO = """
850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960
960 940 960 940 880 800 850 880 900 840 830 790 810 880 880 830 800 790 760 800
880 880 880 860 720 720 620 860 970 950 880 910 850 870 840 840 850 840 840 840
890 810 810 820 800 770 760 740 750 760 910 920 890 860 880 720 840 850 850 780
890 840 780 810 760 810 790 810 820 850 870 870 810 740 810 940 950 800 810 870
"""
# NIST StRD SiRstv: resistivity of silicon, five readings by each of five instruments [Ω cm].
SIRSTV = """
196.3052 196.1240 196.1890 196.2569 196.3403 196.3042 196.3825 196.1669 196.3257 196.0422 196.1303 196.2005 196.2889
196.0343 196.1811 196.2795 196.1748 196.1494 196.1485 195.9885 196.2119 196.1051 196.1850 196.0052 196.2090
"""
# NIST StRD Norris: calibration of ozone monitors, y on x.
NORRIS = """
0.1 0.2  338.8 337.4  118.1 118.2  888.0 884.6  9.2 10.1  228.1 226.5  668.5 666.3  998.5 996.3  449.1 448.6  778.9 777.0
559.2 558.2  0.3 0.4  0.1 0.6  778.1 775.5  668.8 666.9  339.3 338.0  448.9 447.5  10.8 11.6  557.7 556.0  228.3 228.1
998.0 995.8  888.8 887.6  119.6 120.2  0.3 0.3  0.6 0.3  557.6 556.8  339.3 339.1  888.0 887.2  998.5 999.0  778.9 779.0
10.2 11.1  117.6 118.3  228.9 229.2  668.4 669.1  449.2 448.9  0.2 0.5
"""
COPPER = """
2.20 2.20 2.4 2.4 2.5 2.7 2.8 2.9 3.03 3.03 3.10 3.37 3.4 3.4 3.4 3.5 3.6 3.7 3.7 3.7 3.7 3.77 5.28 28.95
"""
HITS = (18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7)
SENSORY = (8.6, 9.4, 7.9, 6.8, 8.3, 7.3, 9.2, 9.6, 8.7, 11.4, 10.3, 5.4, 8.1, 5.5, 6.9)


def numbers(text):
    return np.array(text.split(), dtype=np.float64)


def test_michelso():
    """Certified mean 299.8524 and standard deviation 0.0790105478190518: Huber's proposal far out, where nothing is drawn in."""
    rows = 299 + numbers(MICHELSO) / 1000
    found = huber(rows, one_group(rows), bend=FAR_OUT)

    assert found.size == [100]
    assert found.centre[0] == pytest.approx(299.8524, rel=1e-12)
    assert found.spread[0] == pytest.approx(0.0790105478190518, rel=1e-9)


def test_sirstv():
    """Certified mean squares 0.0127865654 and 0.010831828, F 1.18046237440255."""
    found = parted(Groups(np.repeat(np.arange(5), 5), 5), numbers(SIRSTV))

    assert found.between == pytest.approx(0.0127865654, rel=1e-9)
    assert found.within == pytest.approx(0.010831828, rel=1e-9)
    assert found.ratio == pytest.approx(1.18046237440255, rel=1e-9)
    assert found.explained == pytest.approx(0.190999039051129, rel=1e-9)


def test_norris():
    """Certified slope 1.00211681802045, intercept -0.262323073774029, R² 0.999993745883712 of y on x."""
    y, x = numbers(NORRIS).reshape(-1, 2).T
    # NIST prints y first.
    found = line(x, y)

    assert found.slope == pytest.approx(1.00211681802045, rel=1e-10)
    assert found.intercept == pytest.approx(-0.262323073774029, rel=1e-8)
    assert found.explained == pytest.approx(0.999993745883712, rel=1e-12)


def test_copper():
    """Mean 4.2804 is carried away by one reading; Huber's proposal 2 with k = 1.5: 3.20549 and 0.67365, within 1e-4."""
    rows = numbers(COPPER)
    found = huber(rows, one_group(rows))

    assert rows.mean() == pytest.approx(4.2804, abs=5e-5)
    assert one_group(rows).median(rows) == [3.385]
    assert found.centre[0] == pytest.approx(3.20549, abs=1e-4)
    assert found.spread[0] == pytest.approx(0.67365, abs=1e-4)


def test_batting_averages():
    """Constant 0.212, first estimates .294 .289 .285, within 0.001.

    The paper draws towards the mean of 18 players and takes 18 - 3 for the number of them; trade draws towards zero, the
    present rate, and takes K. So deviations from the mean are drawn, and 15/18 of what is taken off counts.
    """
    average = np.array(HITS) / 45
    mean = average.mean()
    error = np.full(18, np.sqrt(mean * (1 - mean) / 45))
    between = between_tasks(average - mean, error) ** 2
    taken_off = error[0] ** 2 / (between + error[0] ** 2)
    constant = 1 - taken_off * 15 / 18

    assert constant == pytest.approx(0.212, abs=1e-3)
    assert mean + constant * (average[:3] - mean) == pytest.approx([0.294, 0.289, 0.285], abs=1e-3)


def test_a_negative_variance_component_is_zero():
    """Centres closer to zero than their errors: τ² is 0."""
    assert between_tasks(np.array([0.01, -0.02, 0.01]), np.full(3, 0.1)) == 0


def test_t_interval():
    """95 %: 7.3006 to 9.1527, within half of the last place; at its ends a difference comes by chance once in twenty."""
    rows = np.array(SENSORY)
    error = rows.std(ddof=1) / np.sqrt(len(rows))
    ends = np.array([7.30065, 9.15275])

    assert chance(rows.mean() - ends, np.full(2, error), np.full(2, 14.0)) == pytest.approx([0.05, 0.05], abs=2e-5)


def test_prediction_interval_of_a_normal_sample():
    """t₀.₉₀ with 14 degrees is 1.345, z₀.₉₀ 1.2816 (tables of any textbook): the next of 15 lies within 1.345 s √(1 + 1/15)."""
    wide = next_spread(np.array([1.0]), np.array([15**-0.5]), np.array([14.0]), 0.9)

    assert wide[0] * 1.281552 == pytest.approx(1.345 * (1 + 1 / 15) ** 0.5, abs=5e-4)


def sum_of_two():
    """Medians 110 and 100, σ 0.25 and 0.15, independent."""
    spreads = np.array([0.25, 0.15])
    parts = risk.lognormal(risk.mean_of_median(np.array([110.0, 100.0]), spreads), spreads)
    return risk.Uncertain(*(float(moment.sum()) for moment in (parts.mean, parts.variance, parts.third)))


def test_fenton_wilkinson():
    """μ 5.3574715, σ 0.1510767, mean 214.6231, sd 32.6105, P80 240.958: the lognormal with the mean and variance of the sum."""
    parts = sum_of_two()
    spread = np.log1p(parts.variance / parts.mean**2) ** 0.5
    middle = np.log(parts.mean) - spread**2 / 2

    assert parts.mean == pytest.approx(214.6231, abs=5e-5)
    assert parts.variance**0.5 == pytest.approx(32.6105, abs=5e-5)
    assert (middle, spread) == pytest.approx((5.3574715, 0.1510767), abs=5e-8)
    assert np.exp(middle + risk.z_of(0.8) * spread) == pytest.approx(240.958, rel=1e-4)


def test_the_sum_of_two_lognormals():
    """Simulated 240.39 at P80, within 0.1 %: with the skewness of the sum too, closer than 240.958 is."""
    assert risk.quantile(0.0, sum_of_two(), 0.0, 0.8) == pytest.approx(240.39, rel=1e-3)


def test_z():
    assert risk.z_of(0.80) == pytest.approx(0.8416212, abs=5e-8)


def test_quantiles_do_not_add():
    """Two independent N(100, 20): P80 of the sum is 223.80, not the sum of two P80, 233.66."""
    one = 100 + 20 * risk.z_of(0.80)

    assert 200 + 20 * 2**0.5 * risk.z_of(0.80) == pytest.approx(223.80, abs=5e-3)
    assert 2 * one == pytest.approx(233.66, abs=5e-3)
