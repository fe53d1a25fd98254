"""Rates tuned on past work: how far each moves, in one pass over the table, for many selections of its rows at once."""

from __future__ import annotations

from typing import Final

import attrs
import numpy as np

from sheetgen.engine.tuning import apart
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.huber import Centres, huber
from sheetgen.engine.tuning.past import Flags, Past
from sheetgen.engine.tuning.shrink import Moves, shrunk
from sheetgen.engine.tuning.spreads import Spreads, steady

_LEAST_REST: Final = 0.05


@attrs.frozen(eq=False)
class Fitted:
    """What the jobs say of each task as a whole; a row for each selection, a column for each task.

    Parameters
    ----------
    groups : Groups
        The rows of each selection and task.
    centres : Centres
        Size, centre and spread of ln(actual/reckoned), in one axis.
    spreads : Spreads
        The spreads, steadied.
    moves : Moves
        How far each rate moves.
    """

    groups: Groups
    centres: Centres
    spreads: Spreads
    moves: Moves


def fit(past: Past, selection: Groups) -> Fitted:
    """Tune on each selection of rows.

    Parameters
    ----------
    past : Past
        Past work; a row may stand in it once for each selection.
    selection : Groups
        Which selection a row belongs to.

    Returns
    -------
    Fitted
        For each selection and task.
    """
    groups = Groups(selection.of_row * past.tasks + past.task, selection.count * past.tasks)
    centres = huber(past.log_ratio, groups, past.weight)
    spreads = steady(centres, past.tasks)
    shape = spreads.used.shape
    return Fitted(groups, centres, spreads, shrunk(centres.centre.reshape(shape), centres.size.reshape(shape), spreads.used))


def factors(past: Past, fitted: Fitted, taken_apart: Flags) -> apart.Sides:
    """Compute what set-up and the rest of the hours become.

    Parameters
    ----------
    past : Past
        The same rows.
    fitted : Fitted
        What they say.
    taken_apart : array of bool
        For each task, whether the two are fitted apart.

    Returns
    -------
    apart.Sides
        For each selection and task; the same factor twice where they are not.
    """
    moves = fitted.moves.move
    whole = np.exp(moves)
    if not taken_apart.any():
        return apart.Sides(whole, whole)
    rows = taken_apart[past.task]
    chosen, among = past.only(rows), Groups(fitted.groups.of_row[rows], fitted.groups.count)
    centre, used = fitted.centres.centre, fitted.spreads.used.ravel()
    sides = apart.robust_fit(chosen, among, centre, used)
    _, strength = apart.slope_chance(chosen, among, centre, used, fitted.spreads.degrees.ravel())
    drawn = apart.drawn_together(sides, centre, moves.ravel(), strength)
    # A fit in which all work is set-up leaves no rate: then the task moves as a whole.
    sound = np.isfinite(drawn.set_up) & (drawn.rest > _LEAST_REST)
    chosen_tasks = np.broadcast_to(taken_apart, whole.shape) & sound.reshape(whole.shape)
    return apart.Sides(
        set_up=np.where(chosen_tasks, drawn.set_up.reshape(whole.shape), whole),
        rest=np.where(chosen_tasks, drawn.rest.reshape(whole.shape), whole),
    )
