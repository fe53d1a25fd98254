"""Price: what a scenario costs line by line, the price that follows, and how far both may go."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.price import Price, before_contingency, build_up, make_trips, terms_of
from sheetgen.engine.blocks.risk import AtRisk, Risk, RiskTasks, Uncertainty, make_risk, make_risk_tasks
from sheetgen.engine.missing import cents, value
from sheetgen.engine.price import travel_cost
from sheetgen.engine.totals import total

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.materials import Materials
    from sheetgen.engine.blocks.paid import Paid
    from sheetgen.engine.blocks.rates import EquipmentCosts
    from sheetgen.engine.blocks.systems import Systems
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.work import Labour, Work
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Sides:
    """What goes into a price beside what is laid and who works; the same in every scenario.

    Parameters
    ----------
    names, systems, tasks
        Which zones, systems and tasks there are.
    paid : Paid
        The visits.
    equipment : EquipmentCosts
        The machines.
    uncertainty : Uncertainty
        The factor that all tasks share.
    """

    names: ZoneNames
    systems: Systems
    tasks: Tasks
    paid: Paid
    equipment: EquipmentCosts
    uncertainty: Uncertainty


@attrs.frozen(kw_only=True)
class Priced:
    """The price of a scenario, and what may become of it."""

    price: Price
    risk_tasks: RiskTasks
    risk: Risk

    def by_scenario(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return self.risk_tasks, self.risk, self.price


def make_price(job: Job, sides: Sides, laid: Laid, materials: Materials, labour: Labour, work: Work) -> Priced:
    """Build the price of a scenario up, and say how far its cost may go; visits, and what follows them, are those that are planned."""
    lines, terms = _direct_lines(job, sides, materials, work), terms_of(job)
    direct, _, overhead = before_contingency(lines, terms, work.paid_hours)
    risk_tasks = make_risk_tasks(job, sides.tasks, labour, sides.uncertainty)
    at_risk = AtRisk(sides.tasks, risk_tasks, sides.uncertainty)
    risk = make_risk(job, at_risk, work, cost_before=direct + overhead)
    area, bags = total(laid.area, sides.names.started), total(materials.topping.bags, sides.systems.started)
    price = build_up(lines, terms, work.paid_hours, area, bags=bags, amount=risk.amount)
    return Priced(price=price, risk_tasks=risk_tasks, risk=risk)


def _direct_lines(job: Job, sides: Sides, materials: Materials, work: Work) -> dict[str, float]:
    """Return the amount of each line of direct cost [money]."""
    costs, paid, stock = job.costs, sides.paid, materials.stock
    trips = make_trips(job, paid.visits).trips_used
    travelled = travel_cost(trips, value(costs.vehicles), value(costs.distance), value(costs.distance_rate))
    return {
        "materials": stock.cost,
        "materials_tax": cents(stock.cost * value(job.policy.materials_tax)),
        "freight": value(costs.freight),
        "labour": work.cost,
        "overtime": paid.overtime_cost,
        "equipment": total(sides.equipment.cost, sides.equipment.started),
        "travel": travelled + cents(value(costs.per_diem) * paid.nights),
        "subcontract": value(costs.subcontract),
        "disposal": value(costs.disposal),
        "permits": value(costs.permits),
        "sample_panel": value(costs.sample_panel),
    }
