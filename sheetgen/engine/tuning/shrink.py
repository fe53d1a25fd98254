"""How far each rate moves: less than its jobs say, the less the fewer they are and the more alike all rates prove right."""

from __future__ import annotations

import attrs
import numpy as np

from sheetgen.engine.tuning.huber import LOSS
from sheetgen.engine.tuning.past import Floats


@attrs.frozen(eq=False)
class Moves:
    """How far each rate moves; the last axis of each is the tasks.

    Parameters
    ----------
    between : array of float
        Spread of the true moves over the tasks of a book, 0 where all present rates may be right [-].
    error : array of float
        Standard error of each centre [-].
    move : array of float
        Logarithm by which the hours of each task change, 0 where there is no row [-].
    doubt : array of float
        Standard error of the move [-].
    """

    between: Floats
    error: Floats
    move: Floats
    doubt: Floats


def between_tasks(centre: Floats, error: Floats) -> Floats:
    """Compute the spread of the true moves by moments about zero: zero is a present rate that is right.

    Parameters
    ----------
    centre : array of float
        Centre of each task, missing where there is no row [-].
    error : array of float
        Its standard error, above 0 [-].

    Returns
    -------
    array of float
        Over the tasks, the last axis; a negative variance is 0 [-].

    Notes
    -----
    τ² = max(0, (Σ ȳ²/v - K)/Σ 1/v), v the square of each error: with one σ² for all, v = σ²/n, that is the formula of trade,
    rates from past jobs, max(0, (Σ n ȳ² - K σ²)/Σ n).

    References
    ----------
    DerSimonian & Laird, Controlled Clinical Trials 7 (1986), about zero instead of the mean.
    """
    known = np.isfinite(centre) & np.isfinite(error)
    weight = np.where(known, 1 / np.where(known, error, 1.0) ** 2, 0.0)
    over = (weight * np.where(known, centre, 0.0) ** 2).sum(axis=-1) - known.sum(axis=-1)
    together = weight.sum(axis=-1)
    between: Floats = np.sqrt(np.maximum(over, 0.0) / np.where(together > 0, together, 1.0))
    return between


def shrunk(centre: Floats, size: Floats, spread: Floats) -> Moves:
    """Compute how far each rate moves.

    Parameters
    ----------
    centre : array of float
        Centre of ln(actual/reckoned) of each task [-].
    size : array of float
        Rows behind it [count].
    spread : array of float
        Spread of the rows of each task [-].

    Returns
    -------
    Moves
        A move is w·ȳ with w = τ²/(τ² + v), v the square of its standard error.

    References
    ----------
    Efron & Morris, Journal of the American Statistical Association 70 (1975).
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        error = spread * np.sqrt(LOSS / size)
        between = between_tasks(centre, error)
        prior = between[..., np.newaxis] ** 2
        share = prior / (prior + error**2)
        move = np.where(size > 0, share * centre, 0.0)
        doubt = np.where(size > 0, np.sqrt(share) * error, between[..., np.newaxis])
    known = np.isfinite(move)
    return Moves(between, error, np.where(known, move, 0.0), np.where(known, doubt, 0.0))
