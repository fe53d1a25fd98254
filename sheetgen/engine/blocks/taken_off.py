"""Takeoff: all its blocks, one after the other, and the options that change its zones."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.areas import Areas, make_areas
from sheetgen.engine.blocks.bidding import Scenes, make_scenes
from sheetgen.engine.blocks.joints import Joints, JointSums, make_joint_sums, make_joints
from sheetgen.engine.blocks.linear import Linears, make_linears
from sheetgen.engine.blocks.offsets import Offsets, make_offsets
from sheetgen.engine.blocks.options import make_options
from sheetgen.engine.blocks.zones import (
    Lone,
    Measured,
    RangeOfZones,
    ZoneFigures,
    ZoneNames,
    make_lone,
    make_measured,
    make_range_of_zones,
    make_zone_names,
    make_zones,
    with_accepted,
)

if TYPE_CHECKING:
    from sheetgen.engine.blocks.registers import Registers
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class TakenOff:
    """What is measured, zone by zone; its zones are as the accepted options change them."""

    offsets: Offsets
    areas: Areas
    linears: Linears
    joints: Joints
    joint_sums: JointSums
    names: ZoneNames
    lone: Lone
    ranges: RangeOfZones
    scenes: Scenes
    zones: ZoneFigures
    measured: Measured

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures but those of the survey."""
        own = (self.offsets, self.areas, self.linears, self.names, self.lone, self.ranges, self.zones, self.measured)
        return (*own, self.scenes.options)


def make_taken_off(job: Job, known: Registers, display: Display) -> TakenOff:
    """Measure the zones, and change them as the accepted options say."""
    offsets = make_offsets(job)
    areas = make_areas(job, known.zones, offsets, display)
    linears = make_linears(job, known.zones)
    joints = make_joints(job, known.zones)
    typed_names = make_zone_names(job, known.systems)
    lone = make_lone(typed_names)
    ranges = make_range_of_zones(job, typed_names, display)
    scenes = make_scenes(job, make_options(job, known, typed_names, ranges, lone, display))
    accepted = scenes.wins(job, "accepted", typed_names, lone)
    names = with_accepted(typed_names, accepted.system_no)
    joint_sums = make_joint_sums(joints, names)
    zones = make_zones(job, names, accepted.depth, areas, linears, joint_sums, display)
    return TakenOff(
        offsets=offsets,
        areas=areas,
        linears=linears,
        joints=joints,
        joint_sums=joint_sums,
        names=names,
        lone=lone,
        ranges=ranges,
        scenes=scenes,
        zones=zones,
        measured=make_measured(names, zones, areas, linears),
    )
