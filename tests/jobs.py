"""Random jobs for properties and agreement: every block gets some records, some of them wrong."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

import attrs
from random_logs import with_logs
from random_offer import with_offer
from random_plan import with_plan
from random_survey import with_survey

from sheetgen import jobfile
from sheetgen.book.load import template_folder
from sheetgen.engine.job import Job, compute
from sheetgen.engine.records import Area, HoursEntry, Linear, MaterialsEntry, Offset, Zone
from sheetgen.units import System

_SHAPES = (
    "rectangle", "triangle", "trapezoid", "circle", "half_circle", "quarter_circle", "ellipse", "ring", "steps",
    "three_sides", "offsets", "typed", None,
)  # fmt: skip
_KINDS = ("edge", "cove", "crack", "joint", "saw_cut", "masking", "nosing", None)


# As many rows as the starter values need, and little more.
OF_STARTER = {
    "tasks": 22, "products": 16, "lines": 10, "equipment": 4, "roles": 4, "systems": 5, "layers": 18, "payments": 4,
    "costs_log": 6, "change_orders": 3, "bills": 4, "weather_log": 3, "levels": 3, "joints": 2,
}  # fmt: skip
# Rows for the invented job, and for whatever `random_job` draws: less than half the cells of a book as it is handed out.
SMALL = {
    **OF_STARTER, "zones": 6, "areas": 18, "offsets": 40, "linear": 8, "readings": 30, "levels": 5, "joints": 5, "pours": 8, "batches": 60,
    "visits": 10, "payments": 6, "hours_log": 20, "materials_log": 10, "costs_log": 10, "change_orders": 4, "bills": 6,
    "weather_log": 5,
}  # fmt: skip


def demo_job() -> Job:
    """Return the invented job with its log."""
    data = template_folder("demo")
    return jobfile.read_job(data / "log.toml", jobfile.read_job(data / "bid.toml", jobfile.starter("us")))


def random_job(seed: int, system: System) -> Job:
    """Return a job made from a seed; about one row in ten has something wrong with it."""
    dice = random.Random(seed)
    base = jobfile.starter(system)
    names = [f"Zone {number}" if dice.random() > 0.1 else f"=zone*{number}?" for number in range(dice.randint(1, 6))]
    systems = [one.name for one in base.systems]
    scale = 1.0 if system == "us" else 0.3

    def maybe(value: Any, chance: float = 0.5) -> Any:
        return value if dice.random() < chance else None

    def size(least: float = 0.5, most: float = 40.0) -> float:
        return round(dice.uniform(least, most) * scale, 3)

    zones = tuple(
        Zone(
            name=name, surface=maybe(dice.choice(("floor", "wall", "step"))), place=maybe(dice.choice(("inside", "outside"))),
            system=maybe(dice.choice(systems), 0.7) if dice.random() > 0.03 else "No such system",
            thickness=None, fill=maybe(round(dice.uniform(0.0, 0.05) * (1 if system == "us" else 25), 4)),
            porosity=maybe(dice.choice(("dense", "average", "open"))), colour=(None, "sea grey", "=grey")[number % 3],
        )
        for number, name in enumerate(names)
    )  # fmt: skip

    def area(number: int) -> Area:
        if dice.random() < 0.08:
            return Area()
        shape = dice.choice(_SHAPES)
        inches = {
            f"{which}_in": maybe(float(dice.randint(0, 11)), 0.4) if system == "us" else None
            for which in ("first", "second", "third")
        }
        first, second, third = size(4.0), size(0.5, 4.0) if shape == "ring" else size(), size()
        return Area(
            label=f"Row {number}", zone=maybe(dice.choice(names), 0.8) if dice.random() > 0.02 else "Nowhere", shape=shape,
            first=maybe(first, 0.97), second=maybe(second, 0.97), third=maybe(third, 0.97), **inches,
            typed=maybe(size(10.0, 300.0), 0.9) if shape == "typed" else None, typed_perimeter=maybe(size(), 0.1),
            how_many=maybe(float(dice.randint(1, 4)), 0.3), sign=maybe("deduct", 0.1),
        )  # fmt: skip

    areas = tuple(area(number) for number in range(dice.randint(1, 12)))
    offsets = tuple(
        Offset(label=one.label, width=size(), width_in=maybe(float(dice.randint(0, 11)), 0.3) if system == "us" else None)
        for one in areas
        if one.shape == "offsets"
        for _ in range(dice.randint(1, 6))
    )[:100]
    linear = tuple(
        Linear(
            label=f"Line {number}", zone=maybe(dice.choice(names)), kind=dice.choice(_KINDS), length=size(1.0, 90.0),
            how_many=maybe(float(dice.randint(1, 3)), 0.3),
        )
        for number in range(dice.randint(0, 8))
    )  # fmt: skip
    tasks = tuple(
        attrs.evolve(task, used=maybe("no", 0.1), zone=maybe(dice.choice(names), 0.1), surface=maybe("floor", 0.1))
        for task in base.tasks
    )
    job = attrs.evolve(
        base, zones=zones, areas=areas, offsets=offsets, linear=linear, tasks=tasks,
        takeoff=attrs.evolve(base.takeoff, waste=round(dice.uniform(0, 0.2), 3)),
        effort=attrs.evolve(base.effort, difficulty=round(dice.uniform(0.8, 1.5), 2)),
        products=tuple(attrs.evolve(one, on_hand=maybe(float(dice.randint(0, 4)), 0.3)) for one in base.products),
        equipment=tuple(attrs.evolve(one, days=maybe(float(dice.randint(0, 3)))) for one in base.equipment),
        policy=attrs.evolve(
            base.policy, materials_tax=0.065, overhead_way=dice.choice(("share", "per_hour")), overhead_hour=6.5,
            price_way=dice.choice(("markup", "margin")), round_way=dice.choice(("up", "nearest")),
            round_to=dice.choice((0.0, 1.0, 5.0, 25.0)), price_tax=dice.choice((0.0, 0.0825)),
        ),
        costs=attrs.evolve(base.costs, freight=45.0, trips=3.0, distance=36.0, disposal=round(dice.uniform(0, 90), 2),
                           discount=dice.choice((0.0, 50.0))),
        job=attrs.evolve(base.job, name=f"Job {seed}", number=str(seed), status=dice.choice(("bid", "running", "done", "closed"))),
        hours_log=tuple(
            HoursEntry(
                date=maybe(dt.date(2026, 3, dice.randint(1, 28)), 0.9), task=dice.choice(base.tasks).name,
                zone=maybe(dice.choice(names), 0.6), people=maybe(float(dice.randint(1, 3))),
                hours_each=maybe(round(dice.uniform(0.25, 9), 2), 0.95), wage=maybe(round(dice.uniform(18, 40), 2), 0.3),
                rework=maybe("yes", 0.1), area_done=maybe(size(20.0, 200.0), 0.3),
            )
            for _ in range(dice.randint(0, 15))
        ),
        materials_log=tuple(
            MaterialsEntry(
                date=maybe(dt.date(2026, 3, dice.randint(1, 28)), 0.9), product=dice.choice(base.products).name,
                taken=maybe(float(dice.randint(3, 9)), 0.9), opened=maybe(float(dice.randint(0, 3))),
                part_left=maybe(0.5, 0.3), returned=maybe(float(dice.randint(0, 3)), 0.4),
                amount=maybe(round(dice.uniform(5, 400), 2), 0.8), lot=maybe("@lot", 0.2),
            )
            for _ in range(dice.randint(0, 10))
        ),
    )  # fmt: skip
    surveyed = with_survey(job, random.Random(f"survey {seed}"))
    planned = _with_risk(with_plan(surveyed, random.Random(f"plan {seed}")), random.Random(f"risk {seed}"))
    logged = with_logs(planned, random.Random(f"logs {seed}"))
    offered = with_offer(logged, random.Random(f"offer {seed}"))
    return offered if seed % 2 else _mended(offered)


def _with_risk(job: Job, dice: random.Random) -> Job:
    """Return a job in which some tasks have a spread, a few jobs behind it, and the contingency may be one to a confidence."""

    def maybe(value: float, chance: float) -> float | None:
        return value if dice.random() < chance else None

    tasks = tuple(
        attrs.evolve(task, spread=maybe(round(dice.uniform(0.0, 0.8), 3), 0.4), spread_jobs=maybe(float(dice.randint(0, 40)), 0.4))
        for task in job.tasks
    )
    uncertainty = attrs.evolve(
        job.uncertainty, job_wide=maybe(round(dice.choice((0.0, dice.uniform(0, 0.4))), 3), 0.95),
        task_spread=maybe(dice.choice((0.0, 0.3, 0.5)), 0.95), confidence=maybe(round(dice.uniform(0.5, 0.98), 2), 0.95),
    )  # fmt: skip
    way = dice.choice(("share", "share", "confidence"))
    return attrs.evolve(job, tasks=tasks, uncertainty=uncertainty, policy=attrs.evolve(job.policy, contingency_way=way))


def _mended(job: Job) -> Job:
    """Return a job without the rows that have a fault, so that more of it is reckoned; each zone gets an area."""
    values = compute(attrs.evolve(job, zones=tuple(attrs.evolve(zone, system=None) for zone in job.zones)))

    def good(block: str) -> tuple[Any, ...]:
        faults = values.column(f"{block}.fault")
        return tuple(row for row, fault in zip(getattr(job, block), faults, strict=True) if not fault)

    side = 12.0 if job.system == "us" else 4.0
    more = tuple(Area(label=f"All of {zone.name}", zone=zone.name, first=side, second=side, how_many=3.0) for zone in job.zones)
    names = {system.name for system in job.systems}
    orders = {order.name for order in good("change_orders")}
    logs = {name: tuple(row for row in good(name) if row.change_order in {None, *orders}) for name in ("hours_log", "materials_log", "costs_log")}
    return attrs.evolve(
        job, **logs, change_orders=good("change_orders"), bills=good("bills"), options=good("options"),
        zones=tuple(attrs.evolve(zone, system=zone.system if zone.system in names else None) for zone in job.zones),
        areas=tuple(attrs.evolve(row, sign=None) for row in good("areas") if row.shape != "offsets") + more, offsets=(),
        linear=good("linear"), joints=good("joints"), lines=good("lines"), tasks=good("tasks"), layers=good("layers"),
    )  # fmt: skip
