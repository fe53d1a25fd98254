"""Logs drawn for the properties: hours, materials and other costs, for the bid and for change orders; bills; weather; progress."""

import datetime as dt

import attrs
from hypothesis import strategies as st

from sheetgen.engine.lists import OTHER_KINDS, PLACES, PROGRESS_WAYS
from sheetgen.engine.records import Bill, ChangeOrder, CostEntry, HoursEntry, HowFar, MaterialsEntry, PaymentTerms, WeatherEntry

DAY = dt.date(2025, 3, 18)
ORDERS = ("CO 1", "CO 2")
amounts = st.integers(-2000, 90_000).map(lambda n: n / 100)
positive = st.integers(0, 90_000).map(lambda n: n / 100)
quarters = st.integers(1, 40).map(lambda n: n / 4)
dates = st.sampled_from([DAY, DAY, None])
orders = st.sampled_from([None, None, *ORDERS, "co  1 "])


def or_none(strategy):
    return st.none() | strategy


def hours(tasks, roles, zones):
    return st.builds(
        HoursEntry, date=dates, task=st.sampled_from(tasks), zone=st.sampled_from([*zones, None]), people=or_none(st.integers(1, 3)), hours_each=quarters,
        role=st.sampled_from([*roles, None]), wage=or_none(st.integers(15, 50)), change_order=orders, rework=st.sampled_from(["yes", None]),
    )  # fmt: skip


@st.composite
def materials(draw, products):
    """A row that has no fault: what is opened, returned and still there is what was taken."""
    opened, returned, on_site = (draw(st.integers(0, 6)) for _ in range(3))
    return MaterialsEntry(
        date=draw(dates), product=draw(st.sampled_from(products)), taken=opened + returned + on_site, opened=opened, returned=returned,
        on_site=draw(st.sampled_from([on_site, None])), amount=draw(or_none(amounts)), tax=draw(or_none(positive)), change_order=draw(orders),
    )  # fmt: skip


costs = st.builds(
    CostEntry,
    date=dates,
    kind=st.sampled_from(OTHER_KINDS),
    amount=amounts,
    tax=or_none(positive),
    change_order=orders,
)
change_orders = st.tuples(
    *(
        st.builds(
            ChangeOrder,
            name=st.just(name),
            hours=or_none(quarters),
            materials=or_none(positive),
            other=or_none(positive),
            price=amounts,
            days=or_none(st.integers(0, 3)),
            accepted=st.sampled_from(["yes", "no", None]),
        )
        for name in ORDERS
    )
)


@st.composite
def bills(draw):
    kind, amount = draw(st.sampled_from(["bill", "bill", "payment", "release"])), draw(positive)
    return Bill(
        date=draw(dates), kind=kind, amount=amount, tax=draw(or_none(positive)),
        retainage=draw(or_none(st.just(amount / 8))) if kind == "bill" else None,
    )  # fmt: skip


weather = st.builds(
    WeatherEntry,
    date=dates,
    time=or_none(st.sampled_from([0.375, 0.5])),
    air=or_none(st.integers(15, 110)),
    humidity=or_none(st.integers(1, 100)),
    wind=or_none(st.integers(0, 30)),
    slab=or_none(st.integers(20, 120)),
    place=st.sampled_from([*PLACES, None]),
)
how_far = st.builds(
    HowFar,
    way=st.sampled_from([*PROGRESS_WAYS, None]),
    to_go_own=or_none(positive),
    planned_share=or_none(st.integers(0, 10).map(lambda n: n / 10)),
)


@st.composite
def logged(draw, job):
    """The same job with more in its logs, none of it with a fault, and with two change orders."""
    tasks, roles, products = ([one.name for one in getattr(job, block)] for block in ("tasks", "roles", "products"))
    zones = [zone.name for zone in job.zones]
    return attrs.evolve(
        job,
        hours_log=(*job.hours_log, *draw(st.lists(hours(tasks, roles, zones), max_size=5))),
        materials_log=(*job.materials_log, *draw(st.lists(materials(products), max_size=5))),
        costs_log=tuple(draw(st.lists(costs, max_size=5))),
        change_orders=draw(change_orders),
        bills=tuple(draw(st.lists(bills(), max_size=6))),
        weather_log=tuple(draw(st.lists(weather, max_size=3))),
        terms=PaymentTerms(retainage=draw(st.sampled_from([0, 0.05, 0.1]))),
        progress=draw(how_far),
    )
