"""Under which conditions a job was done, as far as its book tells."""

from __future__ import annotations

from collections import defaultdict
from typing import Final

import attrs

from sheetgen.engine.inputs import Job
from sheetgen.engine.lists import PLACES, SURFACES
from sheetgen.engine.values import Values

# Less of the area than this is of one kind: then the job is of several.
_MOSTLY: Final = 0.8
SEVERAL: Final = "several"
_SCENARIO: Final = "accepted"


@attrs.frozen
class Site:
    """Conditions of a job; None where the book does not tell.

    Parameters
    ----------
    surface, grade, place : str or None
        Of four fifths of the area at least, else ``several``.
    temperature : float or None
        Of the air, where most of the area lies [°F].
    crew_size : float or None
        Mean of the people who worked at once, by their hours [count].
    job_size : float or None
        Area [ft²].
    """

    surface: str | None = None
    grade: str | None = None
    place: str | None = None
    temperature: float | None = None
    crew_size: float | None = None
    job_size: float | None = None


def site_of(job: Job, values: Values) -> Site:
    """Return the conditions of a job.

    Parameters
    ----------
    job : Job
        In US units.
    values : Values
        Its figures.

    Returns
    -------
    Site
        A zone without a choice has the first of the list, as in the book.
    """
    areas = [area if isinstance(area, float) else 0.0 for area in values.column("laid.area", _SCENARIO)]
    systems = values.column("laid.system_no", _SCENARIO)
    of_system = {float(number): system.grade for number, system in enumerate(job.systems, start=1)}
    place = _mostly([zone.place or PLACES[0] for zone in job.zones], areas)
    return Site(
        surface=_mostly([zone.surface or SURFACES[0] for zone in job.zones], areas),
        grade=_mostly([of_system.get(number) if isinstance(number, float) else None for number in systems], areas),
        place=place,
        temperature=_air(job, place),
        crew_size=_crew_size(job),
        job_size=sum(areas) or None,
    )


def _mostly(kinds: list[str | None] | list[str], areas: list[float]) -> str | None:
    """Return the kind of most of the area; None where that is not known."""
    of_kind: dict[str | None, float] = defaultdict(float)
    for kind, area in zip(kinds, areas, strict=True):
        of_kind[kind] += area
    whole = sum(of_kind.values())
    if not whole:
        return None
    kind, most = max(of_kind.items(), key=lambda one: one[1])
    return kind if most >= _MOSTLY * whole else SEVERAL


def _air(job: Job, place: str | None) -> float | None:
    number = PLACES.index(place) if place in PLACES else 0
    return job.weather[number].air if number < len(job.weather) else None


def _crew_size(job: Job) -> float | None:
    rows = [(entry.people or 1.0, entry.hours_each) for entry in job.hours_log if entry.hours_each]
    hours = sum(people * each for people, each in rows)
    return sum(people * people * each for people, each in rows) / hours if hours else None


