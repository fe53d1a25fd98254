"""Joints, cracks, doors and changes of level: each row matched, its first fault, and what it comes to."""

import pytest
from engine_jobs import changed, one_area

from sheetgen.engine.job import Job, compute, convert_job
from sheetgen.engine.records import Joint, Level, Linear


class TestJoints:
    @pytest.mark.parametrize(
        ("kind", "counts"),
        [
            (None, (20, 0, 0)),
            ("joint", (20, 0, 0)),
            ("construction", (20, 0, 0)),
            ("isolation", (20, 0, 0)),
            ("moving_crack", (20, 20, 20)),
            ("still_crack", (0, 20, 0)),
        ],
    )
    def test_what_it_counts_for(self, kind, counts):
        """A moving crack is honoured as a joint and treated as a crack; one that does not move is only filled."""
        values = compute(one_area(joints=(Joint(kind=kind, length=10, how_many=2),)))
        names = ("joint_length", "crack_length", "moving_length")

        assert tuple(values.column(f"joints.{name}")[0] for name in names) == counts
        assert values.column("joints.cut_length") == (0,)

    def test_into_the_takeoff(self):
        job = one_area(
            linear=(Linear(kind="crack", length=3), Linear(kind="joint", length=4), Linear(kind="edge", length=5)),
            joints=(Joint(length=10, length_in=6, recut="yes"), Joint(kind="moving_crack", length=2), Joint(kind="still_crack", length=1)),
        )
        values = compute(job)

        assert values.column("zones.joint") == (4 + 10.5 + 2,)
        assert values.column("zones.crack") == (3 + 2 + 1,)
        assert values.column("zones.saw_cut") == (10.5,)
        assert values.column("zones.edge") == (5,)
        assert values.scalar("measured.rows_with_fault") == 0

    @pytest.mark.parametrize(
        ("fault", "joint"),
        [
            (1, Joint(zone="Nowhere", length=3)),
            (2, Joint(kind="seam", length=3)),
            (3, Joint(label="x")),
            (3, Joint(length=0)),
            (6, Joint(length=3, how_many=1.5)),
            (0, Joint(length_in=3)),
        ],
    )
    def test_faults(self, fault, joint):
        values = compute(one_area(joints=(joint,)))

        assert values.column("joints.fault") == (fault,)
        assert values.scalar("checks.survey_rows") == (fault > 0)
        assert values.scalar("measured.rows_with_fault") == 0
        for name in ("joint", "crack", "saw_cut"):
            assert (values.column(f"zones.{name}")[0] is None) == (fault > 0)

    def test_no_inches_in_a_metric_job(self):
        with pytest.raises(ValueError, match="a metric job has no"):
            Job(system="metric", joints=(Joint(length_in=3),))


class TestLevels:
    """One coat of 1/8 in: what is beside it now changes by that."""

    @pytest.mark.parametrize(
        ("now", "after", "result", "ramp"),
        [
            (0.125, 0, 1, None),
            (0.375, 0.25, 1, None),
            (-0.125, 0.25, 1, None),
            (0.385, 0.26, 2, None),
            (-0.375, 0.5, 2, None),
            (0.635, 0.51, 3, 0.51),
        ],
    )
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_level_beside_it(self, now, after, result, ramp, system):
        """ADA 303: 1/4 in, 1/2 in; a ramp is 12 times as long as high."""
        values = compute(convert_job(one_area(levels=(Level(now=now),)), system))

        assert values.column("levels.after") == (pytest.approx(after, abs=1e-12),)
        assert values.column("levels.result_no") == (result,)
        assert values.column("levels.ramp") == (ramp if ramp is None else pytest.approx(ramp, rel=1e-12),)
        assert values.column("levels.to_mend") == (result > 1,)

    @pytest.mark.parametrize(
        ("now", "need", "after", "result"),
        [(0.5, None, 0.375, 1), (0.125, None, 0, 1), (0.1, None, -0.025, 4), (0.5, 0.375, 0.375, 1), (0.5, 0.4, 0.375, 4)],
    )
    def test_door(self, now, need, after, result):
        values = compute(one_area(levels=(Level(kind="door", now=now, need=need),)))

        assert values.column("levels.after") == (pytest.approx(after, abs=1e-12),)
        assert values.column("levels.result_no") == (result,)
        assert values.column("levels.ramp") == (None,)

    def test_fill_and_coats_raise_the_floor(self):
        job = changed(changed(one_area(levels=(Level(now=1),)), "zones", 0, fill=0.05), "systems", 0, coats=2)

        assert compute(job).column("zones.build") == (pytest.approx(0.3),)
        assert compute(job).column("levels.after") == (pytest.approx(0.7),)

    @pytest.mark.parametrize(
        ("fault", "level"),
        [(1, Level(zone="Nowhere", now=1)), (2, Level(kind="stair", now=1)), (3, Level(label="x"))],
    )
    def test_faults(self, fault, level):
        values = compute(one_area(levels=(level,)))

        assert values.column("levels.fault") == (fault,)
        assert {values.column(f"levels.{name}")[0] for name in ("after", "result_no", "ramp", "to_mend")} == {None}
        assert values.scalar("checks.survey_rows") == 1

    def test_without_a_thickness(self):
        values = compute(changed(one_area(levels=(Level(now=1),)), "systems", 0, thickness=None))

        assert values.column("levels.fault") == (0,)
        assert values.column("levels.result_no") == (None,)
