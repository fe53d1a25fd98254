"""Systems and Rates: all their blocks, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.layer_sums import LayerSums, make_layer_sums
from sheetgen.engine.blocks.lines import Lines, make_lines
from sheetgen.engine.blocks.rates import OnWages, Products, Roles, make_on_wages, make_products, make_roles
from sheetgen.engine.blocks.systems import Layers, Systems, make_layers, make_systems
from sheetgen.engine.blocks.tasks import Tasks, make_tasks

if TYPE_CHECKING:
    from sheetgen.engine.blocks.registers import Registers
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class RateBook:
    """What the owner of the books has typed once, matched and checked."""

    systems: Systems
    layers: Layers
    layer_sums: LayerSums
    on_wages: OnWages
    roles: Roles
    products: Products
    lines: Lines
    tasks: Tasks

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return tuple(getattr(self, one.name) for one in attrs.fields(RateBook))


def make_rate_book(job: Job, known: Registers, display: Display) -> RateBook:
    """Match and check systems, layers, wages, products, lines and tasks."""
    roles = make_roles(job)
    systems, layers = make_systems(job, known.products, display), make_layers(job, known.systems, known.products)
    return RateBook(
        systems=systems,
        layers=layers,
        layer_sums=make_layer_sums(systems, layers),
        on_wages=make_on_wages(job),
        roles=roles,
        products=make_products(job),
        lines=make_lines(job, known.products, known.systems, known.zones),
        tasks=make_tasks(job, roles, known.systems, known.zones),
    )
