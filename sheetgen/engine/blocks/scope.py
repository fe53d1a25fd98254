"""What lines and tasks count, and where: a basis within a system, a surface, a zone, and where a repair is accepted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from sheetgen.engine.blocks.table import Row, flag
from sheetgen.engine.lists import BASES, CRITERIA, SURFACES, number_of
from sheetgen.engine.missing import MISSING, known, smaller
from sheetgen.engine.totals import Column, total

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis, Has, Laid
    from sheetgen.engine.blocks.slab import Repairs
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import Line, Task

# A scope left blank holds for all.
ANY = 0.0
_ONCE = BASES.index("once") + 1.0


@attrs.frozen(kw_only=True)
class Scope:
    """What one line or task counts, and where.

    Parameters
    ----------
    basis_no : float
        What it counts [no].
    system_no, surface_no, zone_no, repair_no : float
        Where: 0 for any, missing where a name is not matched [no].
    """

    basis_no: float = MISSING
    system_no: float = MISSING
    surface_no: float = MISSING
    zone_no: float = MISSING
    repair_no: float = MISSING

    def figures(self) -> Row:
        """Return the numbers, and 1 for each surface in scope."""
        inside = {
            f"in_{code}": flag(holds=self.surface_no in {ANY, number}) if known(self.surface_no) else MISSING
            for number, code in enumerate(SURFACES, start=1)
        }
        return attrs.asdict(self) | inside

    @property
    def mask(self) -> float:
        """Column of the table of repairs that says which zones count: 1 for all of them [no]."""
        return self.repair_no + 1


def scope_of(row: Line | Task, systems: Register, zones: Register) -> Scope:
    """Match what a started line or task counts, and where."""
    return Scope(
        basis_no=number_of(BASES, row.basis),
        system_no=systems.number(row.system, blank=ANY),
        surface_no=number_of(SURFACES, row.surface, blank=ANY),
        zone_no=zones.number(row.zone, blank=ANY),
        repair_no=number_of(CRITERIA, row.repair, blank=ANY),
    )


def scope_at(block: Any, row: int) -> Scope:
    """Return the scope of a row of lines or tasks."""
    return Scope(
        basis_no=block.basis_no[row],
        system_no=block.system_no[row],
        surface_no=block.surface_no[row],
        zone_no=block.zone_no[row],
        repair_no=block.repair_no[row],
    )


@attrs.frozen(kw_only=True)
class Ground:
    """The zones that lines and tasks may count, and what is to be repaired in them.

    Parameters
    ----------
    names, laid, repairs
        Figures of the zones: one with a fault has no system laid.
    """

    names: ZoneNames
    laid: Laid
    repairs: Repairs

    def inside(self, scope: Scope) -> tuple[bool, ...]:
        """Tell for each zone whether it is in a scope whose names are all matched, and its repair accepted."""
        accepted = self.repairs.accepted(scope.repair_no)
        zones = zip(self.names.surface_no, self.laid.system_no, self.names.order, accepted, strict=True)
        return tuple(
            scope.surface_no in {ANY, on} and scope.system_no in {ANY, of} and scope.zone_no in {ANY, at} and here == 1
            for on, of, at, here in zones
        )

    def zones_in(self, scope: Scope) -> float:
        """Count the zones in a scope, missing where a name of it is not matched [count]."""
        if not known(scope.surface_no + scope.system_no + scope.zone_no + scope.repair_no):
            return MISSING
        return float(sum(self.inside(scope)))


def counted_once(scope: Scope, places: float) -> float:
    """Return 1 where the basis counts once for the whole job, else 0; a repair counts where it is accepted somewhere.

    Parameters
    ----------
    scope : Scope
        What a line or task counts, and where.
    places : float
        In how many zones, perhaps missing [count].

    Returns
    -------
    float
        1 or 0, missing where the basis is not matched, or the places of a repair are not known [basis].
    """
    if not known(scope.basis_no + scope.repair_no):
        return MISSING
    once = flag(holds=scope.basis_no == _ONCE)
    return once if scope.repair_no == ANY else once * smaller(1.0, places)


def by_surface(counts: Basis | Has, ground: Ground, scope: Scope) -> tuple[float, ...]:
    """Return the basis on each surface, within system, zone and repair, whatever surface the row is for [basis]."""
    if not known(scope.basis_no + scope.system_no + scope.zone_no + scope.repair_no):
        return (MISSING,) * len(SURFACES)
    amounts, names = counts.of(scope.basis_no), ground.names
    inside = ground.inside(attrs.evolve(scope, surface_no=ANY))
    return tuple(
        total(_on(amounts, names.surface_no, inside, float(surface_no)), names.started)
        for surface_no in range(1, len(SURFACES) + 1)
    )


def _on(amounts: Column, surface_nos: Column, inside: tuple[bool, ...], surface_no: float) -> Column:
    """Return the amounts on one surface, 0 elsewhere; a missing one stays missing wherever it is."""
    return tuple(
        amount if (here and on == surface_no) or not known(amount) else 0.0
        for amount, on, here in zip(amounts, surface_nos, inside, strict=True)
    )
