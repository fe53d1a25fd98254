"""Small jobs for the tests of the engine, and ways to change one thing in them."""

import datetime as dt

import attrs
from worked_job import worked_job

from sheetgen.engine.job import Job, compute, convert_job
from sheetgen.engine.lists import CRITERIA, TESTS
from sheetgen.engine.records import (
    Account,
    Area,
    Bill,
    ChangeOrder,
    CostEntry,
    Crew,
    Heading,
    HowFar,
    Joint,
    Level,
    PaymentTerms,
    Product,
    Reading,
    SlabCheck,
    ToppingSystem,
    Weather,
    WeatherEntry,
    Zone,
)


def one_area(system="us", **more):
    """Return the least job that has a price: a name, a system with its product, one area, and nobody who takes time."""
    deep = 1.0 if system == "us" else 25.4
    blocks = {
        "job": Heading(name="One area"),
        "systems": (ToppingSystem(name="A", product="Topping", yield_=0.45 if system == "us" else 12.0, thickness=deep / 8),),
        "products": (Product(name="Topping", unit="bag", size=1, price=40),),
        "areas": (Area(first=10, second=10),),
        "crew": Crew(mix=0, place=0, trowel=0, second=0, least_paid=0),
    }
    return Job(system=system, **{**blocks, **more})


# What lets the slab of `ready_job` pass, test by test.
GOOD = {"humidity": 70, "mver": 2, "strength": 300, "ph": 9, "absorption": 30, "profile": 3}


def ready_job(system="us"):
    """Return a job of one area whose slab passes every criterion; its readings are in the order of `GOOD`, three each."""
    sound = Zone(name="Zone 1", concrete_age=60, hollow_area=0, moving_cracks="no", contaminated="no", doors="no")
    job = one_area(
        zones=(sound,),
        readings=tuple(
            Reading(test=test, value=value, mode="concrete" if test == "strength" else None) for test, value in GOOD.items() for _ in range(3)
        ),
        weather=(Weather(air=70, humidity=50),),
    )
    return convert_job(changed(job, "systems", 0, grade="trowel"), system)


def logged_worked_job():
    """Return the worked job with every input of its logs filled somewhere."""
    job = worked_job()
    day = dt.date(2025, 3, 19)
    row = {"date": day, "change_order": "CO 1", "note": "note"}
    orders = (ChangeOrder(name="CO 1", what="a step more", date=day, hours=4, materials=60, other=15, price=520, days=1, accepted="yes"),)
    return attrs.evolve(
        job,
        job=attrs.evolve(job.job, status="running", sent_date=day, decided_date=day, finished_date=day),
        products=(attrs.evolve(job.products[0], account="5100", tax_code="T"), *job.products[1:]),
        policy=attrs.evolve(job.policy, tax_code="N"),
        accounts=(Account(account="5200", tax_code="T"),),
        terms=PaymentTerms(retainage=0.1),
        hours_log=(*job.hours_log, attrs.evolve(job.hours_log[0], role="Finisher", rework="yes", **row)),
        materials_log=(
            *job.materials_log,
            attrs.evolve(job.materials_log[0], on_site=0, zone="Studio", tax=35.49, receipt="R 1", lot="L 1", **row),
        ),
        costs_log=(
            CostEntry(kind="permits", supplier="Town", amount=80, tax=5, receipt="R 2", **row),
            CostEntry(date=day, kind="freight", amount=52),
        ),
        change_orders=orders,
        bills=(
            Bill(date=day, number="1", kind="bill", amount=2000, tax=165, retainage=150, note="first"),
            Bill(date=day, kind="payment", amount=2015),
        ),
        weather_log=(WeatherEntry(date=day, time=0.5, air=70, humidity=50, wind=3, slab=66, place="outside", note="dry"),),
        progress=HowFar(to_go_own=900, planned_share=0.8),
    )


def surveyed_worked_job():
    """Return the worked job with every input of survey, data sheets and logs filled somewhere."""
    job = logged_worked_job()
    seen = {"finish": "bare", "concrete_age": 60, "slab_thickness": 4, "drying": "one_side", "hollow_area": 3, "slab_temperature": 68}
    answers = {"moving_cracks": "no", "contaminated": "no", "doors": "no"}
    sheet = {
        "data_sheet": "Sheet", "data_sheet_date": dt.date(2024, 5, 1), "typed_by": "me", "typed_on": dt.date(2025, 1, 2),
        "bag_mass": 50, "water_least": 4.5, "water_most": 5, "bags_per_batch": 2, "mixing_minutes": 3, "working_time": 20,
        "open_time": 15, "sun_factor": 0.8, "trowel_limit": 3, "second_earliest": 45, "second_latest": 75, "reference_temperature": 70,
        "q_hot": 6500, "q_cold": 4500, "topping_wait": 12, "foot_traffic": 24, "full_traffic": 72, "humidity_most": 80, "mver_most": 5,
        "ph_least": 7, "ph_most": 11, "strength_least": 150, "absorption_most": 90, "profile_least": 3, "profile_most": 5,
        "age_least": 28, "temperature_least": 45, "temperature_most": 95, "thickness_least": 0.05, "thickness_most": 0.25,
    }
    return attrs.evolve(
        job,
        zones=tuple(attrs.evolve(zone, **seen, **answers) for zone in job.zones),
        systems=(attrs.evolve(job.systems[0], **sheet), *job.systems[1:]),
        layers=(attrs.evolve(job.layers[0], wait=2, window=24, q=5000), *job.layers[1:]),
        readings=(
            Reading(zone="Studio", test="mver", grams=1.5, hours=66, location="door", date=dt.date(2025, 3, 1), valid_until=dt.date(2026, 1, 1)),
            Reading(zone="Studio", test="strength", value=250, mode="concrete"),
            *(Reading(zone="Studio", test=test, value=GOOD.get(test, 0)) for test in TESTS if test not in {"mver", "strength"}),
        ),
        joints=(Joint(label="Crack", zone="Studio", kind="still_crack", length=3, length_in=6, how_many=2, recut="yes"),),
        levels=(Level(label="Door", zone="Studio", kind="door", now=0.5, need=0.125), Level(zone="Studio", kind="level", now=0.2)),
        slab=(SlabCheck(reason="seen", by="owner", repair="yes"),),
        weather=(Weather(air=70, humidity=50, slab=66, mix=72, sun="no"), Weather(air=85, humidity=60, wind=8, slab=90, mix=80, sun="yes")),
        tasks=(attrs.evolve(job.tasks[0], caution="grind"), *job.tasks[1:]),
    )


def accepted(job):
    """Return a job whose slab is accepted without a test, whatever was not tested."""
    return attrs.evolve(job, slab=(SlabCheck(reason="seen", by="owner"),) * len(job.zones) * len(CRITERIA))


def with_check(job, criterion, zone=0, **decided):
    """Return a job with a decision on one criterion of one zone."""
    slab = list(job.slab) + [SlabCheck()] * (len(job.zones) * len(CRITERIA) - len(job.slab))
    slab[zone * len(CRITERIA) + CRITERIA.index(criterion)] = SlabCheck(**decided)
    return attrs.evolve(job, slab=tuple(slab))


def state(values, criterion, zone=0, figure="state_no"):
    """Return one figure of one pair of zone and criterion."""
    return values.column(f"slab.{figure}")[zone * len(CRITERIA) + CRITERIA.index(criterion)]


def looks_but_slab(values):
    """Count what is to be looked at beside the slab, which quick jobs do not survey."""
    return values.scalar("master.looks") - values.scalar("master.survey_looks")


def changed(job, block, row=None, **values):
    """Return a job with some inputs of one record changed; row is from 0, None for single records."""
    held = getattr(job, block)
    if row is None:
        return attrs.evolve(job, **{block: attrs.evolve(held, **values)})
    records = tuple(attrs.evolve(one, **values) if at == row else one for at, one in enumerate(held))
    return attrs.evolve(job, **{block: records})


def with_more(job, block, *records):
    """Return a job with more records at the end of a block."""
    return attrs.evolve(job, **{block: (*getattr(job, block), *records)})


def fault(job, block, row):
    """Return the fault of one record."""
    return compute(job).column(f"{block}.fault")[row]


def price(job, scenario="accepted"):
    return compute(job).scalar("price.total", scenario)


__all__ = [
    "GOOD",
    "accepted",
    "changed",
    "fault",
    "looks_but_slab",
    "one_area",
    "price",
    "ready_job",
    "state",
    "surveyed_worked_job",
    "with_check",
    "with_more",
    "worked_job",
]
