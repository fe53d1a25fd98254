"""What to do about each rate: keep it, change it, or wait for more jobs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import attrs
import numpy as np

from sheetgen.engine.tuning import holm
from sheetgen.engine.tuning.past import Flags, Floats

# Under so many jobs nothing is said of a rate; trade, rates from past jobs.
LEAST_JOBS: Final = 4
# A rate book in which nothing is wrong has a change recommended no more often than this, whatever the number of its rates.
LEVEL: Final = 0.05
# What alone would look sure, and is worth watching.
_WATCH: Final = 0.10
# A change smaller than this is not worth the owner's time; common practice, no source.
LEAST_CHANGE: Final = 0.03

FEW: Final = "few"
KEEP: Final = "keep"
WATCH: Final = "watch"
CHANGE: Final = "change"
CODES: Final = (FEW, KEEP, WATCH, CHANGE)


@attrs.frozen(eq=False)
class Evidence:
    """What speaks for a change of each rate.

    Parameters
    ----------
    jobs : array of float
        How many jobs it rests on [count].
    chances : array of float
        How often the jobs would say so by chance though the present rate is right [share].
    change : array of float
        Logarithm by which the hours of a job of middle size change, the larger part where set-up and rate part [-].
    before, after : array of float
        Error of the back-test with the present and with the tuned rates [-].
    """

    jobs: Floats
    chances: Floats
    change: Floats
    before: Floats
    after: Floats


def joined(parts: Sequence[Evidence]) -> Evidence:
    """Put evidence of several kinds together, so that all of it is decided on at once.

    Parameters
    ----------
    parts : sequence of Evidence
        Such as that of hours and that of waste.

    Returns
    -------
    Evidence
        One after the other.
    """
    return Evidence(*(np.concatenate([getattr(part, one.name) for part in parts]) for one in attrs.fields(Evidence)))


def recommend(evidence: Evidence) -> tuple[tuple[str, ...], Floats]:
    """Say what to do about each rate of a book, all of them looked at together.

    Parameters
    ----------
    evidence : Evidence
        Of every rate and every waste of the book, for they are all decided on together.

    Returns
    -------
    codes : tuple of str
        ``few``: not enough jobs; ``keep``: nothing speaks against the present rate; ``watch``: it may be wrong, but looking at
        so many rates one looks like that by chance; ``change``: it is wrong, and the tuned one predicts better.
    chances : array of float
        Adjusted for how many rates are looked at; missing with too few jobs [share].

    Notes
    -----
    That the back-test is better is not enough: by chance alone it is, for one rate in four or five that is right (simulated, 5 to 20 jobs).
    """
    enough = evidence.jobs >= LEAST_JOBS
    chances = np.where(enough, evidence.chances, np.nan)
    adjusted = holm.together(chances)
    with np.errstate(invalid="ignore"):
        better = (evidence.after < evidence.before) & (np.abs(evidence.change) >= np.log1p(LEAST_CHANGE))
        sure, maybe = adjusted <= LEVEL, chances <= _WATCH
    return tuple(map(_code, enough, better, sure, maybe)), adjusted


def _code(enough: Flags, better: Flags, sure: Flags, maybe: Flags) -> str:
    if not enough:
        return FEW
    if not better:
        return KEEP
    return CHANGE if sure else WATCH if maybe else KEEP
