"""Survey: the state of every criterion in every zone, the verdicts, and the repairs that are accepted."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import survey
from sheetgen.engine.blocks.observed import ByCriterion, Observed
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.criteria import RULES, Criterion
from sheetgen.engine.lists import CRITERIA, PLACES, SURFACES
from sheetgen.engine.missing import MISSING, known, larger
from sheetgen.engine.slab_limits import NO_LIMIT
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.zones import ZoneFigures, ZoneNames
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import SlabCheck
    from sheetgen.engine.totals import Column


@attrs.frozen(kw_only=True)
class Slab:
    """Every criterion in every zone: zone 1 with all criteria, then zone 2."""

    block: ClassVar[str] = "slab"
    over: ClassVar[str | None] = "slab"
    scenario: ClassVar[bool] = False

    surface_no: Column = figure("no")
    place_no: Column = figure("no")
    on_surface: Column = figure("count")
    in_place: Column = figure("count")
    have: Column = figure("count")
    bad: Column = figure("count")
    source_no: Column = figure("no")
    asked: Column = figure("count")
    applies: Column = figure("count")
    area: Column = figure("area")
    further: Column = figure("area")
    more: Column = figure("count")
    needed: Column = figure("count")
    untried: Column = figure("no")
    state_no: Column = figure("no")
    failing: Column = figure("count")
    stopping: Column = figure("count")
    untested: Column = figure("count")
    accepting: Column = figure("count")
    repairing: Column = figure("count")
    failed_before: Column = figure("count")
    fails_so_far: Column = figure("count")
    first_fail: Column = figure("no")


@attrs.frozen(kw_only=True)
class Verdicts:
    """The verdict of each zone."""

    block: ClassVar[str] = "verdicts"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    failing: Column = figure("count")
    stopping: Column = figure("count")
    untested: Column = figure("count")
    accepted: Column = figure("count")
    repairing: Column = figure("count")
    calm_no: Column = figure("no")
    verdict_no: Column = figure("no")
    reason_no: Column = figure("no")
    not_ready: Column = figure("count")


# A verdict's counts, and the flags of the pairs that they add up.
_COUNTED = {"failing": "failing", "stopping": "stopping", "untested": "untested", "accepted": "accepting", "repairing": "repairing"}


@attrs.frozen(kw_only=True)
class Repairs(ByCriterion):
    """Which repairs are taken into labour and materials, zone by zone; what needs no repair is always in."""

    block: ClassVar[str] = "repairs"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    always: Column = figure("count")

    def accepted(self, repair_no: float) -> Column:
        """Return 1 for each zone in which a repair is accepted; for repair 0, for every zone [count]."""
        return self.always if repair_no == 0 else self.of(CRITERIA[int(repair_no) - 1])


def make_slab(job: Job, names: ZoneNames, zones: ZoneFigures, observed: Observed) -> Slab:
    """Tell the state of each pair of a zone and a criterion."""
    rows: list[Row] = []
    for at in range(len(job.zones)):
        if not known(names.started[at]):
            rows += [{}] * len(CRITERIA)
            continue
        failed = 0.0
        for number, (code, rule) in enumerate(RULES.items(), start=1):
            row: Row = {"have": observed.count.of(code)[at], "bad": observed.bad.of(code)[at], "source_no": observed.source.of(code)[at]}
            row |= _asked(rule, names, at, row) | _tests(rule, zones.area[at])
            row |= _state(rule, row, job.slab[len(rows)])
            row |= {"failed_before": failed, "fails_so_far": failed + row["failing"]}
            failed = row["fails_so_far"]
            row["first_fail"] = number * flag(holds=failed == 1) * row["failing"]
            rows.append(row)
    return table(Slab, rows)


def _tests(rule: Criterion, area_ft2: float) -> Row:
    """Return what the area adds to the tests; nothing where it is not known."""
    further = larger(0.0, area_ft2 - rule.first_area_ft2) if known(area_ft2) else 0.0
    return {"area": area_ft2, "further": further, "more": survey.tests_needed(area_ft2, 0.0, rule.first_area_ft2, rule.more_area_ft2)}


def _asked(rule: Criterion, names: ZoneNames, at: int, seen: Row) -> Row:
    """Tell whether the criterion applies to the zone."""
    surface_no, place_no = names.surface_no[at], names.place_no[at]
    row: Row = {
        "surface_no": surface_no,
        "place_no": place_no,
        "on_surface": flag(holds=SURFACES[int(surface_no) - 1] in rule.surfaces) if known(surface_no) else MISSING,
        "in_place": flag(holds=PLACES[int(place_no) - 1] in rule.places) if known(place_no) else MISSING,
        "asked": flag(holds=not rule.only_if_read or seen["have"] > 0),
    }
    limited = flag(holds=seen["source_no"] != NO_LIMIT)
    return row | {"applies": row["on_surface"] * row["in_place"] * row["asked"] * limited}


def _state(rule: Criterion, row: Row, check: SlabCheck) -> Row:
    applies = row["applies"]
    if not known(applies):
        return dict.fromkeys(("failing", "stopping", "untested", "accepting", "repairing"), MISSING)
    needed = (rule.first_count + row["more"]) * applies
    accepted = check.reason is not None and check.by is not None
    state = survey.state_no(applies=applies, have=row["have"], needed=needed, bad=row["bad"], accepted=accepted)
    fails = state == survey.FAIL
    return {
        "needed": needed,
        "untried": survey.ACCEPTED if accepted else survey.NOT_TESTED,
        "state_no": state,
        "failing": flag(holds=fails),
        "stopping": flag(holds=fails and rule.stops),
        "untested": flag(holds=state == survey.NOT_TESTED),
        "accepting": flag(holds=state == survey.ACCEPTED),
        "repairing": flag(holds=fails and check.repair == "yes"),
    }


def make_verdicts(names: ZoneNames, slab: Slab) -> Verdicts:
    """Count each zone's states and tell its verdict, with the first criterion that fails."""
    rows: list[Row] = []
    for at, begun in enumerate(names.started):
        if not known(begun):
            rows.append({})
            continue
        of_zone = slice(at * len(CRITERIA), (at + 1) * len(CRITERIA))
        counts: Row = {name: sum(getattr(slab, of)[of_zone]) for name, of in _COUNTED.items()}
        failing, stopping, untested = counts["failing"], counts["stopping"], counts["untested"]
        verdict = survey.verdict_no(stopping=stopping, failing=failing, untested=untested)
        rows.append(
            counts
            | {
                "calm_no": survey.verdict_no(stopping=0, failing=0, untested=untested),
                "verdict_no": verdict,
                "reason_no": sum(slab.first_fail[of_zone]),
                # What fails and has its repair in the bid will be mended before anything is laid.
                "not_ready": flag(holds=stopping > 0 or failing + untested > counts["repairing"]),
            }
        )
    return table(Verdicts, rows)


def make_repairs(names: ZoneNames, slab: Slab) -> Repairs:
    """Tell which repairs are accepted in each zone."""
    rows: list[Row] = []
    for at, begun in enumerate(names.started):
        of_zone = slab.repairing[at * len(CRITERIA) : (at + 1) * len(CRITERIA)]
        rows.append({"always": 1.0} | dict(zip(CRITERIA, of_zone, strict=True)) if known(begun) else {})
    return table(Repairs, rows)
