"""Best crew: the pour that the crew table is for."""


from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.crew import PourToStaff
from sheetgen.engine.hands import BatchMinutes
from sheetgen.engine.missing import MISSING, known, sixth
from sheetgen.engine.totals import at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.planned import Poured


@attrs.frozen(kw_only=True)
class Chosen:
    """What the chosen pour is made of."""

    block: ClassVar[str] = "chosen"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    mix: float = figure("minute")
    place: float = figure("minute")
    trowel: float = figure("minute")
    second: float = figure("minute")
    batches: float = figure("batch")
    width: float = figure("length")
    bay_across: float = figure("length")
    strips: float = figure("count")
    working_limit: float = figure("minute")
    open_limit: float = figure("minute")
    earliest: float = figure("minute")
    latest: float = figure("minute")
    opening: float = figure("minute")
    length: float = figure("minute")
    first_row: float = figure("no")
    tail: float = figure("minute")
    narrow: float = figure("count")
    apart: float = figure("count")

    def to_staff(self) -> PourToStaff:
        """Return the pour as the crew table takes it."""
        return PourToStaff(
            batches=self.batches,
            minutes=BatchMinutes(mix=self.mix, place=self.place, trowel=self.trowel, second=self.second),
            width_ft=self.width,
            bay_across_ft=self.bay_across,
            strips=self.strips,
            working_time_min=self.working_limit,
            open_time_min=self.open_limit,
            earliest_min=self.earliest,
            latest_min=self.latest,
        )


def make_chosen(poured: Poured, chosen: float) -> Chosen:
    """Look the chosen pour up, missing where none is chosen."""
    hands, sizes, limits = poured.layout.hands, poured.layout.sizes, poured.layout.limits
    second, earliest, latest = at(hands.second_used, chosen), at(limits.earliest, chosen), at(limits.latest, chosen)
    tail = 0.0 if second == 0 else earliest + second
    too_long = float(sixth(tail) > sixth(latest)) if known(second) else MISSING
    return Chosen(
        mix=at(hands.mix_used, chosen),
        place=at(hands.place_used, chosen),
        trowel=at(hands.trowel_used, chosen),
        second=second,
        batches=at(sizes.batches, chosen),
        width=at(sizes.width, chosen),
        bay_across=at(sizes.bay_across, chosen),
        strips=at(sizes.strips, chosen),
        working_limit=at(limits.working_limit, chosen),
        open_limit=at(limits.open_limit, chosen),
        earliest=earliest,
        latest=latest,
        opening=at(poured.batches.times.opening, chosen),
        length=at(poured.batches.times.length, chosen),
        first_row=at(sizes.first_row, chosen),
        tail=tail,
        narrow=too_long if second != 0 and known(latest) else 0.0,
        apart=at(sizes.batches, chosen) - 1,
    )
