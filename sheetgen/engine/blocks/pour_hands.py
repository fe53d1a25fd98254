"""Pour plan: the hands of each pour, and what a batch takes them."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.hands import ALL, SEPARATE, BatchMinutes, Hands, stage_minutes
from sheetgen.engine.lists import GROUPINGS, PACES, number_of
from sheetgen.engine.missing import MISSING, given, known, sixth, value
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import Pour, ToppingSystem

# Each group of hands, and the stage it works at.
_STAGE_OF: Final = {"mixers": "mix", "placers": "place", "trowellers": "trowel"}


@attrs.frozen(kw_only=True)
class CrewChoices:
    """What the crew does where a pour does not say otherwise."""

    block: ClassVar[str] = "crew"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    grouping_no: float = figure("no")
    pace_no: float = figure("no")


@attrs.frozen(kw_only=True)
class PourHands:
    """Who pours, and how long a batch takes them, whatever else is wrong with the pour."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    sheet_earliest: Column = figure("minute")
    mix_used: Column = figure("minute")
    place_used: Column = figure("minute")
    trowel_used: Column = figure("minute")
    second_used: Column = figure("minute")
    grouping_no: Column = figure("no")
    pace_no: Column = figure("no")
    mixers_used: Column = figure("count")
    placers_used: Column = figure("count")
    trowellers_used: Column = figure("count")
    d_mix: Column = figure("minute")
    d_place: Column = figure("minute")
    d_trowel: Column = figure("minute")
    lack_mix: Column = figure("count")
    lack_place: Column = figure("count")
    lack_trowel: Column = figure("count")
    turn_mix: Column = figure("count")
    turn_place: Column = figure("count")
    turn_trowel: Column = figure("count")
    step_mix: Column = figure("minute")
    step_place: Column = figure("minute")
    step_trowel: Column = figure("minute")
    mix_hands: Column = figure("count")
    late_hands: Column = figure("count")
    crew_size: Column = figure("count")
    trowel_hands: Column = figure("count")

    def minutes_at(self, row: int) -> BatchMinutes:
        """Return what a batch of a pour takes, missing where it is not known."""
        return BatchMinutes(
            mix=self.mix_used[row], place=self.place_used[row], trowel=self.trowel_used[row], second=self.second_used[row]
        )

    def hands_at(self, row: int) -> Hands | None:
        """Return who stands at a pour, if the grouping is one of the list."""
        grouping = self.grouping_at(row)
        if grouping is None:
            return None
        counts = (self.mixers_used[row], self.placers_used[row], self.trowellers_used[row])
        return Hands(grouping=grouping, mixers=counts[0], placers=counts[1], trowellers=counts[2])

    def grouping_at(self, row: int) -> str | None:
        """Return how the hands of a pour stand, if that is in the list."""
        number = self.grouping_no[row]
        return GROUPINGS[int(number) - 1] if known(number) else None

    def pace_at(self, row: int) -> str | None:
        """Return the pace of a pour, if it is in the list."""
        number = self.pace_no[row]
        return PACES[int(number) - 1] if known(number) else None

    def lacks_at(self, row: int) -> float:
        """Count the stages of a pour whose hands are missing [count]."""
        return self.lack_mix[row] + self.lack_place[row] + self.lack_trowel[row]


def make_crew_choices(job: Job) -> CrewChoices:
    """Find the crew's choices in their lists."""
    return CrewChoices(grouping_no=number_of(GROUPINGS, job.crew.grouping), pace_no=number_of(PACES, job.crew.pace))


def make_pour_hands(job: Job, pours: PourZones, crew: CrewChoices) -> PourHands:
    """Choose minutes and hands of each pour, its own before those of the crew."""
    nobody: Row = {f"lack_{stage}": 0.0 for stage in _STAGE_OF.values()}
    rows: list[Row] = []
    for row, pour in enumerate(job.pours):
        if not known(pours.started[row]):
            rows.append(nobody)
            continue
        chosen = _chosen(job, pour, system_of(job, pours.system_no[row]), crew)
        rows.append(chosen | _stages(chosen) | _counted(chosen))
    return table(PourHands, rows)


def _chosen(job: Job, pour: Pour, system: ToppingSystem, crew: CrewChoices) -> Row:
    earliest = value(system.second_earliest)
    has_second = pour.second is not None or (known(earliest) and earliest != 0)
    row: Row = {
        f"{part}_used": _not_negative(given(getattr(pour, part), value(getattr(job.crew, part))))
        for part in ("mix", "place", "trowel", "second")
    }
    row |= {f"{group}_used": given(getattr(pour, group), value(getattr(job.crew, group))) for group in _STAGE_OF}
    return row | {
        "sheet_earliest": earliest,
        "second_used": row["second_used"] if has_second else 0.0,
        "grouping_no": number_of(GROUPINGS, pour.grouping, blank=crew.grouping_no),
        "pace_no": number_of(PACES, pour.pace, blank=crew.pace_no),
    }


def _not_negative(minutes: float) -> float:
    """Keep minutes that can be; those below 0 are missing [min]."""
    return minutes if minutes >= 0 else MISSING


def _stages(chosen: Row) -> Row:
    """Return for each stage its minutes, who lacks, whose turn it is, and how often a batch passes."""
    taken = (MISSING,) * len(_STAGE_OF)
    if known(chosen["grouping_no"]):
        minutes = BatchMinutes(mix=chosen["mix_used"], place=chosen["place_used"], trowel=chosen["trowel_used"])
        taken = stage_minutes(minutes, GROUPINGS[int(chosen["grouping_no"]) - 1])
    row: Row = {}
    for (group, stage), minute in zip(_STAGE_OF.items(), taken, strict=True):
        hands = chosen[f"{group}_used"]
        turn = (hands if minute > 0 else 0.0) if known(minute) else MISSING
        row |= {
            f"d_{stage}": minute,
            f"lack_{stage}": flag(holds=minute > 0 and not (hands >= 1 and sixth(hands) == sixth(hands) // 1)),
            f"turn_{stage}": turn,
            f"step_{stage}": (minute / turn if turn > 0 else 0.0) if known(turn) else MISSING,
        }
    return row


def _counted(chosen: Row) -> Row:
    """Return how many people there are, and how many of them trowel."""
    number = chosen["grouping_no"]
    if not known(number):
        return {}
    grouping = GROUPINGS[int(number) - 1]
    mix_hands = chosen["mixers_used"] if grouping == SEPARATE else 0.0
    late_hands = 0.0 if grouping == ALL else chosen["trowellers_used"]
    return {
        "mix_hands": mix_hands,
        "late_hands": late_hands,
        "crew_size": mix_hands + chosen["placers_used"] + late_hands,
        "trowel_hands": chosen["placers_used"] if grouping == ALL else late_hands,
    }
