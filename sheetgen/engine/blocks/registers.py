"""The names that people type into a job, each leading to a number."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.names import Register, keys

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class Registers:
    """The names of each block that others refer to."""

    zones: Register
    systems: Register
    products: Register
    tasks: Register
    roles: Register
    orders: Register


def make_registers(job: Job) -> Registers:
    """Register the names of every block."""
    return Registers(
        zones=Register(keys([one.name for one in job.zones])),
        systems=Register(keys([one.name for one in job.systems])),
        products=Register(keys([one.name for one in job.products])),
        tasks=Register(keys([one.name for one in job.tasks])),
        roles=Register(keys([one.name for one in job.roles])),
        orders=Register(keys([one.name for one in job.change_orders])),
    )
