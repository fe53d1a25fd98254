"""The sheet Tuning, task by task: what is suggested, what the owner decided, and the rate that bids take."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from sheetgen.engine.blocks.table import flag
from sheetgen.engine.blocks.tasks import is_begun
from sheetgen.engine.missing import MISSING, cents, given, known, ratio, sixth, value
from sheetgen.engine.risk import mean_of_median, z_of

if TYPE_CHECKING:
    from sheetgen.engine.records import Task

Row = Mapping[str, Any]
YES: Final = "yes"
P80: Final = 0.8
# Fewer jobs suggest nothing.
LEAST_JOBS: Final = 4.0
ADVICE: Final = ("few", "keep", "watch", "change")
_CHANGE = ADVICE.index("change") + 1.0
# What the sheet says of a change to fewer hours, after the words of all advice.
_FEWER: Final = 5.0
# Numbers of the words beside a decision.
FINE, NOTHING_TO_TAKE, TYPED_SINCE = 1.0, 2.0, 3.0
_POSTED: Final = (
    "rate_before", "set_up_before", "set_up_factor", "rest_factor", "spread", "middle_set_up", "middle_rest", "jobs",
)  # fmt: skip


def rate_in_use(task: Task, row: Row) -> tuple[float | None, float | None]:
    """Return rate and set-up of a task that bids take.

    Parameters
    ----------
    task : Task
        With its present rate.
    row : mapping
        What was tuned of it, and what the owner decided.

    Returns
    -------
    rate : float or None
        The expected one where the owner takes it and there is one, else the present one [basis/h].
    set_up : float or None
        Alike [h].
    """
    figures = of_task(task, row, 1)
    rate, set_up = (figures[name] for name in ("rate_used", "set_up_used"))
    return (rate if known(rate) else None), (set_up if known(set_up) else None)


def code_no(codes: Sequence[str], code: str | None) -> float:
    """Return the place of a code that the tool wrote, missing where there is none [no]."""
    return float(codes.index(code) + 1) if code in codes else MISSING


def of_task(task: Task, row: Row, number: int) -> dict[str, float]:
    """Compute a row of the table of tasks.

    Parameters
    ----------
    task : Task
        With its present rate.
    row : mapping
        What was tuned of it, and what the owner decided.
    number : int
        Its place [no].

    Returns
    -------
    dict
        By field; what is not known is missing.
    """
    got = {name: value(row.get(name)) for name in _POSTED}
    suggested = _suggested(got)
    advice = code_no(ADVICE, row.get("code"))
    found = suggested | {"code_no": advice} | _said(advice, suggested["change"])
    found |= _gaps(task, got)
    found |= _decided(task, row, got, found) if is_begun(task) else dict.fromkeys(_OF_BEGUN, MISSING)
    weight = 1 / number + flag(holds=advice == _CHANGE)
    return found | {"first_weight": weight if known(got["jobs"]) else 0.0}


def _suggested(got: dict[str, float]) -> dict[str, float]:
    expected = float(mean_of_median(1.0, got["spread"]))
    median_rate = ratio(got["rate_before"], got["rest_factor"])
    median_set_up = got["set_up_before"] * got["set_up_factor"]
    p50 = got["middle_set_up"] * got["set_up_factor"] + got["middle_rest"] * got["rest_factor"]
    middle = got["middle_set_up"] + got["middle_rest"]
    return {
        "expected_factor": expected,
        "median_rate": median_rate,
        "expected_rate": median_rate / expected,
        "median_set_up": median_set_up,
        "expected_set_up": median_set_up * expected,
        "hours_p50": p50,
        "hours_p80": p50 * math.exp(z_of(P80) * got["spread"]),
        "middle": middle,
        "change": p50 * expected / middle - 1 if middle > 0 else MISSING,
    }


def _said(advice: float, change: float) -> dict[str, float]:
    """Return which words say it; a change that is not known has none."""
    words = MISSING if advice == _CHANGE and not known(change) else _FEWER if advice == _CHANGE and change < 0 else advice
    return {"says_no": words, "change_percent": cents(abs(change))}


def _gaps(task: Task, got: dict[str, float]) -> dict[str, float]:
    """Return how far the present figures are from those at the time of tuning; a blank is none of it."""
    pairs = {"rate": (task.rate, got["rate_before"]), "set_up": (task.set_up, got["set_up_before"])}
    gaps = {f"{name}_gap": sixth(given(now, 0) - (before if known(before) else 0.0)) for name, (now, before) in pairs.items()}
    return gaps | {"known_before": float(sum(known(before) for _, before in pairs.values()))}


def _decided(task: Task, row: Row, got: dict[str, float], found: dict[str, float]) -> dict[str, float]:
    taken = row.get("take") == YES
    few = not got["jobs"] >= LEAST_JOBS
    stale = found["known_before"] > 0 and (found["rate_gap"] != 0 or found["set_up_gap"] != 0)
    used = {"rate": (found["expected_rate"], value(task.rate)), "set_up": (found["expected_set_up"], value(task.set_up))}
    # A yes without a suggestion never blanks a rate: a bid would take a task without one for nothing but its set-up.
    return {f"{name}_used": tuned if taken and known(tuned) else present for name, (tuned, present) in used.items()} | {
        "taken": flag(holds=taken),
        "take_fault": flag(holds=taken and few),
        "stale": flag(holds=stale),
        "look_no": NOTHING_TO_TAKE if taken and few else TYPED_SINCE if stale else FINE,
    }


_OF_BEGUN: Final = ("rate_used", "set_up_used", "taken", "take_fault", "stale", "look_no")
