"""Price: the job's costs and policy, built up to what the customer pays."""

from __future__ import annotations

from sheetgen.engine.blocks.laid import Laid
from sheetgen.engine.blocks.needs import Stock
from sheetgen.engine.blocks.rates import EquipmentCosts
from sheetgen.engine.blocks.work import Work
from sheetgen.engine.blocks.zones import ZoneNames
from sheetgen.engine.inputs import Job
from sheetgen.engine.missing import cents, value
from sheetgen.engine.price import Price, Terms, build_up, travel_cost
from sheetgen.engine.totals import total


def terms_of(job: Job) -> Terms:
    """Return the owner's policy and the job's discount."""
    policy = job.policy
    return Terms(
        overhead_way=policy.overhead_way,
        overhead=value(policy.overhead),
        overhead_hour=value(policy.overhead_hour),
        contingency=value(policy.contingency),
        price_way=policy.price_way,
        markup=value(policy.markup),
        margin=value(policy.margin),
        discount=value(job.costs.discount),
        minimum=value(policy.minimum),
        round_to=value(policy.round_to),
        round_way=policy.round_way,
        price_tax=value(policy.price_tax),
    )


def make_price(job: Job, stock: Stock, work: Work, equipment: EquipmentCosts, names: ZoneNames, laid: Laid) -> Price:
    """Build the price up from what each part of the job costs."""
    costs = job.costs
    lines = {
        "materials": stock.cost,
        "materials_tax": cents(stock.cost * value(job.policy.materials_tax)),
        "freight": value(costs.freight),
        "labour": work.cost,
        "equipment": total(equipment.cost, equipment.started),
        "travel": travel_cost(
            value(costs.trips),
            value(costs.vehicles),
            value(costs.distance),
            value(costs.distance_rate),
        ),
        "subcontract": value(costs.subcontract),
        "disposal": value(costs.disposal),
        "permits": value(costs.permits),
        "sample_panel": value(costs.sample_panel),
    }
    return build_up(lines, terms_of(job), work.hours, total(laid.area, names.started))
