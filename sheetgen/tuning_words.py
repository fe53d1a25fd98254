"""What was tuned in words for the owner: a line for each task, and what all of it together would have done."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from sheetgen import units
from sheetgen.engine.inputs import row_unit
from sheetgen.engine.tuning.conditions import ALIKE, EXPLAINS, FEW, Effect
from sheetgen.engine.tuning.recommend import CHANGE, KEEP, LEAST_JOBS, WATCH
from sheetgen.engine.tuning.recommend import FEW as FEW_JOBS
from sheetgen.engine.tuning_figures import tuning_figures
from sheetgen.engine.values import with_row_unit
from sheetgen.figures import Row
from sheetgen.tune import Learned
from sheetgen.units import System

_CONDITIONS: Final = {
    "surface": "surface", "grade": "grade of topping", "place": "inside or outside", "temperature": "air temperature",
    "crew_size": "people at work", "job_size": "size of the job",
}  # fmt: skip
# A step of a condition that says something, and in which unit it is counted.
_STEPS: Final[dict[str, tuple[float, str]]] = {"temperature": (10.0, "temperature_step"), "crew_size": (1.0, "")}
_US: Final = "us"


def lines(learned: Learned, tables: dict[str, tuple[Row, ...]]) -> Iterator[str]:
    """Yield what past jobs say, a line for each task and for waste, and one on all together.

    Parameters
    ----------
    learned : Learned
        What past jobs say.
    tables : dict
        The same as tables.

    Yields
    ------
    str
        A line.
    """
    rates = learned.rates.job
    figures = tuning_figures(rates, tables)

    def at(name: str, number: int) -> float | None:
        column = figures[f"tuning.{name}"]
        assert isinstance(column, tuple)
        cell = column[number]
        return cell if isinstance(cell, float) else None

    never = []
    for number, (task, row) in enumerate(zip(rates.tasks, tables["tuning"], strict=True)):
        if task.name is None:
            continue
        if not row:
            never.append(task.name)
            continue
        parts = [_verdict(row, at("change", number))]
        if row["code"] == CHANGE:
            unit = units.symbol(with_row_unit("basis/hour", row_unit(task)), rates.system)
            parts.append(_from_to("rate", task.rate, at("expected_rate", number), unit))
            parts.append(_from_to("set-up", task.set_up, at("expected_set_up", number), "h"))
        if row["code"] in {CHANGE, WATCH}:
            parts.append(_tested(row))
        yield f"{task.name}: {'; '.join(filter(None, parts))}"
    if never:
        yield f"No job tells anything of: {', '.join(never)}"
    yield _waste(tables["tuning_of"][0], figures)
    yield from _together(learned)
    yield from (f"{_CONDITIONS[row['condition']]}: {row['words']}" for row in tables["tuned_conditions"] if row["code"] == EXPLAINS)


def _verdict(row: Row, change: float | None) -> str:
    jobs = f"{row['jobs']:.0f} job" + ("s" if row["jobs"] != 1 else "")
    if row["code"] not in {KEEP, WATCH, CHANGE}:
        return f"not enough jobs ({row['jobs']:.0f} of {LEAST_JOBS})"
    if row["code"] == KEEP:
        return f"the rate stands ({jobs}; they say {_more(change)} hours, which is no more than chance)"
    if row["code"] == WATCH:
        return f"may take {_more(change)} hours, but that is not sure yet ({jobs})"
    return f"takes {_more(change)} hours than its rate says ({jobs}; so much by chance {_seldom(row['chance'])})"


def _more(change: float | None) -> str:
    """Return a change as per cent more or fewer."""
    if change is None:
        return "other"
    return f"{abs(change) * 100:.0f} % {'more' if change >= 0 else 'fewer'}"


def _seldom(chance: float | None) -> str:
    if not chance or chance < 1e-3:
        return "less than once in 1,000"
    return f"once in {1 / chance:.0f}"


def _from_to(what: str, before: float | None, after: float | None, unit: str) -> str:
    if before is None or after is None or f"{before:.3g}" == f"{after:.3g}":
        return ""
    return f"{what} {before:.3g} → {after:.3g} {unit}"


def _tested(row: Row) -> str:
    before, after = row["error_before"], row["error_after"]
    if before is None or after is None:
        return ""
    return f"past jobs off by {before * 100:.0f} % with the present rate, {after * 100:.0f} % with one tuned on the others"


def _waste(of: Row, figures: object) -> str:
    assert isinstance(figures, dict)
    jobs = f"{of['waste_jobs']:.0f} jobs"
    suggested = figures["tuning_of.waste_suggested"]
    if suggested is None:
        return f"Waste of topping: not enough jobs ({of['waste_jobs']:.0f} of {LEAST_JOBS})"
    said = {CHANGE: "change it", WATCH: "not sure yet", KEEP: "the present waste stands"}[of["waste_code"]]
    return (
        f"Waste of topping: {suggested * 100:.0f} % instead of {of['waste_before'] * 100:.0f} % ({jobs}): {said};"
        " a layer thicker than planned looks the same, see the thickness laid"
    )


def _together(learned: Learned) -> Iterator[str]:
    test = learned.hours.test
    before, after = (math.expm1(float(one.error[0])) * 100 for one in (test.total_before, test.total_after))
    if all(code == FEW_JOBS for code in learned.hours.codes):
        return
    inside = "" if math.isnan(test.total_inside) else f"; {test.total_inside * 100:.0f} % of them lie in the stated 80 % range"
    yield (
        f"All suggestions together, on {test.total_before.jobs[0]:.0f} jobs, each predicted by the others: hours off by {after:.0f} %"
        f" instead of {before:.0f} %{inside}"
    )


def condition_words(name: str, effect: Effect, system: System) -> str:
    """Return what a condition explains, in words.

    Parameters
    ----------
    name : str
        The condition.
    effect : Effect
        What was found; temperatures in °F, sizes in ln(ft²).
    system : {'us', 'metric'}
        Units of the words.

    Returns
    -------
    str
        Such as ``10 °F more: 4 % fewer hours``.
    """
    if effect.code == FEW:
        return f"known of {effect.jobs} jobs only; 8 are needed to say anything"
    if effect.code == ALIKE:
        return f"the same in all {effect.jobs} jobs"
    if effect.kinds:
        said = ", ".join(f"{kind.replace('_', ' ')} {_more(math.expm1(logs))} ({jobs} jobs)" for kind, jobs, logs in effect.kinds)
    else:
        said = _slope_words(name, effect.slope or 0.0, system)
    return said if effect.code == EXPLAINS else f"explains nothing that chance would not ({said})"


def _slope_words(name: str, slope: float, system: System) -> str:
    if name == "job_size":
        return f"twice the area: {_more(math.expm1(slope * math.log(2)))} hours for the same work"
    step, unit = _STEPS[name]
    if unit:
        # The slope is by degree Fahrenheit.
        factor, _ = units.linear(unit, system, _US)
        return f"{step:.0f} {units.symbol(unit, system)} more: {_more(math.expm1(slope * step * factor))} hours"
    return f"one more: {_more(math.expm1(slope * step))} hours"
