"""Past work as one flat table: a row for each task (or product) of each job, with what it took and what was reckoned."""

from __future__ import annotations

from typing import Any, Final

import attrs
import numpy as np
import numpy.typing as npt

from sheetgen.engine.ranges import OutOfRangeError

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

_COLUMNS: Final = ("job", "task", "actual", "reckoned", "set_up", "weight")


def _floats(values: Any) -> Floats:
    return np.ascontiguousarray(values, dtype=np.float64)


def _whole(values: Any) -> Whole:
    return np.ascontiguousarray(values, dtype=np.intp)


@attrs.frozen(eq=False, kw_only=True)
class Past:
    """Past work, a row for each job and task.

    The same table serves for materials: then a task is a product, hours are packages used and packages needed.

    Parameters
    ----------
    job, task : array of int
        Which job and which task, from 0 [no].
    actual : array of float
        What it took, above 0 [h].
    reckoned : array of float
        What the present rates give for the work really done, above 0 [h].
    set_up : array of float
        Part of that which is set-up, 0 to all of it [h].
    weight : array of float
        How much a row counts, above 0; 1 unless old jobs count less [-].
    jobs, tasks : int
        How many there are [count].

    Raises
    ------
    OutOfRangeError
        A number is not in its range; a figure that is not known has no place in the table.
    """

    job: Whole = attrs.field(converter=_whole)
    task: Whole = attrs.field(converter=_whole)
    actual: Floats = attrs.field(converter=_floats)
    reckoned: Floats = attrs.field(converter=_floats)
    set_up: Floats = attrs.field(converter=_floats)
    weight: Floats = attrs.field(converter=_floats)
    jobs: int
    tasks: int

    @set_up.default
    def _no_set_up(self) -> Floats:
        return np.zeros_like(self.actual)

    @weight.default
    def _all_alike(self) -> Floats:
        return np.ones_like(self.actual)

    def __attrs_post_init__(self) -> None:
        for name in ("actual", "reckoned", "weight"):
            _require(name, getattr(self, name), getattr(self, name) > 0, "above 0")
        _require("set_up", self.set_up, (self.set_up >= 0) & (self.set_up <= self.reckoned), "0 to what was reckoned")
        for name, count in (("job", self.jobs), ("task", self.tasks)):
            held = getattr(self, name)
            _require(name, held, (held >= 0) & (held < count), f"0 to {count - 1}")

    def __len__(self) -> int:
        return len(self.actual)

    def only(self, rows: Whole | Flags) -> Past:
        """Return some of the rows.

        Parameters
        ----------
        rows : array of int or of bool
            Which; a row may be named more than once [no].

        Returns
        -------
        Past
            With as many jobs and tasks as before.
        """
        return attrs.evolve(self, **{name: getattr(self, name)[rows] for name in _COLUMNS})

    @property
    def log_ratio(self) -> Floats:
        """What it took by what was reckoned, as a logarithm: 0 where the present rate was right [-]."""
        return np.log(self.actual / self.reckoned)


def _require(name: str, held: npt.NDArray[Any], holds: Flags, allowed: str) -> None:
    # Written so that what is not a number is refused too.
    if not holds.all():
        raise OutOfRangeError(name, float(held[~holds][0]), allowed)
