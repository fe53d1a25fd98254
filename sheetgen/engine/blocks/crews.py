"""Best crew: every split of one to eight people at the chosen pour, and the cheapest that passes."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import crew as one_crew
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.crew import PourToStaff, SteadyCrew, crew_cost, steady_crew
from sheetgen.engine.hands import ALL, SEPARATE, Hands, stage_minutes
from sheetgen.engine.lists import GROUPINGS
from sheetgen.engine.missing import MISSING, known, ratio
from sheetgen.engine.splits import MOST_PEOPLE, SPLITS
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.chosen import Chosen
    from sheetgen.engine.blocks.waiting import PlannedWages


@attrs.frozen(kw_only=True)
class Crews:
    """Every split."""

    block: ClassVar[str] = "crews"
    over: ClassVar[str | None] = "splits"
    scenario: ClassVar[bool] = False

    people: Column = figure("count")
    grouping_no: Column = figure("no")
    mixers: Column = figure("count")
    placers: Column = figure("count")
    trowellers: Column = figure("count")
    d_mix: Column = figure("minute")
    d_place: Column = figure("minute")
    d_trowel: Column = figure("minute")
    step_mix: Column = figure("minute")
    step_place: Column = figure("minute")
    step_trowel: Column = figure("minute")
    cycle: Column = figure("minute")
    span: Column = figure("minute")
    time_at_most: Column = figure("minute")
    working: Column = figure("minute")
    edge: Column = figure("minute")
    bay: Column = figure("length")
    second_hands: Column = figure("count")
    first_hands: Column = figure("count")
    wait: Column = figure("minute")
    trowel_needed: Column = figure("count")
    trowel_hands: Column = figure("count")
    window: Column = figure("count")
    bad_working: Column = figure("count")
    bad_edge: Column = figure("count")
    bad_ends: Column = figure("count")
    bad_hands: Column = figure("count")
    fails_late: Column = figure("no")
    fails_edges: Column = figure("no")
    fails: Column = figure("no")
    passes: Column = figure("count")
    early: Column = figure("hour")
    late: Column = figure("hour")
    wage_mix: Column = figure("money/hour")
    wage_place: Column = figure("money/hour")
    wage_trowel: Column = figure("money/hour")
    wage: Column = figure("money/hour")
    cost: Column = figure("money")
    beaten: Column = figure("count")
    best: Column = figure("count")
    outdone: Column = figure("count")
    nearest: Column = figure("count")


@attrs.frozen(kw_only=True)
class BestCrew:
    """The best split for each number of people."""

    block: ClassVar[str] = "best_crew"
    over: ClassVar[str | None] = "crew_sizes"
    scenario: ClassVar[bool] = False

    number: Column = figure("no")
    split_no: Column = figure("no")
    nearest_no: Column = figure("no")
    shown_no: Column = figure("no")


@attrs.frozen(kw_only=True)
class _Priced:
    """A split, worked out and priced."""

    number: int
    crew: SteadyCrew
    cost: float

    @property
    def passes(self) -> bool:
        return self.crew.fails == 0

    @property
    def fails(self) -> bool:
        return self.crew.fails > 0


def make_crews(chosen: Chosen, wages: PlannedWages) -> Crews:
    """Work every split out at the chosen pour."""
    pour = chosen.to_staff()
    if not known(pour.minutes.mix + pour.minutes.place + pour.minutes.trowel):
        return table(Crews, [_people(split) | _stages(split, pour) | {"wait": _wait(pour), "window": chosen.narrow} for split in SPLITS])
    priced: list[_Priced] = []
    rows: list[Row] = []
    for number, split in enumerate(SPLITS, start=1):
        crew = steady_crew(pour, split)
        row = _people(split) | _stages(split, pour) | _minutes(crew) | _verdict(crew) | _wages(split, wages)
        row |= {"window": chosen.narrow, "wait": _wait(pour), "early": crew.early_h, "late": crew.late_h}
        row["cost"] = crew_cost(crew, row["wage"])
        priced.append(_Priced(number=number, crew=crew, cost=row["cost"]))
        rows.append(row)
    return table(Crews, [row | _ranks(one, priced) for row, one in zip(rows, priced, strict=True)])


def _people(split: Hands) -> Row:
    return {
        "people": split.crew_size,
        "grouping_no": GROUPINGS.index(split.grouping) + 1.0,
        "mixers": split.mixers,
        "placers": split.placers,
        "trowellers": split.trowellers,
        "trowel_hands": split.trowel_hands,
    }


def _stages(split: Hands, pour: PourToStaff) -> Row:
    """Return the minutes of each stage, and how often a batch passes it."""
    row: Row = {}
    taken = stage_minutes(pour.minutes, split.grouping)
    for stage, minute, count in zip(("mix", "place", "trowel"), taken, split.counts, strict=True):
        row |= {f"d_{stage}": minute, f"step_{stage}": minute / count if count > 0 else 0.0}
    return row


def _minutes(crew: SteadyCrew) -> Row:
    """Return what follows from the minutes."""
    names = ("cycle", "span", "time_at_most", "working", "edge", "bay", "first_hands", "second_hands", "trowel_needed")
    return {name: getattr(crew, name) for name in names}


def _wait(pour: PourToStaff) -> float:
    """Return the wait before the second trowelling, none where there is none or it is not known [min]."""
    return pour.earliest_min if pour.minutes.second != 0 and known(pour.earliest_min) else 0.0


def _verdict(crew: SteadyCrew) -> Row:
    """Return which limits the crew does not keep, first the one that is named."""
    row: Row = dict(zip(("bad_working", "bad_edge", "bad_ends", "bad_hands"), crew.over, strict=False))
    late = next((number for number in (one_crew.TROWEL_HANDS, one_crew.SECOND_WINDOW) if crew.over[int(number) - 1] == 1), 0.0)
    edges = next((number for number in (one_crew.WET_EDGE, one_crew.BAY_TOO_WIDE) if crew.over[int(number) - 1] == 1), late)
    return row | {"fails_late": late, "fails_edges": edges, "fails": crew.fails, "passes": flag(holds=crew.fails == 0)}


def _wages(split: Hands, wages: PlannedWages) -> Row:
    """Return what an hour of the crew costs: those who do more than place are paid as placers."""
    mixers = split.mixers if split.grouping == SEPARATE else 0.0
    trowellers = 0.0 if split.grouping == ALL else split.trowellers
    groups = {"mix": (mixers, wages.mix_wage), "place": (split.placers, wages.place_wage), "trowel": (trowellers, wages.trowel_wage)}
    row: Row = {f"wage_{group}": count * wage if count > 0 else 0.0 for group, (count, wage) in groups.items()}
    return row | {"wage": ratio(sum(row.values()), split.crew_size)}


def _ranks(one: _Priced, priced: list[_Priced]) -> Row:
    """Return how many splits of as many people are better, among those that pass and among those that fail."""
    if not known(one.cost):
        return {}
    better = [
        other
        for other in priced
        if other.crew.hands.crew_size == one.crew.hands.crew_size and (other.cost, other.number) < (one.cost, one.number)
    ]
    beaten, outdone = float(sum(other.passes for other in better)), float(sum(other.fails for other in better))
    return {
        "beaten": beaten,
        "best": flag(holds=one.passes and beaten == 0),
        "outdone": outdone,
        "nearest": flag(holds=one.fails and outdone == 0),
    }


def make_best_crew(crews: Crews, chosen: float) -> BestCrew:
    """Name the best split of each number of people: 0 where none passes, where the cheapest that fails is shown."""
    rows: list[Row] = []
    for people in range(1, MOST_PEOPLE + 1):
        row: Row = {"number": float(people)}
        if known(chosen):
            split_no, nearest_no = _marked(crews, crews.best, people), _marked(crews, crews.nearest, people)
            shown = split_no or nearest_no
            row |= {"split_no": split_no, "nearest_no": nearest_no, "shown_no": shown or MISSING}
        rows.append(row)
    return table(BestCrew, rows)


def _marked(crews: Crews, marks: Column, people: int) -> float:
    """Return the number of the split of so many people that is marked, 0 for none [no]."""
    pairs = enumerate(zip(crews.people, marks, strict=True), start=1)
    return next((float(number) for number, pair in pairs if pair == (people, 1)), 0.0)
