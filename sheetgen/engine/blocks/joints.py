"""Survey: joints and cracks in the slab."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.linear import length_row
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import JOINT_KINDS
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.totals import Column, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import Joint

_JOINTS: Final = frozenset({"joint", "construction", "isolation", "moving_crack"})
_CRACKS: Final = frozenset({"moving_crack", "still_crack"})
_MOVING: Final = frozenset({"moving_crack"})


@attrs.frozen(kw_only=True)
class Joints:
    """Joints and cracks, measured; a moving crack is both."""

    block: ClassVar[str] = "joints"
    over: ClassVar[str | None] = "joints"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    zone_no: Column = figure("no")
    kind_no: Column = figure("no")
    size: Column = figure("length")
    pieces: Column = figure("count")
    place_fault: Column = figure("no")
    size_fault: Column = figure("no")
    count_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    total: Column = figure("length")
    joint_length: Column = figure("length")
    crack_length: Column = figure("length")
    moving_length: Column = figure("length")
    cut_length: Column = figure("length")
    moving_known: Column = figure("length")


@attrs.frozen(kw_only=True)
class JointSums:
    """What the survey found by length in each zone."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    crack_survey: Column = figure("length")
    joint_survey: Column = figure("length")
    cut_survey: Column = figure("length")
    moving: Column = figure("length")


def make_joints(job: Job, zones: Register) -> Joints:
    """Measure each joint and crack, and tell what its length counts for."""
    rows = [length_row(typed, JOINT_KINDS, zones) for typed in job.joints]
    return table(Joints, [row | _lengths(typed, row["total"]) if row else row for typed, row in zip(job.joints, rows, strict=True)])


def _lengths(typed: Joint, total_ft: float) -> Row:
    kind = typed.kind or JOINT_KINDS[0]
    moving_ft = total_ft * flag(holds=kind in _MOVING)
    return {
        "joint_length": total_ft * flag(holds=kind in _JOINTS),
        "crack_length": total_ft * flag(holds=kind in _CRACKS),
        "moving_length": moving_ft,
        "moving_known": moving_ft if known(moving_ft) else 0.0,
        "cut_length": total_ft * flag(holds=typed.recut == "yes"),
    }


def make_joint_sums(joints: Joints, zones: ZoneNames) -> JointSums:
    """Add up each zone's joints and cracks; a row with a fault still tells nothing of a moving crack."""

    def by_zone(lengths: Column) -> Column:
        sums = totals_by_number(lengths, joints.started, joints.zone_no, len(zones.started))
        return tuple(length if known(begun) else MISSING for length, begun in zip(sums, zones.started, strict=True))

    return JointSums(
        crack_survey=by_zone(joints.crack_length),
        joint_survey=by_zone(joints.joint_length),
        cut_survey=by_zone(joints.cut_length),
        moving=by_zone(joints.moving_known),
    )
