"""Random surveys for random jobs: readings, joints, levels, decisions, weather, data sheets; some of it wrong."""

from __future__ import annotations

import datetime as dt
import math
from random import Random
from typing import Any

import attrs

from sheetgen.engine.job import Job
from sheetgen.engine.lists import CAUTIONS, CRITERIA, DRYINGS, FINISHES, JOINT_KINDS, LEVEL_KINDS, MODES, READING_UNITS
from sheetgen.engine.records import Joint, Layer, Level, Reading, SlabCheck, Survey, ToppingSystem, Weather, Zone
from sheetgen.units import System, convert

_BID_DATE = dt.date(2026, 3, 2)
# What is read of each test, in US units, on both sides of its limit.
_READ = {
    "humidity": (50, 99), "mver": (0.5, 6), "plastic_sheet": (0, 1), "strength": (100, 400), "ph": (6, 12),
    "absorption": (5, 100), "profile": (1, 7),
}  # fmt: skip
# Limits of a data sheet: unit and where they lie, in US units.
_LIMITS = {
    "humidity_most": ("percent", 60, 95), "mver_most": ("mver", 2, 8), "ph_least": ("number", 5, 9), "ph_most": ("number", 8, 12),
    "strength_least": ("pressure", 150, 250), "absorption_most": ("second", 30, 90), "profile_least": ("number", 1, 5),
    "profile_most": ("number", 2, 7), "age_least": ("day", 7, 60), "temperature_least": ("temperature", 40, 60),
    "temperature_most": ("temperature", 80, 95),
}  # fmt: skip


class _Survey:
    """Rolls the dice for one job."""

    def __init__(self, dice: Random, system: System, zones: list[str]) -> None:
        self.dice = dice
        self.system = system
        self.zones = zones

    def maybe(self, value: Any, chance: float = 0.5) -> Any:
        return value if self.dice.random() < chance else None

    def one_of(self, choices: Any) -> Any:
        return self.dice.choice((*choices, None))

    def number(self, unit: str, least: float, most: float) -> float:
        """Return a number of the job's own unit, whole or with a few digits, sometimes exactly a bound."""
        typed = self.dice.choice((least, most, round(self.dice.uniform(least, most)), self.dice.uniform(least, most)))
        return round(convert(typed, unit, "us", self.system), 3)

    def zone_name(self) -> str | None:
        return "Nowhere" if self.dice.random() < 0.03 else self.one_of(self.zones)

    def zone(self, zone: Zone) -> Zone:
        return attrs.evolve(
            zone, finish=self.maybe(self.dice.choice(FINISHES), 0.4), concrete_age=self.maybe(self.number("day", 7, 90)),
            slab_thickness=self.maybe(self.number("depth", 3, 8)), drying=self.one_of(DRYINGS),
            hollow_area=self.maybe(self.number("area", 0, 12), 0.6), moving_cracks=self.one_of(("yes", "no")),
            contaminated=self.one_of(("yes", "no")), doors=self.one_of(("yes", "no")),
            slab_temperature=self.maybe(self.number("temperature", 45, 95), 0.4),
        )  # fmt: skip

    def reading(self) -> Reading:
        test = self.dice.choice(tuple(READING_UNITS)) if self.dice.random() > 0.04 else None
        unit = READING_UNITS.get(test or "", "count")
        by_weight = test == "mver" and self.dice.random() < 0.5
        return Reading(
            zone=self.zone_name(), test=test, value=None if by_weight else self.maybe(self.number(unit, *_READ.get(test or "", (1, 9))), 0.95),
            grams=self.maybe(round(self.dice.uniform(0.5, 6), 1), 0.95) if by_weight else None,
            hours=self.maybe(self.dice.choice((58, 60, 66, 72, 72.5)), 0.95) if by_weight else None,
            mode=self.maybe(self.dice.choice(MODES), 0.85), location=self.maybe("@door", 0.3), instrument=self.maybe("=meter", 0.2),
            date=self.maybe(dt.date(2026, 2, self.dice.randint(1, 28))),
            valid_until=self.maybe(dt.date(2026, self.dice.choice((1, 4, 6)), 9), 0.3),
        )  # fmt: skip

    def joint(self) -> Joint:
        return Joint(
            label=self.maybe("Joint", 0.7), zone=self.zone_name(), kind=self.one_of(JOINT_KINDS),
            length=self.maybe(self.number("length", 1, 40), 0.97), length_in=self.maybe(6.5, 0.3) if self.system == "us" else None,
            how_many=self.maybe(self.dice.choice((1.0, 2.0, 2.0, 3.0, 3.0, 1.5)), 0.2), recut=self.one_of(("yes", "no")),
        )  # fmt: skip

    def level(self) -> Level:
        return Level(
            label=self.maybe("Door", 0.7), zone=self.zone_name(), kind=self.one_of(LEVEL_KINDS),
            now=self.maybe(self.number("depth", -0.75, 1.25), 0.95), need=self.maybe(self.number("depth", 0.125, 0.5), 0.3),
        )  # fmt: skip

    def check(self) -> SlabCheck:
        return SlabCheck(reason=self.maybe("=seen", 0.3), by=self.maybe("the owner", 0.3), repair=self.maybe(self.dice.choice(("yes", "no")), 0.6))

    def weather(self) -> Weather:
        return Weather(
            air=self.maybe(self.number("temperature", 30, 110), 0.9), humidity=self.maybe(float(self.dice.randint(1, 100)), 0.9),
            wind=self.maybe(self.number("speed", 0, 30), 0.7), slab=self.maybe(self.number("temperature", 25, 120), 0.6),
            mix=self.maybe(self.number("temperature", 30, 135), 0.4), sun=self.one_of(("yes", "no")),
        )  # fmt: skip

    def limit(self, name: str) -> float | None:
        return self.dice.choice((None, math.inf, self.number(*_LIMITS[name])))

    def data_sheet(self, system: ToppingSystem) -> ToppingSystem:
        limits = {name: self.limit(name) for name in _LIMITS if self.dice.random() < 0.6}
        return attrs.evolve(
            system, **limits, grade=self.maybe(system.grade, 0.8), data_sheet_date=self.maybe(dt.date(self.dice.randint(2021, 2025), 5, 1)),
            typed_by=self.maybe("@me", 0.3), typed_on=self.maybe(_BID_DATE, 0.3), bag_mass=self.maybe(self.number("mass/bag", 25, 75), 0.8),
            water_least=self.maybe(self.number("water/bag", 3, 6)), water_most=self.maybe(self.number("water/bag", 3, 6)),
            bags_per_batch=self.maybe(2.0), mixing_minutes=self.maybe(3.0), working_time=self.maybe(self.number("minute", 10, 40), 0.8),
            open_time=self.maybe(self.number("minute", 5, 30), 0.8), sun_factor=self.maybe(self.dice.choice((0.0, 0.5, 0.8))),
            trowel_limit=self.maybe(3.0), second_earliest=self.maybe(self.number("minute", 20, 70)),
            second_latest=self.maybe(self.number("minute", 20, 120)), reference_temperature=self.maybe(self.number("temperature", 68, 74), 0.85),
            q_hot=self.maybe(self.dice.choice((5000.0, 6500.0)), 0.85), q_cold=self.maybe(4500.0, 0.85), topping_wait=self.maybe(12.0),
            foot_traffic=self.maybe(24.0), full_traffic=self.maybe(72.0),
        )  # fmt: skip

    def layer(self, layer: Layer) -> Layer:
        wait, window = self.maybe(self.number("hour", 1, 12)), self.maybe(self.number("hour", 12, 48))
        return attrs.evolve(layer, wait=wait, window=window, q=self.maybe(5000.0, 0.3))

    def repaired(self, record: Any, **more: Any) -> Any:
        """Return a task or line that may wait for a repair."""
        return attrs.evolve(record, repair=self.maybe(self.dice.choice(CRITERIA), 0.25), **more)


def with_survey(job: Job, dice: Random) -> Job:
    """Return a random job with a random survey; sometimes with none at all."""
    if dice.random() < 0.1:
        return job
    roll = _Survey(dice, job.system, [zone.name for zone in job.zones if zone.name])
    every = range(dice.randint(0, 30))
    return attrs.evolve(
        job,
        job=attrs.evolve(job.job, bid_date=roll.maybe(_BID_DATE, 0.9)),
        survey=Survey(
            dish_area=roll.maybe(job.survey.dish_area, 0.97), dew_margin=roll.maybe(roll.number("temperature_step", 3, 9), 0.97),
        ),
        zones=tuple(roll.zone(zone) for zone in job.zones),
        readings=tuple(roll.reading() if dice.random() > 0.05 else Reading() for _ in every),
        joints=tuple(roll.joint() for _ in range(dice.randint(0, 5))),
        levels=tuple(roll.level() for _ in range(dice.randint(0, 5))),
        slab=tuple(roll.check() for _ in range(len(job.zones) * len(CRITERIA))),
        weather=(roll.weather(), roll.weather())[: dice.randint(0, 2)],
        systems=tuple(roll.data_sheet(system) for system in job.systems),
        layers=tuple(roll.layer(layer) for layer in job.layers),
        lines=tuple(roll.repaired(line) for line in job.lines),
        tasks=tuple(roll.repaired(task, caution=roll.maybe(dice.choice(CAUTIONS), 0.3)) for task in job.tasks),
    )  # fmt: skip
