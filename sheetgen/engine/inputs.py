"""The inputs of a job, all of a bid book, in the display units of its system of units."""
# ruff: noqa: RUF009 - _fields() returns an attrs field, which is no default that jobs would share

from __future__ import annotations

import functools
from typing import Any, Final

import attrs

from sheetgen.engine.lists import BASIS_UNITS, CRITERIA, PLACES, READING_UNITS
from sheetgen.engine.materials import INCHES_PER_FOOT
from sheetgen.engine.records import (
    Account,
    Area,
    BatchRow,
    Bill,
    Burdens,
    BuyList,
    ChangeOrder,
    CostEntry,
    Costs,
    Crew,
    DayNote,
    DaySheet,
    Effort,
    Equipment,
    Firm,
    FixedBase,
    Heading,
    HoursEntry,
    HowFar,
    Joint,
    Layer,
    Level,
    Line,
    Linear,
    ListRow,
    MaterialsEntry,
    Offset,
    Option,
    Payment,
    PaymentTerms,
    Policy,
    Pour,
    Product,
    Proposal,
    Reading,
    Role,
    SlabCheck,
    StandingText,
    Survey,
    Takeoff,
    Task,
    ToppingSystem,
    Uncertainty,
    Visit,
    Weather,
    WeatherEntry,
    WhatIf,
    Zone,
)
from sheetgen.engine.survey import DISH_AREA_FT2
from sheetgen.engine.values import ROW_WORDS, Name, field_name, with_row_unit
from sheetgen.units import PLAIN, SYSTEMS, System, convert, linear

# Starter value of a mile and of a kilometre driven; common practice, no source.
STARTER_DISTANCE_RATE: Final[dict[System, float]] = {"us": 0.70, "metric": 0.45}
# Least a surface is kept above the dew point: American texts in °F, ISO 8502-4 in °C.
STARTER_DEW_MARGIN: Final[dict[System, float]] = {"us": 5.0, "metric": 3.0}
# Starter width of a ribbon; common practice, no source.
STARTER_RIBBON_WIDTH: Final[dict[System, float]] = {"us": 3.0, "metric": 0.9}
# Rows that a new book has prepared for what it plans or lists by itself; trade, sizes.
PLAN_ROWS: Final = {
    "pours": 12,
    "batches": 300,
    "visits": 20,
    "buy": 40,
    "opening_texts": 3,
    "proposal_prep": 20,
    "not_included": 10,
    "terms_texts": 12,
}
# Inches are typed beside feet under the same name with this ending.
_INCHES: Final = "_in"


def _fields(record: type) -> Any:
    return attrs.field(factory=record, metadata={"record": record, "rows": False})


def _rows(record: type, starter: tuple[Any, ...] = ()) -> Any:
    metadata = {"record": record, "rows": True}
    return attrs.field(default=starter, converter=tuple, metadata=metadata)


@attrs.frozen(kw_only=True)
class Job:
    """The inputs of a bid book, by block.

    A block of rows is a tuple of records, each in the place of its row; a record left blank is a blank
    row. What is not given has the starter value of a new book. `slab` has a record for each pair of zone
    and criterion, zone 1 with all criteria first; `weather` has one for each place, and `accounts` one for
    each kind of other costs. Those at their ends may be left out.

    Parameters
    ----------
    system : {'us', 'metric'}
        System of units that the numbers stand in.
    """

    system: System = attrs.field(default="us", validator=attrs.validators.in_(SYSTEMS))
    job: Heading = _fields(Heading)
    survey: Survey = attrs.field(metadata={"record": Survey, "rows": False})
    takeoff: Takeoff = _fields(Takeoff)
    zones: tuple[Zone, ...] = _rows(Zone, (Zone(name="Zone 1"),))
    readings: tuple[Reading, ...] = _rows(Reading)
    joints: tuple[Joint, ...] = _rows(Joint)
    levels: tuple[Level, ...] = _rows(Level)
    slab: tuple[SlabCheck, ...] = _rows(SlabCheck)
    weather: tuple[Weather, ...] = _rows(Weather)
    areas: tuple[Area, ...] = _rows(Area)
    offsets: tuple[Offset, ...] = _rows(Offset)
    linear: tuple[Linear, ...] = _rows(Linear)
    crew: Crew = attrs.field(metadata={"record": Crew, "rows": False})
    pours: tuple[Pour, ...] = _rows(Pour)
    batches: tuple[BatchRow, ...] = _rows(BatchRow)
    visits: tuple[Visit, ...] = _rows(Visit)
    day: DaySheet = _fields(DaySheet)
    day_notes: tuple[DayNote, ...] = _rows(DayNote)
    systems: tuple[ToppingSystem, ...] = _rows(ToppingSystem)
    layers: tuple[Layer, ...] = _rows(Layer)
    burdens: Burdens = _fields(Burdens)
    roles: tuple[Role, ...] = _rows(Role)
    products: tuple[Product, ...] = _rows(Product)
    lines: tuple[Line, ...] = _rows(Line)
    tasks: tuple[Task, ...] = _rows(Task)
    effort: Effort = _fields(Effort)
    equipment: tuple[Equipment, ...] = _rows(Equipment)
    uncertainty: Uncertainty = _fields(Uncertainty)
    costs: Costs = attrs.field(metadata={"record": Costs, "rows": False})
    options: tuple[Option, ...] = _rows(Option)
    what_if: WhatIf = _fields(WhatIf)
    contract: FixedBase = _fields(FixedBase)
    terms: PaymentTerms = _fields(PaymentTerms)
    payments: tuple[Payment, ...] = _rows(Payment)
    proposal: Proposal = _fields(Proposal)
    opening_texts: tuple[ListRow, ...] = _rows(ListRow)
    proposal_prep: tuple[ListRow, ...] = _rows(ListRow)
    not_included: tuple[ListRow, ...] = _rows(ListRow)
    terms_texts: tuple[ListRow, ...] = _rows(ListRow)
    buying: BuyList = _fields(BuyList)
    buy: tuple[ListRow, ...] = _rows(ListRow)
    firm: Firm = _fields(Firm)
    texts: tuple[StandingText, ...] = _rows(StandingText)
    policy: Policy = _fields(Policy)
    accounts: tuple[Account, ...] = _rows(Account)
    hours_log: tuple[HoursEntry, ...] = _rows(HoursEntry)
    materials_log: tuple[MaterialsEntry, ...] = _rows(MaterialsEntry)
    costs_log: tuple[CostEntry, ...] = _rows(CostEntry)
    change_orders: tuple[ChangeOrder, ...] = _rows(ChangeOrder)
    bills: tuple[Bill, ...] = _rows(Bill)
    weather_log: tuple[WeatherEntry, ...] = _rows(WeatherEntry)
    progress: HowFar = _fields(HowFar)

    @survey.default
    def _starter_survey(self) -> Survey:
        if self.system != "metric":
            return Survey()
        return Survey(dish_area=convert(DISH_AREA_FT2, "area", "us", "metric"), dew_margin=STARTER_DEW_MARGIN["metric"])

    @crew.default
    def _starter_crew(self) -> Crew:
        return Crew(ribbon_width=STARTER_RIBBON_WIDTH.get(self.system, 0.0))

    @costs.default
    def _starter_costs(self) -> Costs:
        return Costs(distance_rate=STARTER_DISTANCE_RATE.get(self.system, 0.0))

    def __attrs_post_init__(self) -> None:
        """Refuse inches in a job in metres."""
        if self.system == "us":
            return
        for block in ("areas", "offsets", "linear", "joints"):
            for number, record in enumerate(getattr(self, block), start=1):
                for name in _inch_names(record.__class__):
                    if getattr(record, name) is not None:
                        raise ValueError(f"{block} {number}: a metric job has no '{name}'")


@functools.cache
def _inch_names(record: Any) -> tuple[str, ...]:
    return tuple(one.name for one in attrs.fields(record) if one.metadata["unit"] == "inch")


@functools.cache
def _measured(record: Any) -> tuple[tuple[str, str, float | None], ...]:
    """Return name, unit and meaning of a blank for each attribute that another system shows otherwise."""
    found = []
    for one in attrs.fields(record):
        unit = one.metadata["unit"]
        if unit in PLAIN or unit == "inch":
            continue
        if any(word in unit for word in ROW_WORDS) or linear(unit, "us", "metric") != (1.0, 0.0):
            found.append((one.name, unit, one.metadata.get("blank")))
    return tuple(found)


def row_unit(record: Line | Task | Reading) -> str:
    """Return the unit word that a row measures in by its own choice; a choice that is not in the list has none."""
    if isinstance(record, Reading):
        return READING_UNITS.get(record.test or "", "count")
    return BASIS_UNITS.get(record.basis or "", "count")


def feet(whole: float | None, inches: float | None) -> float | None:
    """Join feet and inches; either alone counts.

    Parameters
    ----------
    whole : float or None
        Feet [ft].
    inches : float or None
        Inches [in].

    Returns
    -------
    float or None
        Length, None where both are blank [ft].
    """
    if whole is None and inches is None:
        return None
    return (whole or 0.0) + (inches or 0.0) / INCHES_PER_FOOT


def _convert_record(record: Any, source: System, target: System) -> Any:
    changes: dict[str, float | None] = {}
    for name in _inch_names(record.__class__):
        of_feet = name.removesuffix(_INCHES)
        changes[of_feet] = feet(getattr(record, of_feet), getattr(record, name))
        changes[name] = None
    for name, unit, blank in _measured(record.__class__):
        expression = unit
        if any(word in unit for word in ROW_WORDS):
            expression = with_row_unit(unit, row_unit(record))
        factor, offset = linear(expression, source, target)
        typed = changes.get(name, getattr(record, name))
        if typed is None and factor != 1:
            # A blank means one unit of this system, which is not one unit of the other.
            typed = blank
        if typed is not None:
            changes[name] = typed * factor + offset
    return attrs.evolve(record, **changes) if changes else record


def convert_job(job: Job, system: System) -> Job:
    """Return the same job in the display units of another system of units.

    Parameters
    ----------
    job : Job
        In either system.
    system : {'us', 'metric'}
        System wanted.

    Returns
    -------
    Job
        The job itself where it already stands in that system; else feet and inches are one length, and
        what is measured by a row's basis or test follows the unit of that choice.
    """
    if job.system == system:
        return job
    changes: dict[str, Any] = {}
    for block in attrs.fields(Job):
        record = block.metadata.get("record")
        if record is None or not _measured(record):
            continue
        held = getattr(job, block.name)
        if block.metadata["rows"]:
            changes[block.name] = tuple(_convert_record(one, job.system, system) for one in held)
        else:
            changes[block.name] = _convert_record(held, job.system, system)
    return attrs.evolve(job, system=system, **changes)


def padded(job: Job, rows: dict[str, int]) -> Job:
    """Return a job with blank records at the end of its blocks, as many as a book has rows prepared.

    Parameters
    ----------
    job : Job
        Any job.
    rows : dict of str to int
        Rows of each block; a block that has as many already stays as it is [count].

    Returns
    -------
    Job
        The job, each block with at least so many records.
    """
    changes: dict[str, Any] = {}
    for block in attrs.fields(Job):
        wanted = rows.get(block.name, 0)
        if block.metadata.get("rows") and len(getattr(job, block.name)) < wanted:
            held = getattr(job, block.name)
            blank = block.metadata["record"]()
            changes[block.name] = held + (blank,) * (wanted - len(held))
    return attrs.evolve(job, **changes) if changes else job


def with_whole_survey(job: Job) -> Job:
    """Return a job with a record of `weather` for each place, and of `slab` for each pair of its zones and the criteria."""
    pairs = len(job.zones) * len(CRITERIA)
    whole = padded(job, {"slab": pairs, "weather": len(PLACES)})
    return attrs.evolve(whole, slab=whole.slab[:pairs], weather=whole.weather[: len(PLACES)])


def with_whole_plan(job: Job) -> Job:
    """Return a job with as many rows for what the book plans or lists by itself as a new book has, where it says nothing of them."""
    return padded(job, {block: rows for block, rows in PLAN_ROWS.items() if not getattr(job, block)})


def inputs() -> dict[str, Name]:
    """Return every input of a job by name: its unit, and of what kind its block is."""
    found: dict[str, Name] = {}
    for block in attrs.fields(Job):
        record = block.metadata.get("record")
        if record is None:
            continue
        for one in attrs.fields(record):
            found[f"{block.name}.{field_name(one)}"] = Name(
                unit=one.metadata["unit"],
                kind=one.metadata["kind"],
                block="rows" if block.metadata["rows"] else "fields",
                over=block.name if block.metadata["rows"] else None,
            )
    return found


@attrs.frozen
class Display:
    """Turns what the engine computes into what the sheet of a job shows, for comparisons.

    What is compared after rounding is compared as shown, so that both come to the same verdict.

    Parameters
    ----------
    system : {'us', 'metric'}
        The job's system of units.
    """

    system: System

    def __call__(self, x: float, unit: str) -> float:
        """Return an engine number in the display unit of the job.

        Parameters
        ----------
        x : float
            Number in the US display unit [unit of the expression].
        unit : str
            Unit expression.

        Returns
        -------
        float
            Number in the job's display unit [unit of the expression].
        """
        factor, offset = linear(unit, "us", self.system)
        return x * factor + offset

    def back(self, x: float, unit: str) -> float:
        """Return a number in the display unit of the job as the engine has it.

        Parameters
        ----------
        x : float
            Number in the job's display unit [unit of the expression].
        unit : str
            Unit expression.

        Returns
        -------
        float
            Number in the US display unit [unit of the expression].
        """
        factor, offset = linear(unit, self.system, "us")
        return x * factor + offset
