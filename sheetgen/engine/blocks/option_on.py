"""Price: which options each scenario takes, and what it is reckoned with."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import given, known, value
from sheetgen.engine.scenarios import moved_factor, moved_waste
from sheetgen.engine.totals import sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.scenarios import Scenario
    from sheetgen.engine.totals import Column


@attrs.frozen(kw_only=True)
class OptionOn:
    """Whether a scenario takes an option, and in what it is heard: by its weight, so that the last one outweighs all before it."""

    block: ClassVar[str] = "option_on"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = True

    on: Column = figure("count")
    active: Column = figure("count")
    bad: Column = figure("count")
    systems: Column = figure("number")
    colours: Column = figure("number")
    sealers: Column = figure("number")
    depths: Column = figure("number")
    extra: Column = figure("area")


@attrs.frozen(kw_only=True)
class Scene:
    """What a scenario is reckoned with."""

    block: ClassVar[str] = "scene"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = True

    faults: float = figure("count")
    waste: float = figure("share")
    difficulty: float = figure("number")
    depth_factor: float = figure("number")


def make_option_on(job: Job, options: Options, scenario: Scenario) -> OptionOn:
    """Tell which options a scenario takes: one alone, or those that are accepted; one with a fault is not heard."""
    rows: list[Row] = []
    for row, option in enumerate(job.options):
        if not known(options.started[row]):
            rows.append({})
            continue
        taken = scenario.alone == row + 1 or (scenario.takes_accepted and options.taken[row] == 1)
        active = taken and options.fault[row] == 0
        weight = options.weight[row] if active else 0.0
        rows.append(
            {
                "on": flag(holds=taken),
                "active": flag(holds=active),
                "bad": flag(holds=taken and not active),
                "systems": weight if options.system_no[row] > 0 else 0.0,
                "colours": weight if options.colour_no[row] > 0 else 0.0,
                "sealers": weight if options.sealer_no[row] > 0 else 0.0,
                "depths": weight if option.thickness is not None else 0.0,
                "extra": given(option.extra_area, 0) if active else 0.0,
            }
        )
    return table(OptionOn, rows)


def make_scene(job: Job, on: OptionOn, scenario: Scenario) -> Scene:
    """Turn waste, difficulty and thickness up or down."""
    steps = job.what_if
    return Scene(
        faults=sum_known(on.bad),
        waste=moved_waste(value(job.takeoff.waste), scenario.waste, value(steps.waste_step)),
        difficulty=moved_factor(value(job.effort.difficulty), scenario.difficulty, value(steps.difficulty_step)),
        depth_factor=moved_factor(1.0, scenario.thickness, value(steps.thickness_step)),
    )
