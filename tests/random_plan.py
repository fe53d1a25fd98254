"""Random pour plans for random jobs: crews, pours typed or not, visits typed or not, tasks of stages; some of it wrong."""

from __future__ import annotations

import datetime as dt
from random import Random
from typing import Any

import attrs

from sheetgen.engine.job import Job
from sheetgen.engine.lists import BASES, GROUPINGS, PACES, SET_UP_PER, STAGES, VISIT_KINDS
from sheetgen.engine.records import Crew, DayNote, DaySheet, Equipment, Pour, Task, Visit
from sheetgen.units import System, convert


class _Plan:
    """Rolls the dice for one job."""

    def __init__(self, dice: Random, system: System, zones: list[str]) -> None:
        self.dice = dice
        self.system = system
        self.zones = zones
        self.calm = dice.random() < 0.5  # nothing that the pours need is missing

    def maybe(self, value: Any, chance: float = 0.5) -> Any:
        return value if self.dice.random() < chance or (self.calm and chance > 0.85) else None

    def number(self, unit: str, least: float, most: float) -> float:
        """Return a number between two in US units, in the job's own."""
        return round(convert(round(self.dice.uniform(least, most), 2), unit, "us", self.system), 4)

    def minutes(self, chance: float) -> float | None:
        return self.maybe(round(self.dice.choice((self.dice.uniform(1, 15), self.dice.randint(1, 12), 0.0)), 3), chance)

    def hands(self, chance: float) -> float | None:
        return self.maybe(float(self.dice.choice((1, 1, 1, 2, 2, 3, 1 if self.calm else 0))), chance)

    def clock(self, chance: float) -> float | None:
        return self.maybe(self.dice.randint(5 * 60, 14 * 60) / 1440, chance)

    def crew(self, crew: Crew) -> Crew:
        return attrs.evolve(
            crew, ribbon_width=self.maybe(self.number("length", 1.5, 5), 0.97), mix=self.minutes(0.97), place=self.minutes(0.97),
            trowel=self.minutes(0.97), second=self.minutes(0.97), mixers=self.hands(0.98), placers=self.hands(0.98),
            trowellers=self.hands(0.98), grouping=self.maybe(self.dice.choice(GROUPINGS), 0.98), pace=self.maybe(self.dice.choice(PACES), 0.98),
            opens=self.clock(0.97), latest=self.maybe(0.75, 0.95), part_bags=self.maybe(float(self.dice.choice((0, 0, 1, 2))), 0.97),
            border_minutes=self.maybe(0.25, 0.9), start_date=self.maybe(dt.date(2026, 3, 4)), chosen_pour=self.maybe(float(self.dice.randint(1, 5)), 0.2),
            people_prepare=self.maybe(float(self.dice.randint(1, 4)), 0.95), people_seal=self.maybe(2.0, 0.95), people_pour=self.maybe(3.0, 0.2),
            day_hours=self.maybe(float(self.dice.choice((8, 8, 10, 8 if self.calm else 0.25))), 0.97), least_paid=self.maybe(float(self.dice.choice((0, 4, 4))), 0.97),
            first_weekday=self.maybe(float(self.dice.randint(1, 7)), 0.97), week_limit=self.maybe(float(self.dice.choice((40, 40, 12))), 0.97),
            day_limit=self.maybe(8.0, 0.3), overtime_rate=self.maybe(self.dice.choice((1.5, 2.0)), 0.97),
        )  # fmt: skip

    def pour(self) -> Pour:
        return Pour(
            zone=self.maybe(self.dice.choice(self.zones), 0.9) if self.calm or self.dice.random() > 0.03 else "Nowhere",
            zone_2=self.maybe(self.dice.choice(self.zones), 0.15), zone_3=self.maybe(self.dice.choice(self.zones), 0.08),
            coat=self.maybe(float(self.dice.choice((1, 1, 2, 1 if self.calm else 1.5))), 0.7), day=self.maybe(float(self.dice.randint(1, 6)), 0.3),
            opens=self.clock(0.3), temperature=self.maybe(self.number("temperature", 45, 105), 0.3),
            bags=self.maybe(float(self.dice.randint(1, 3)), 0.3), bay_width=self.maybe(self.number("length", 3, 25), 0.4),
            bay_length=self.maybe(self.number("length", 3, 40), 0.3), ribbon_width=self.maybe(self.number("length", 1, 5), 0.2),
            mix=self.minutes(0.2), place=self.minutes(0.2), trowel=self.minutes(0.2), second=self.minutes(0.2), mixers=self.hands(0.2),
            placers=self.hands(0.2), trowellers=self.hands(0.2), grouping=self.maybe(self.dice.choice(GROUPINGS), 0.2),
            pace=self.maybe(self.dice.choice(PACES), 0.2), border=self.maybe(self.number("length", 5, 60), 0.2),
        )  # fmt: skip

    def visit(self) -> Visit:
        return Visit(
            kind=self.maybe(self.dice.choice(VISIT_KINDS), 0.9), day=self.maybe(float(self.dice.choice((*range(1, 12), 3 if self.calm else 90))), 0.4),
            people=self.maybe(float(self.dice.choice((1, 2, 3, 4 if self.calm else 13))), 0.7), hours=self.maybe(round(self.dice.uniform(1, 11), 2), 0.7),
            overnight=self.maybe(self.dice.choice(("yes", "no")), 0.3), kept=self.maybe(float(self.dice.randint(0, 2)), 0.3),
            note=self.maybe("=bring the cart", 0.2),
        )  # fmt: skip

    def task(self, task: Task) -> Task:
        changed = attrs.evolve(
            task, stage=self.maybe(self.dice.choice(STAGES), 0.25), visit=self.maybe(self.dice.choice(VISIT_KINDS), 0.3),
            basis=self.dice.choice(BASES) if self.dice.random() < 0.15 else task.basis,
            set_up_per=self.maybe(self.dice.choice(SET_UP_PER), 0.6),
        )  # fmt: skip
        return attrs.evolve(changed, basis=None, rate=None) if self.dice.random() < 0.05 else changed

    def machine(self, machine: Equipment) -> Equipment:
        return attrs.evolve(machine, visit=self.maybe(self.dice.choice(VISIT_KINDS), 0.5), days=self.maybe(machine.days))


def with_plan(job: Job, dice: Random) -> Job:
    """Return a random job with a random pour plan; sometimes with that of a new book."""
    zones = [zone.name for zone in job.zones if zone.name]
    if not zones or dice.random() < 0.1:
        return job
    roll = _Plan(dice, job.system, zones)
    pours = tuple(roll.pour() if dice.random() > 0.1 else Pour() for _ in range(dice.randint(1, 7))) if dice.random() < 0.6 else ()
    visits = tuple(roll.visit() if dice.random() > 0.1 else Visit() for _ in range(dice.randint(1, 6))) if dice.random() < 0.5 else ()
    return attrs.evolve(
        job,
        crew=roll.crew(job.crew),
        pours=pours,
        visits=visits,
        day=DaySheet(visit=roll.maybe(float(dice.randint(1, 4)), 0.9)),
        day_notes=(DayNote(what="Lot", value=roll.maybe("@12")),),
        tasks=tuple(roll.task(task) for task in job.tasks),
        equipment=tuple(roll.machine(machine) for machine in job.equipment),
        costs=attrs.evolve(job.costs, trips=roll.maybe(3.0, 0.3), per_diem=roll.maybe(float(dice.choice((0, 55))), 0.97)),
    )
