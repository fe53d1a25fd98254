"""Small jobs for the tests of the engine, and ways to change one thing in them."""

import attrs
from worked_job import worked_job

from sheetgen.engine.job import Job, compute
from sheetgen.engine.records import Area, Heading, Product, ToppingSystem


def one_area(system="us", **more):
    """Return the least job that has a price: a name, a system with its product, one area."""
    deep = 1.0 if system == "us" else 25.4
    blocks = {
        "job": Heading(name="One area"),
        "systems": (ToppingSystem(name="A", product="Topping", yield_=0.45 if system == "us" else 12.0, thickness=deep / 8),),
        "products": (Product(name="Topping", unit="bag", size=1, price=40),),
        "areas": (Area(first=10, second=10),),
    }
    return Job(system=system, **{**blocks, **more})


def changed(job, block, row=None, **values):
    """Return a job with some inputs of one record changed; row is from 0, None for single records."""
    held = getattr(job, block)
    if row is None:
        return attrs.evolve(job, **{block: attrs.evolve(held, **values)})
    records = tuple(attrs.evolve(one, **values) if at == row else one for at, one in enumerate(held))
    return attrs.evolve(job, **{block: records})


def with_more(job, block, *records):
    """Return a job with more records at the end of a block."""
    return attrs.evolve(job, **{block: (*getattr(job, block), *records)})


def fault(job, block, row):
    """Return the fault of one record."""
    return compute(job).column(f"{block}.fault")[row]


def price(job, scenario="accepted"):
    return compute(job).scalar("price.total", scenario)


__all__ = ["changed", "fault", "one_area", "price", "with_more", "worked_job"]
