"""Drawn offers for a job of two zones: options without a fault, what-ifs, fixed prices and payment steps."""

import datetime as dt

import attrs
from hypothesis import strategies as st

from sheetgen.engine.records import FixedBase, Option, Payment, PaymentTerms, Proposal, WhatIf

OPTIONS = 6
money = st.integers(1, 99_999).map(lambda n: n / 100)
coverages = st.none() | st.integers(10, 400)


@st.composite
def options(draw, job, number):
    """An option that changes one thing in one zone or in all."""
    zone = draw(st.sampled_from([*(zone.name for zone in job.zones), None]))
    system = draw(st.sampled_from(job.systems))
    product = draw(st.sampled_from([one.name for one in job.products]))
    ways = [{"system": system.name}, {"thickness": 3 / 32}, {"colour": product, "colour_coverage": 90}, {"sealer": product, "sealer_coverage": 250}]
    if zone is not None:
        ways += [{"extra_area": 40}, {"extra_area": -3}]
    return Option(
        name=f"Option {number}", zone=zone, fixed=draw(st.none() | money), accepted=draw(st.sampled_from(["yes", "no", None])), **draw(st.sampled_from(ways))
    )


@st.composite
def payments(draw):
    """Steps of a share or an amount each, and the rest."""
    steps = st.builds(Payment, name=st.just("Step"), share=st.integers(1, 20).map(lambda n: n / 100), amount=st.none() | money)
    return (*draw(st.lists(steps, max_size=5)), Payment(name="Rest"))


@st.composite
def offered(draw, job):
    """The same job with an offer."""
    return attrs.evolve(
        job,
        options=tuple(draw(options(job, number)) for number in range(1, draw(st.integers(0, OPTIONS)) + 1)),
        what_if=WhatIf(waste_step=draw(st.sampled_from([0, 0.05, 0.2])), difficulty_step=draw(st.sampled_from([0, 0.15]))),
        contract=FixedBase(base_fixed=draw(st.none() | money)),
        payments=draw(payments()),
        terms=PaymentTerms(retainage=draw(st.sampled_from([0, 0.05, 0.1]))),
        proposal=Proposal(date=draw(st.sampled_from([None, dt.date(2025, 3, 1)]))),
    )
