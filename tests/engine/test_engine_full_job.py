"""A job that fills every row of a book."""

import attrs
from engine_jobs import accepted, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.lists import OTHER_KINDS
from sheetgen.engine.records import (
    Area,
    Bill,
    ChangeOrder,
    CostEntry,
    HoursEntry,
    Joint,
    Level,
    Line,
    MaterialsEntry,
    Pour,
    Product,
    Reading,
    Weather,
    WeatherEntry,
    Zone,
)


def full_job():
    """Every row of a book prepared as trade, sizes, has it."""
    job = worked_job()
    day = job.job.bid_date
    full = attrs.evolve(
        job,
        zones=tuple(Zone(name=f"Zone {at}", system=f"System {'AB'[at % 2]}", fill=0.01) for at in range(12)),
        areas=tuple(Area(label=f"Area {at}", zone=f"Zone {at % 12}", first=4 + at / 2, second=12) for at in range(60)),
        linear=tuple(attrs.evolve(job.linear[0], zone=f"Zone {at % 12}") for at in range(40)),
        products=(*job.products, *(Product(name=f"Product {at}", size=2, price=3 + at) for at in range(33))),
        layers=tuple(attrs.evolve(job.layers[at % 5], product=f"Product {at % 33}") for at in range(96)),
        lines=tuple(Line(name=f"Line {at}", product=f"Product {at % 33}", basis="area", dose=1, per=100) for at in range(40)),
        crew=attrs.evolve(job.crew, trowellers=4),
        pours=full_plan(),
        tasks=tuple(attrs.evolve(job.tasks[at % 9], name=f"Task {at}") for at in range(40)),
        readings=tuple(Reading(zone=f"Zone {at % 12}", test="absorption", value=30) for at in range(60)),
        joints=tuple(Joint(label="Joint", zone=f"Zone {at % 12}", length=9) for at in range(20)),
        levels=tuple(Level(label="Door", zone=f"Zone {at}", kind="door", now=1) for at in range(12)),
        weather=(Weather(air=70, humidity=50), Weather(air=75, humidity=60, wind=5)),
        hours_log=tuple(HoursEntry(date=day, task=f"Task {at % 40}", zone=f"Zone {at % 12}", hours_each=1, wage=25) for at in range(300)),
        materials_log=tuple(MaterialsEntry(date=day, product=f"Product {at % 33}", taken=3, amount=9) for at in range(120)),
        costs_log=tuple(CostEntry(date=day, kind=OTHER_KINDS[at % 8], amount=at, change_order=f"CO {at % 20}") for at in range(60)),
        change_orders=tuple(ChangeOrder(name=f"CO {at}", hours=2, price=100, accepted="yes") for at in range(20)),
        bills=tuple(Bill(date=day, kind="bill", amount=250, retainage=25) for _ in range(20)),
        weather_log=tuple(WeatherEntry(date=day, time=0.5, air=70, humidity=50) for _ in range(20)),
    )
    return accepted(full)


def full_plan():
    """Pour the zones of system A each for itself, those of B by three, every pour on a day of its own."""
    even, odd = ([f"Zone {at}" for at in range(first, 12, 2)] for first in (0, 1))
    by_three = [Pour(zone=odd[at], zone_2=odd[at + 1], zone_3=odd[at + 2], coat=coat) for coat in (1, 2) for at in (0, 3)]
    pours = [*(Pour(zone=name, coat=1) for name in even), *by_three]
    return tuple(attrs.evolve(pour, day=day, bay_width=3) for day, pour in enumerate(pours, start=2))


def test_the_full_job_is_sound():
    """It has a price, and nothing to look at."""
    values = compute(full_job())

    assert values.scalar("price.total", "accepted") is not None
    assert values.scalar("master.looks") == 0
    assert values.scalar("progress.profit") is not None
