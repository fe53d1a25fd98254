"""What lines and tasks count, and where: a basis within a system, a surface and a zone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from sheetgen.engine.blocks.table import Row, flag
from sheetgen.engine.lists import BASES, SURFACES, number_of
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.totals import Column, total

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis, Has
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
    system_no, surface_no, zone_no : float
        Where: 0 for any, missing where a name is not matched [no].
    """

    basis_no: float = MISSING
    system_no: float = MISSING
    surface_no: float = MISSING
    zone_no: float = MISSING

    def figures(self) -> Row:
        """Return the numbers, and 1 for each surface in scope."""
        inside = {
            f"in_{code}": flag(holds=self.surface_no in {ANY, number}) if known(self.surface_no) else MISSING
            for number, code in enumerate(SURFACES, start=1)
        }
        return attrs.asdict(self) | inside

    @property
    def once(self) -> float:
        """1 where the basis counts once for the whole job, else 0 [basis]."""
        return flag(holds=self.basis_no == _ONCE) if known(self.basis_no) else MISSING


def scope_of(row: Line | Task, systems: Register, zones: Register) -> Scope:
    """Match what a started line or task counts, and where."""
    return Scope(
        basis_no=number_of(BASES, row.basis),
        system_no=systems.number(row.system, blank=ANY),
        surface_no=number_of(SURFACES, row.surface, blank=ANY),
        zone_no=zones.number(row.zone, blank=ANY),
    )


def scope_at(block: Any, row: int) -> Scope:
    """Return the scope of a row of lines or tasks."""
    return Scope(
        basis_no=block.basis_no[row],
        system_no=block.system_no[row],
        surface_no=block.surface_no[row],
        zone_no=block.zone_no[row],
    )


def by_surface(counts: Basis | Has, names: ZoneNames, scope: Scope) -> tuple[float, ...]:
    """Return the basis on each surface, within system and zone, whatever surface the row is for [basis]."""
    if not (known(scope.basis_no) and known(scope.system_no) and known(scope.zone_no)):
        return (MISSING,) * len(SURFACES)
    amounts = counts.of(scope.basis_no)
    return tuple(total(_on(amounts, names, scope, float(surface_no)), names.started) for surface_no in range(1, len(SURFACES) + 1))


def _on(amounts: Column, names: ZoneNames, scope: Scope, surface_no: float) -> Column:
    """Return the amounts on one surface, 0 elsewhere; a missing one stays missing wherever it is."""
    places = zip(amounts, names.surface_no, names.system_no, names.order, strict=True)
    return tuple(
        amount if (on == surface_no and scope.system_no in {ANY, of} and scope.zone_no in {ANY, at}) or not known(amount) else 0.0
        for amount, on, of, at in places
    )
