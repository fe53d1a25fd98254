"""Properties, each with the rule that it proves."""

import datetime as dt
import math

import attrs
import pytest
from drawn_logs import logged
from drawn_plan import with_plan
from drawn_survey import surveyed
from engine_jobs import changed, one_area, surveyed_worked_job
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from sheetgen.engine.job import Job, compute, convert_job, inputs, padded
from sheetgen.engine.lists import BASES, LINEAR_KINDS, SET_UP_PER, SURFACES
from sheetgen.engine.records import (
    Area,
    Burdens,
    Equipment,
    Heading,
    HoursEntry,
    Layer,
    Line,
    Linear,
    MaterialsEntry,
    Product,
    Role,
    Task,
    ToppingSystem,
    Visit,
    Zone,
)

QUICK = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
DAY = dt.date(2025, 3, 18)

sizes = st.integers(1, 400).map(lambda n: n / 8)
shares = st.integers(0, 30).map(lambda n: n / 100)
zone_names = st.sampled_from(["Hall", "Yard", None])


@st.composite
def zones(draw, name):
    return Zone(
        name=name,
        surface=draw(st.sampled_from([*SURFACES, None])),
        system=draw(st.sampled_from(["A", "B", None])),
        fill=draw(st.sampled_from([None, 0.02, 1 / 32])),
        porosity=draw(st.sampled_from(["dense", "average", "open", None])),
    )


@st.composite
def areas(draw):
    shape = draw(st.sampled_from(["rectangle", "triangle", "circle", "half_circle", "ellipse", "steps", None]))
    return Area(
        zone=draw(zone_names),
        shape=shape,
        first=draw(sizes),
        first_in=draw(st.sampled_from([None, 6, 7.5])),
        second=draw(sizes),
        third=draw(sizes),
        how_many=draw(st.sampled_from([None, 1, 2, 5])),
    )


@st.composite
def tasks(draw, number):
    return Task(
        name=f"Task {number}",
        role=draw(st.sampled_from(["Finisher", "Helper"])),
        basis=draw(st.sampled_from(BASES)),
        set_up=draw(st.sampled_from([None, 0.25, 1])),
        set_up_per=draw(st.sampled_from([*SET_UP_PER, None])),
        rate=draw(sizes),
        wall=draw(st.sampled_from([None, 1.6])),
        step=draw(st.sampled_from([None, 2.5])),
        system=draw(st.sampled_from(["A", "B", None])),
        surface=draw(st.sampled_from([*SURFACES, None])),
        covers_area="yes" if number == 0 else None,
        zone=draw(zone_names),
        used=draw(st.sampled_from(["yes", "no", None])),
    )


@st.composite
def sound_jobs(draw):
    """A job in US units without a fault in it."""
    line = st.builds(
        Line,
        product=st.sampled_from(["Tape", "Primer"]),
        basis=st.sampled_from(BASES),
        dose=sizes,
        per=st.none() | sizes,
        waste=st.none() | shares,
        system=st.sampled_from(["A", "B", None]),
        surface=st.sampled_from([*SURFACES, None]),
        zone=zone_names,
    )
    layer = st.builds(
        Layer,
        system=st.sampled_from(["A", "B"]),
        kind=st.sampled_from(["primer_first", "primer_more", "colour", "sealer"]),
        product=st.just("Primer"),
        coverage=st.integers(50, 400),
        coats=st.sampled_from([None, 1, 2]),
        waste=st.none() | shares,
    )
    linear = st.builds(Linear, zone=zone_names, kind=st.sampled_from(LINEAR_KINDS), length=sizes, length_in=st.none() | sizes)
    job = Job(
        job=Heading(name="Drawn", status=draw(st.sampled_from(["bid", "done"]))),
        zones=(draw(zones("Hall")), draw(zones("Yard"))),
        # One area for each zone, so that none is bare.
        areas=(Area(first=10, second=12), Area(zone="Yard", first=5, second_in=90), *draw(st.lists(areas(), max_size=6))),
        linear=tuple(draw(st.lists(linear, max_size=4))),
        systems=(
            ToppingSystem(name="A", product="Topping", yield_=0.45, thickness=0.125, thickness_most=0.25),
            ToppingSystem(name="B", product="Topping", yield_=0.42, thickness=0.0625, coats=2),
        ),
        layers=tuple(draw(st.lists(layer, max_size=4))),
        products=(
            Product(name="Topping", size=1, price=38.5, on_hand=draw(st.sampled_from([None, 2]))),
            Product(name="Tape", size=180, price=7.25),
            Product(name="Primer", size=5, price=131.1),
        ),
        lines=tuple(draw(st.lists(line, max_size=4))),
        roles=(Role(name="Finisher", wage=32), Role(name="Helper", wage=24)),
        tasks=tuple(draw(tasks(number)) for number in range(draw(st.integers(1, 4)))),
        equipment=(Equipment(name="Grinder", day_rate=95, days=2),),
        hours_log=(
            HoursEntry(date=DAY, task="Task 0", zone="Hall", hours_each=3, wage=33, area_done=draw(sizes)),
            HoursEntry(date=DAY, task="Task 0", zone="Yard", people=2, hours_each=1.5),
        ),
        materials_log=(MaterialsEntry(date=DAY, product="Topping", taken=9, opened=8, part_left=0.25, amount=333.33),),
    )
    return draw(with_plan(draw(surveyed(draw(logged(job))))))


def close(one, two):
    """Tell whether two values agree as the books compare them."""
    if isinstance(one, tuple):
        return len(one) == len(two) and all(map(close, one, two))
    if isinstance(one, float) and isinstance(two, float):
        return abs(one - two) <= 1e-9 * max(abs(one), abs(two)) + 1e-9
    return one == two


def cells_of(values, name):
    value = values[name]
    return tuple(value.values()) if isinstance(value, dict) else value


def total(job, name="price.total"):
    return compute(job).scalar(name, "accepted")


@QUICK
@given(sound_jobs())
def test_drawn_jobs_are_sound(job):
    """The properties below would prove nothing of jobs without a price."""
    values = compute(job)

    assert values.scalar("price.total", "accepted") is not None
    assert values.scalar("steps.price") == 0


@QUICK
@given(sound_jobs())
def test_unit_system_does_not_change_any_value(job):
    """Unit system does not change cost: style, habits. Nor anything else, once shown in one system again."""
    us, metric = compute(job), compute(convert_job(job, "metric"))

    for name in us:
        assert close(cells_of(us, name), cells_of(metric, name)), name


@QUICK
@given(sound_jobs(), st.randoms(use_true_random=False))
def test_row_order_does_not_change_totals(job, dice):
    """Row order does not change totals: style, habits. Not by a bit."""
    rows = list(job.areas)
    dice.shuffle(rows)
    before, after = compute(job), compute(attrs.evolve(job, areas=tuple(rows)))

    assert after.scalar("measured.area") == before.scalar("measured.area")
    assert after.column("zones.area") == before.column("zones.area")
    for name in ("stock.cost", "work.hours", "work.cost", "price.total"):
        assert after.scalar(name, "accepted") == before.scalar(name, "accepted")


def at_one_wage(job):
    """Return the job with one wage for all, and as many people on its pours whatever their size."""
    return attrs.evolve(job, roles=tuple(attrs.evolve(role, wage=30) for role in job.roles), crew=attrs.evolve(job.crew, people_pour=3))


@QUICK
@given(sound_jobs().map(at_one_wage), st.integers(0, 7))
def test_doubling_an_area_never_lowers_the_price(job, which):
    """Doubling an area never lowers the price: style, habits. It wants one wage, a difficulty of 1 or more, and the same
    people on the pours: what is idle is paid at the mean wage of the tasks, which cheap hours lower."""
    at = which % len(job.areas)
    area = job.areas[at]
    twice = attrs.evolve(area, how_many=2 * (area.how_many or 1))
    more = attrs.evolve(job, areas=(*job.areas[:at], twice, *job.areas[at + 1 :]))

    assert total(more) >= total(job)


def test_doubling_an_area_may_lower_the_price_where_wages_differ():
    """One visit of 10 h. An hour at 40 and one at 10 for the area: 50, and 8 h idle at 25, together 250. Twice the area
    is another hour at 10: 60, and 7 h idle at 20, together 200."""
    job = one_area(
        burdens=Burdens(payroll_taxes=0, compensation=0, liability=0),
        roles=(Role(name="Finisher", wage=40), Role(name="Helper", wage=10)),
        tasks=(Task(name="Once", role="Finisher", basis="once", rate=1), Task(name="Grind", role="Helper", basis="area", rate=100)),
        visits=(Visit(people=1, hours=10),),
    )

    assert total(job, "work.cost") == 250
    assert total(changed(job, "areas", 0, how_many=2), "work.cost") == 200


@QUICK
@given(sound_jobs(), st.integers(0, 1))
def test_another_coat_never_lowers_bags(job, at):
    """mixed = A (k t + f)(1 + waste): more coats, more of it; trade, materials."""
    system = job.systems[at]
    thicker = attrs.evolve(system, coats=(system.coats or 1) + 1)
    more = attrs.evolve(job, systems=tuple(thicker if one is system else one for one in job.systems))
    before, after = (compute(one).column("topping.bags", "accepted") for one in (job, more))

    assert all(new >= old for old, new in zip(before, after, strict=True))


@QUICK
@given(sound_jobs(), shares, shares)
def test_more_waste_never_needs_less(job, waste, more):
    """Waste is a share of what is needed that is lost: trade, glossary."""
    little, much = (attrs.evolve(job, takeoff=attrs.evolve(job.takeoff, waste=share)) for share in (waste, waste + more))
    pairs = zip(compute(little).column("needs.need", "accepted"), compute(much).column("needs.need", "accepted"), strict=True)

    assert all(much_needed >= needed for needed, much_needed in pairs)
    assert total(at_one_wage(much)) >= total(at_one_wage(little))


@QUICK
@given(sound_jobs())
def test_names_match_whatever_case_and_spaces(job):
    """Names are matched after trim and case-fold: design, the compiler."""
    shouted = attrs.evolve(
        job,
        areas=tuple(attrs.evolve(area, zone=area.zone and f"  {area.zone.upper()} ") for area in job.areas),
        tasks=tuple(attrs.evolve(task, role=f"{task.role.upper()}  ") for task in job.tasks),
    )
    before, after = compute(job), compute(shouted)

    assert all(close(cells_of(before, name), cells_of(after, name)) for name in before)


@QUICK
@given(sound_jobs())
def test_blank_rows_change_nothing(job):
    """Blank rows stay blank, and no total takes them for rows: design, the compiler."""
    rows = {"areas": 12, "linear": 6, "lines": 8, "layers": 8, "tasks": 9, "products": 5, "hours_log": 9, "visits": 30}
    rows |= {"materials_log": 8, "costs_log": 7, "change_orders": 4, "bills": 8, "weather_log": 5, "accounts": 8}
    rows |= {"readings": 12, "joints": 6, "levels": 6, "slab": 28, "weather": 2}
    before, after = compute(job), compute(padded(job, rows))

    for name in before:
        one, two = before[name], after[name]
        if isinstance(one, dict):
            one, two = one["accepted"], two["accepted"]
        if name.startswith("pour_tasks."):  # a pour with all tasks, then the next
            two = tuple(cell for at, cell in enumerate(two) if at % rows["tasks"] < len(job.tasks))
        assert close(one, two[: len(one)] if isinstance(one, tuple) else two), name


@QUICK
@given(sound_jobs(), st.integers(1, 40).map(lambda n: n / 4))
def test_difficulty_scales_task_hours(job, difficulty):
    """hours = difficulty · (set-up + Σ basis · multiplier / rate); set-up per visit is not multiplied: trade, labour."""
    harder = attrs.evolve(job, effort=attrs.evolve(job.effort, difficulty=difficulty))
    own, of_harder = (compute(one).column("labour.own_hours", "accepted") for one in (job, harder))

    assert of_harder == pytest.approx(tuple(difficulty * hours for hours in own), rel=1e-12)


@QUICK
@given(sound_jobs())
def test_every_hour_is_paid_once(job):
    """Task hours + waiting + idle = paid hours, where idle is not below 0: trade, labour."""
    values = compute(job)
    tasks, waiting, idle, paid = (values.scalar(f"work.{name}", "accepted") for name in ("hours", "waiting_hours", "idle_hours", "paid_hours"))

    assert paid == pytest.approx(max(values.scalar("paid.hours"), tasks + waiting), rel=1e-12)
    assert idle == pytest.approx(paid - tasks - waiting, rel=1e-9, abs=1e-6)


@QUICK
@given(sound_jobs())
def test_packages_hold_the_need_and_not_one_more(job):
    """packages = up(need / size): trade, materials."""
    values = compute(job)
    for product, need, packages in zip(
        job.products, values.column("needs.need", "accepted"), values.column("needs.packages", "accepted"), strict=True
    ):
        assert packages * product.size >= need - 1e-6 * product.size
        assert (packages - 1) * product.size < need + 1e-9 or packages == 0


@QUICK
@given(sound_jobs())
def test_profit_asked_is_the_policy_s(job):
    """net = cost / (1 - margin): trade, price; to the cent."""
    values = compute(job)
    cost, asked = (values.scalar(f"price.{name}", "accepted") for name in ("cost", "asked"))

    assert asked == pytest.approx(cost / (1 - job.policy.margin), abs=0.00501)
    assert values.scalar("price.net", "accepted") >= asked


def filled_inputs():
    """Every input of the worked job that is filled, with survey and logs: block, row or None, attribute."""
    job = surveyed_worked_job()
    for block in attrs.fields(Job):
        held = getattr(job, block.name)
        if isinstance(held, str):
            continue
        records = enumerate(held) if isinstance(held, tuple) else [(None, held)]
        for row, record in records:
            for one in attrs.fields(type(record)):
                if getattr(record, one.name) is not None:
                    yield block.name, row, one.name


def broken(values):
    """Return the names of figures that are neither a number nor text nor missing."""
    found = []
    for name in values:
        cells = cells_of(values, name)
        for cell in cells if isinstance(cells, tuple) else (cells,):
            one = cell if isinstance(cell, tuple) else (cell,)
            found += [name for x in one if not (x is None or isinstance(x, str) or math.isfinite(x))]
    return found


# What of the crew no figure of the worked job's price needs: its visits are typed, and its pours say when they open.
NOT_OF_THE_PRICE = (
    "ribbon_width", "opens", "latest", "part_bags", "border_minutes", "start_date", "chosen_pour", "people_prepare", "people_seal",
    "people_pour", "day_hours", "day_limit", "overtime_rate",
)  # fmt: skip
# A blank that stands for something, or for nothing in the price: without it there is still a price.
HAS_A_MEANING_WHEN_BLANK = {
    # The worked job's contingency is a share: its price does not ask how far hours may go.
    *(name for name in inputs() if name.split(".")[0] in {"pours", "visits", "day", "day_notes", "uncertainty"}),
    *(f"crew.{name}" for name in NOT_OF_THE_PRICE),
    *("tasks.stage", "tasks.visit", "equipment.visit", "costs.trips"),
    *("job.number", "job.name", "job.status", "job.bid_date", "job.sent_date", "job.decided_date", "job.finished_date", "areas.label", "areas.sign", "areas.how_many"),
    *("zones.surface", "zones.place", "zones.fill", "zones.porosity", "zones.system"),
    *("areas.zone", "areas.shape", "areas.first", "areas.first_in", "linear.label", "linear.zone", "linear.kind"),
    *("systems.name", "systems.grade", "systems.coats", "layers.coats", "layers.waste", "products.unit", "products.on_hand"),
    *("lines.name", "lines.per", "lines.waste", "lines.zone", "tasks.set_up", "tasks.set_up_per", "tasks.floor", "tasks.step"),
    *("tasks.system", "tasks.covers_area", "equipment.name", "equipment.days", "policy.markup", "policy.overhead_hour"),
}
# What is only written to the accounts, and what is read only once the job runs.
AFTER_THE_BID = {
    *(name for name in inputs() if name.split(".")[0] in {"accounts", "terms", "change_orders", "bills", "progress"}),
    *("products.account", "products.tax_code", "policy.tax_code"),
}
# What the customer is offered, and what is bought, follows the price of the accepted options.
ONLY_OF_THE_OFFER = {
    *(name for name in inputs() if name.split(".")[0] in {"what_if", "contract", "payments", "proposal", "firm", "texts", "buying"}),
    *("products.mass", "products.per_pallet"),
}
# Slab, data sheet and weather stop no figure of the price: trade, survey.
ONLY_OF_THE_SURVEY = {
    *(name for name in inputs() if name.split(".")[0] in {"survey", "readings", "joints", "levels", "slab", "weather"}),
    *(f"zones.{one.name}" for one in attrs.fields(Zone) if one.name not in {"name", "system", "thickness", "fill", "porosity"}),
    *(f"systems.{one.name}" for one in attrs.fields(ToppingSystem) if one.name not in {"name", "product", "yield_", "thickness", "coats"}),
    *("layers.wait", "layers.window", "layers.q", "tasks.repair", "tasks.caution"),
}


@pytest.mark.parametrize("where", list(filled_inputs()), ids=lambda where: ".".join(map(str, where)))
def test_missing_is_never_zero(where):
    """Blank any one input of a full job: what depends on it is missing; nothing is an error."""
    block, row, name = where
    values = compute(changed(surveyed_worked_job(), block, row, **{name: None}))

    assert not broken(values)
    full = f"{block}.{name.rstrip('_')}"
    if full not in HAS_A_MEANING_WHEN_BLANK | ONLY_OF_THE_SURVEY | ONLY_OF_THE_OFFER | AFTER_THE_BID and not block.endswith("_log"):
        assert values.scalar("price.total", "accepted") is None


odd = st.sampled_from([-1e12, -7.0, -1.0, -1e-7, 0.0, 1e-12, 1e-7, 0.5, 1.0, 3.0, 1e12])


@settings(max_examples=250, deadline=None)
@example(("takeoff", None, "waste"), -1.0, "us")
@example(("pours", 0, "day"), 1e12, "us")
@example(("crew", None, "trowel"), 1e12, "us")
@example(("crew", None, "ribbon_width"), 0.0, "us")
@example(("crew", None, "mixers"), 1e12, "us")
@example(("pours", 0, "bay_width"), -1e-7, "us")
@example(("policy", None, "round_to"), -7.0, "us")
@example(("policy", None, "margin"), 1.0, "us")
@example(("systems", 0, "coats"), 0.0, "us")
@example(("tasks", 0, "rate"), 0.0, "metric")
@example(("systems", 0, "reference_temperature"), -1e12, "us")
@example(("systems", 0, "q_hot"), 1e12, "us")
@example(("systems", 0, "q_cold"), -1e12, "metric")
@example(("layers", 0, "q"), 1e12, "us")
@example(("takeoff", None, "waste"), -1e12, "us")
@example(("uncertainty", None, "job_wide"), 1e12, "us")
@example(("uncertainty", None, "job_wide"), -7.0, "us")
@example(("uncertainty", None, "task_spread"), 1e12, "metric")
@example(("uncertainty", None, "confidence"), 3.0, "us")
@example(("uncertainty", None, "confidence"), 0.0, "us")
@example(("survey", None, "dish_area"), -1.0, "us")
@example(("readings", 0, "hours"), 0.0, "us")
@example(("weather", 1, "air"), 1e12, "metric")
@example(("weather", 1, "humidity"), 0.0, "us")
@given(st.sampled_from(list(filled_inputs())), odd, st.sampled_from(["us", "metric"]))
def test_odd_input_never_breaks_the_book(where, number, system):
    """Pasting passes validation: whatever number stands in a cell, every figure is a number or missing."""
    block, row, name = where
    if inputs()[f"{block}.{name.rstrip('_')}"].unit in {"text", "code", "date"}:
        return
    job = changed(surveyed_worked_job(), block, row, **{name: number})

    assert not broken(compute(convert_job(job, system)).in_job_system())


@given(st.sampled_from(list(filled_inputs())), st.sampled_from(["=1+1", "*", "?", "~", "  ", "no such thing", "é"]))
@settings(max_examples=80, deadline=None)
def test_odd_words_never_break_the_book(where, word):
    """What a person typed is data: a name that begins with = stays a name, an unknown code is a fault."""
    block, row, name = where
    if inputs()[f"{block}.{name.rstrip('_')}"].unit not in {"text", "code"}:
        return

    assert not broken(compute(changed(surveyed_worked_job(), block, row, **{name: word})))
