"""The invented job that the project's notes work by arithmetic.

The notes give no clock times: the first coat of the steps is laid when the studio is done, the second the day after.
"""

import datetime as dt

from sheetgen.engine.job import Job
from sheetgen.engine.records import (
    Area,
    Burdens,
    Costs,
    Crew,
    Effort,
    Equipment,
    Heading,
    HoursEntry,
    Layer,
    Line,
    Linear,
    MaterialsEntry,
    Payment,
    Policy,
    Pour,
    Product,
    Role,
    Takeoff,
    Task,
    ToppingSystem,
    Visit,
    Zone,
)

STUDIO, STEPS = "Studio", "Front steps"
STUDIO_FT2 = 454.132741


def worked_job(*, afterwards: bool = True) -> Job:
    """Return the job in US units; with what was logged afterwards, or as it was bid."""
    return Job(
        system="us",
        job=Heading(
            number="W-1",
            name="Studio and front steps",
            status="done" if afterwards else "bid",
            bid_date=dt.date(2025, 3, 3),
        ),
        takeoff=Takeoff(waste=0.08),
        effort=Effort(difficulty=1.1),
        **_takeoff(),
        **_systems(),
        **_plan(),
        **_rates(),
        **_price(),
        **(_afterwards() if afterwards else {}),
    )


def _takeoff():
    return {
        "zones": (
            Zone(name=STUDIO, surface="floor", place="inside", system="System A", fill=1 / 64, porosity="average"),
            Zone(name=STEPS, surface="step", place="outside", system="System B", porosity="dense"),
        ),
        "areas": (
            Area(label="Studio floor", zone=STUDIO, shape="rectangle", first=24, first_in=6, second=18),
            Area(label="Pillar", zone=STUDIO, shape="rectangle", first=4, second=3, sign="deduct"),
            Area(label="Bay window", zone=STUDIO, shape="half_circle", first=8),
            Area(label="Flight", zone=STEPS, shape="steps", first=4, first_in=6, second_in=11, third_in=7, how_many=5),
        ),
        "linear": (Linear(label="Walls", zone=STUDIO, kind="edge", length=85),),
    }


def _systems():
    return {
        "systems": (
            ToppingSystem(
                name="System A",
                grade="semi_self_levelling",
                product="Topping A",
                yield_=0.45,
                thickness=1 / 8,
                coats=1,
                bags_per_batch=2,
                open_time=10,
                second_earliest=60,
                reference_temperature=70,
                q_hot=6500,
                q_cold=4500,
            ),
            ToppingSystem(
                name="System B",
                grade="squeegee",
                product="Topping B",
                yield_=0.42,
                thickness=1 / 16,
                coats=2,
                bags_per_batch=1,
            ),
        ),
        "layers": (
            Layer(system="System A", kind="primer_first", product="Primer", coverage=250, coats=2, waste=0.05),
            Layer(system="System A", kind="colour", product="Colour", dose=4, per=100, coats=1, waste=0.10),
            Layer(system="System A", kind="sealer", product="Sealer", coverage=300, coats=2, waste=0.05),
            Layer(system="System B", kind="primer_first", product="Primer", coverage=300, coats=1, waste=0.05),
            Layer(system="System B", kind="sealer", product="Sealer", coverage=250, coats=1, waste=0.05),
        ),
    }


def _plan():
    steps = {"zone": STEPS, "bay_width": 4.5, "bay_length": 7.5, "mix": 4, "place": 6, "trowel": 5}
    return {
        "crew": Crew(ribbon_width=3, mix=5, place=8, trowel=10, second=9, mixers=1, placers=1, trowellers=1, pace="held", least_paid=4),
        "pours": (
            Pour(zone=STUDIO, coat=1, bay_width=18, bay_length=24.5, temperature=70, day=2, opens=8 / 24),
            Pour(coat=1, day=2, opens=11 / 24, **steps),
            Pour(coat=2, day=3, opens=8 / 24, **steps),
        ),
        "visits": (
            Visit(kind="prepare", people=2, hours=5),
            Visit(kind="pour", people=3, hours=5),
            Visit(kind="seal", people=2, hours=3),
        ),
    }


def _rates():
    return {
        "burdens": Burdens(payroll_taxes=0.0845, compensation=0.09, liability=0.03, benefits=2.50),
        "roles": (Role(name="Finisher", wage=32), Role(name="Helper", wage=24)),
        "products": (
            Product(name="Topping A", unit="bag", size=1, price=38.50),
            Product(name="Topping B", unit="bag", size=1, price=41.00),
            Product(name="Primer", unit="gal", size=1, price=29.75, on_hand=1),
            Product(name="Colour", unit="oz", size=16, price=22.40),
            Product(name="Sealer", unit="gal", size=1, price=46.00),
            Product(name="Tape", unit="ft", size=180, price=7.25),
            Product(name="Diamonds", unit="set", size=1, price=96.00),
        ),
        "lines": (
            Line(name="Masking", product="Tape", basis="edge", dose=1, per=1, waste=0.10),
            Line(name="Grinding", product="Diamonds", basis="area", dose=1, per=1500, zone=STUDIO),
        ),
        "tasks": (
            _task("Mask", "Helper", "edge", 60, set_up=0.5),
            _task("Grind", "Helper", "area", 120, set_up=0.75),
            _task("Prime, first coat", "Helper", "area", 500, set_up=0.25),
            _task("Prime, second coat", "Helper", "area", 500, system="System A"),
            Task(name="Mix", role="Helper", basis="batches", rate=12, set_up=0.5, set_up_per="pour", stage="mix"),
            _task("Place", "Finisher", "coat_area", 550, stage="place", covers_area="yes"),
            _task("First trowel", "Finisher", "coat_area", 450, stage="first_trowel"),
            _task("Second trowel", "Finisher", "coat_area", 500, system="System A", stage="second_trowel"),
            _task("Seal, first coat", "Helper", "area", 400, set_up=0.25, visit="seal"),
            _task("Seal, second coat", "Helper", "area", 400, system="System A", visit="seal"),
            Task(name="Clean up", role="Helper", set_up=0.5, set_up_per="visit"),
        ),
        "equipment": (Equipment(name="Grinder", day_rate=95, days=1),),
    }


def _task(name, role, basis, rate, set_up=None, **more):
    return Task(name=name, role=role, basis=basis, rate=rate, set_up=set_up, set_up_per="job", floor=1, step=2.5, **more)


def _price():
    return {
        "costs": Costs(freight=45, vehicles=1, distance=36, distance_rate=0.72, disposal=40, sample_panel=60),
        "policy": Policy(
            materials_tax=0.065,
            overhead_way="share",
            overhead=0.18,
            contingency=0.05,
            price_way="margin",
            margin=0.22,
            minimum=1500,
            round_to=5,
            round_way="up",
        ),
        "payments": (Payment(name="Deposit", share=0.30), Payment(name="Progress", share=0.40), Payment(name="Rest")),
    }


def _afterwards():
    day = dt.date(2025, 3, 18)
    return {
        "materials_log": (
            MaterialsEntry(date=day, product="Topping A", taken=16, opened=14, part_left=0.5, returned=2, amount=14 * 39.00),
        ),
        "hours_log": (
            HoursEntry(date=day, task="Grind", zone=STUDIO, person="helper", people=1, hours_each=6.5, wage=25),
            # The hours of placing are not among the figures worked by hand: any will do. The steps are logged
            # too, so that the whole job is done and the need for the work done is the whole need.
            HoursEntry(date=day, task="Place", zone=STUDIO, hours_each=1.2, area_done=STUDIO_FT2),
            HoursEntry(date=day, task="Place", zone=STEPS, hours_each=0.3, area_done=33.75),
        ),
    }
