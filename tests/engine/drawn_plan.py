"""Pour plans that Hypothesis draws for a sound job: they leave it sound, with every hand paid."""

import attrs
from hypothesis import strategies as st

from sheetgen.engine.records import Crew, Pour, Task, Visit

COUNTS = st.sampled_from([1.0, 1.0, 2.0, 3.0])
MINUTES = st.integers(4, 60).map(lambda n: n / 4)
GROUPINGS = st.sampled_from(["separate", "mix_place", "all"])
PACES = st.sampled_from(["held", "fast"])


def or_none(strategy):
    return st.none() | strategy


crews = st.builds(
    Crew,
    mix=MINUTES,
    place=MINUTES,
    trowel=MINUTES,
    second=MINUTES,
    mixers=COUNTS,
    placers=COUNTS,
    trowellers=COUNTS,
    grouping=GROUPINGS,
    pace=PACES,
    opens=st.sampled_from([8 / 24, 0.3]),
    part_bags=st.sampled_from([0, 1]),
    least_paid=st.sampled_from([0, 4]),
    people_pour=or_none(COUNTS),
    day_limit=or_none(st.just(8)),
    first_weekday=st.integers(1, 7).map(float),
)
visits = st.builds(
    Visit,
    kind=st.sampled_from(["prepare", "pour", "seal"]),
    day=or_none(st.integers(1, 9).map(float)),
    people=COUNTS,
    hours=or_none(st.integers(2, 20).map(lambda n: n / 2)),
    overnight=st.sampled_from(["yes", "no", None]),
    kept=or_none(st.integers(0, 2).map(float)),
)


@st.composite
def pours(draw, job):
    """Every coat of every zone once, one after the other, or None typed."""
    if draw(st.booleans()):
        return ()
    coats = [(zone.name, coat) for zone in job.zones for coat in range(1, 1 + (2 if zone.system == "B" else 1))]
    return tuple(
        Pour(
            zone=zone,
            coat=coat,
            opens=draw(or_none(st.sampled_from([0.25, 0.5]))),
            temperature=draw(or_none(st.integers(50, 100).map(float))),
            bay_width=draw(or_none(st.integers(3, 20).map(float))),
            mix=draw(or_none(MINUTES)),
            trowellers=draw(or_none(COUNTS)),
            grouping=draw(or_none(GROUPINGS)),
            pace=draw(or_none(PACES)),
        )
        for zone, coat in coats
    )


@st.composite
def with_plan(draw, job):
    """Return the job with a drawn plan: batches large enough for the rows, and a task for the wage of every stage."""
    again = {"second_earliest": 45, "reference_temperature": 70, "q_hot": 6500, "q_cold": 4500}
    seconds = st.sampled_from([{"second_earliest": None}, {"second_earliest": 0}, again])
    systems = tuple(attrs.evolve(system, bags_per_batch=40, **draw(seconds)) for system in job.systems)
    crew, typed = draw(crews), draw(st.lists(visits, max_size=4))
    if not typed:
        crew = attrs.evolve(crew, day_hours=1e9)  # so that the rows of visits are enough, whatever was drawn
    stages = (
        Task(name="Mix", role="Helper", basis="batches", rate=12, set_up=0.5, set_up_per="pour", stage="mix"),
        Task(name="Lay", role="Finisher", basis="coat_area", rate=500, step=2.5, stage=draw(st.sampled_from(["place", "first_trowel"]))),
        Task(name="Clean up", role="Helper", set_up=0.25, set_up_per="visit"),
    )
    return attrs.evolve(
        job,
        systems=systems,
        crew=crew,
        pours=draw(pours(job)),
        visits=tuple(typed),
        tasks=(*job.tasks, *stages),
    )
