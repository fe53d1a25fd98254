"""Surveys drawn for the properties: readings, joints, levels, decisions, weather, and data sheets."""

import datetime as dt
import math

import attrs
from hypothesis import strategies as st

from sheetgen.engine.lists import CRITERIA, DRYINGS, FINISHES, JOINT_KINDS, LEVEL_KINDS, MODES, TESTS
from sheetgen.engine.records import Joint, Layer, Level, Reading, SlabCheck, Weather

DAY = dt.date(2025, 3, 18)
answers = st.sampled_from(["yes", "no", None])
names = st.sampled_from(["Hall", "Yard", None])
small = st.integers(0, 24).map(lambda n: n / 16)
# What a reading of each test may be, on both sides of its limit.
RANGES = {"humidity": (50, 99), "mver": (1, 6), "plastic_sheet": (0, 1), "strength": (100, 400), "ph": (5, 13), "absorption": (5, 120)}


def or_none(strategy):
    return st.none() | strategy


@st.composite
def readings(draw):
    test = draw(st.sampled_from(TESTS))
    least, most = RANGES.get(test, (1, 9))
    by_weight = test == "mver" and draw(st.booleans())
    return Reading(
        zone=draw(names),
        test=test,
        value=None if by_weight else draw(st.integers(least, most)),
        grams=draw(st.integers(1, 9)) if by_weight else None,
        hours=draw(st.integers(58, 74)) if by_weight else None,
        mode=draw(st.sampled_from([*MODES, None])),
        valid_until=draw(st.sampled_from([None, DAY, dt.date(2020, 1, 1)])),
    )


joints = st.builds(
    Joint,
    zone=names,
    kind=st.sampled_from([*JOINT_KINDS, None]),
    length=st.integers(1, 60).map(float),
    length_in=or_none(st.integers(0, 11)),
    recut=answers,
)
levels = st.builds(Level, zone=names, kind=st.sampled_from([*LEVEL_KINDS, None]), now=small, need=or_none(small))
checks = st.builds(SlabCheck, reason=st.sampled_from([None, "seen"]), by=st.sampled_from([None, "owner"]), repair=answers)
weathers = st.builds(
    Weather,
    air=or_none(st.integers(15, 110)),
    humidity=or_none(st.integers(1, 100)),
    wind=or_none(st.integers(0, 30)),
    slab=or_none(st.integers(20, 120)),
    mix=or_none(st.integers(30, 100)),
    sun=answers,
)
endless = st.sampled_from([None, math.inf])


def limits(least, most):
    return endless | st.integers(least, most)


@st.composite
def data_sheets(draw):
    """Inputs of a system beyond what its price needs."""
    return {
        "grade": draw(st.sampled_from(["squeegee", "trowel", "self_levelling", None])),
        "bag_mass": draw(or_none(st.integers(30, 60))),
        "water_least": draw(or_none(st.integers(3, 6))),
        "water_most": draw(or_none(st.integers(3, 6))),
        "working_time": draw(or_none(st.integers(10, 40))),
        "open_time": draw(or_none(st.integers(5, 30))),
        "sun_factor": draw(st.sampled_from([None, 0.5, 0.75])),
        "second_earliest": draw(or_none(st.integers(30, 90))),
        "second_latest": draw(or_none(st.integers(30, 120))),
        "reference_temperature": draw(st.sampled_from([None, 70, 73.4])),
        "q_hot": draw(st.sampled_from([None, 6500])),
        "q_cold": draw(st.sampled_from([None, 4500])),
        "humidity_most": draw(limits(60, 95)),
        "mver_most": draw(limits(2, 8)),
        "ph_least": draw(limits(5, 9)),
        "ph_most": draw(limits(8, 12)),
        "strength_least": draw(limits(150, 250)),
        "profile_least": draw(limits(1, 5)),
        "profile_most": draw(limits(2, 7)),
        "temperature_least": draw(limits(40, 60)),
    }


slabs = st.fixed_dictionaries(
    {
        "finish": st.sampled_from([*FINISHES, None]),
        "concrete_age": or_none(st.integers(7, 90)),
        "slab_thickness": or_none(st.integers(4, 8)),
        "drying": st.sampled_from([*DRYINGS, None]),
        "hollow_area": or_none(st.integers(0, 9)),
        "moving_cracks": answers,
        "contaminated": answers,
        "doors": answers,
        "slab_temperature": or_none(st.integers(45, 95)),
        "place": st.sampled_from(["inside", "outside", None]),
    }
)


@st.composite
def surveyed(draw, job):
    """The same job with a survey; its repairs may be taken up by its tasks and lines."""

    def repaired(records):
        return tuple(attrs.evolve(one, repair=draw(st.sampled_from([None, None, "hollow", "cracks", "contamination"]))) for one in records)

    waits = st.builds(dict, wait=or_none(st.integers(1, 12)), window=or_none(st.integers(12, 48)), q=st.sampled_from([None, 5000]))
    return attrs.evolve(
        job,
        job=attrs.evolve(job.job, bid_date=DAY),
        zones=tuple(attrs.evolve(zone, **draw(slabs)) for zone in job.zones),
        systems=tuple(attrs.evolve(system, **draw(data_sheets())) for system in job.systems),
        layers=(*(attrs.evolve(layer, **draw(waits)) for layer in job.layers), Layer()),
        readings=tuple(draw(st.lists(readings(), max_size=8))),
        joints=tuple(draw(st.lists(joints, max_size=3))),
        levels=tuple(draw(st.lists(levels, max_size=3))),
        slab=tuple(draw(st.lists(checks, max_size=len(job.zones) * len(CRITERIA)))),
        weather=tuple(draw(st.lists(weathers, max_size=2))),
        lines=repaired(job.lines),
        tasks=repaired(job.tasks),
    )
