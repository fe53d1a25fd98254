"""Random offers for random jobs: options, steps of the what-ifs, fixed prices, payment steps, proposal and firm; some of it wrong."""

from __future__ import annotations

import datetime as dt
from random import Random
from typing import Any

import attrs

from sheetgen.engine.job import Job
from sheetgen.engine.lists import TEXT_KINDS
from sheetgen.engine.records import (
    BuyList,
    Firm,
    FixedBase,
    Option,
    Payment,
    PaymentTerms,
    Product,
    Proposal,
    StandingText,
    WhatIf,
)
from sheetgen.units import System, convert

_OPTIONS = 6


class _Offer:
    """Rolls the dice for one job."""

    def __init__(self, dice: Random, system: System, job: Job) -> None:
        self.dice = dice
        self.system = system
        self.calm = dice.random() < 0.5  # nothing in it is wrong
        self.zones = [zone.name for zone in job.zones if zone.name]
        self.systems = [one for one in job.systems if one.name]
        self.products = [one.name for one in job.products if one.name]

    def maybe(self, value: Any, chance: float = 0.5) -> Any:
        return value if self.dice.random() < chance or (self.calm and chance > 0.85) else None

    def one_of(self, choices: Any, wrong: str) -> Any:
        """Return one of some words, seldom one that is none of them."""
        return wrong if not choices or (not self.calm and self.dice.random() < 0.06) else self.dice.choice(choices)

    def money(self, least: float, most: float) -> float:
        return round(self.dice.uniform(least, most), 2)

    def number(self, unit: str, least: float, most: float) -> float:
        """Return a number between two in US units, in the job's own."""
        return round(convert(round(self.dice.uniform(least, most), 3), unit, "us", self.system), 4)

    def option(self, number: int) -> Option:
        """Return an option that changes one or two things, or none."""
        zone = self.maybe(self.one_of(self.zones, "Nowhere"), 0.6)
        kind = self.dice.choice(("system", "thickness", "colour", "sealer", "area", "system", "both", "nothing"))
        system = self.dice.choice(self.systems) if kind in {"system", "both"} and self.systems else None
        thick = self.dice.random() < 0.3 if system else kind == "thickness"
        depth = system.thickness if system and self.calm else self.number("depth", 0.05, 0.26)
        area = self.number("area", -60 if self.dice.random() < 0.1 else -20, 80)
        return Option(
            name=self.maybe(f"Option {number}" if self.calm or self.dice.random() > 0.1 else "Option 1", 0.95), zone=zone,
            system=system and self.one_of((system.name,), "No such system"),
            thickness=depth if thick else None,
            colour=self.one_of(self.products, "No paint") if kind in {"colour", "both"} else None,
            colour_coverage=self.maybe(self.number("area", 40, 400)) if kind in {"colour", "both"} else None,
            sealer=self.one_of(self.products, "No paint") if kind == "sealer" else None,
            sealer_coverage=self.maybe(self.number("area", 40, 400)) if kind == "sealer" else None,
            extra_area=area if kind == "area" and not (self.calm and zone is None and len(self.zones) > 1) else None,
            fixed=self.maybe(self.money(-200, 900), 0.3), accepted=self.maybe(self.dice.choice(("yes", "no")), 0.5), note=self.maybe("=dearer", 0.2),
        )  # fmt: skip

    def options(self) -> tuple[Option, ...]:
        count = self.dice.randint(0, _OPTIONS)
        return tuple(self.option(number) if self.dice.random() > 0.1 else Option() for number in range(1, count + 1))

    def payment(self, number: int) -> Payment:
        share = self.dice.choice((0.1, 0.25, 0.3, 1 / 3, 0.3 if self.calm else 0.9))
        return Payment(
            name=self.maybe(f"Step {number}", 0.93), share=self.maybe(share, 0.75), amount=self.maybe(self.money(0, 1500), 0.2), due=self.maybe("on day 1", 0.4)
        )

    def payments(self) -> tuple[Payment, ...]:
        steps = [self.payment(number) if self.dice.random() > 0.1 else Payment() for number in range(self.dice.randint(0, 5))]
        if steps and self.calm:
            steps[-1] = Payment(name="Rest")
        return tuple(steps)

    def product(self, product: Product) -> Product:
        return attrs.evolve(product, mass=self.maybe(self.number("mass", 2, 60)), per_pallet=self.maybe(float(self.dice.choice((0 if not self.calm else 40, 40, 56)))))


def with_offer(job: Job, dice: Random) -> Job:
    """Return a random job with a random offer; sometimes with that of a new book."""
    if dice.random() < 0.1:
        return job
    roll = _Offer(dice, job.system, job)
    return attrs.evolve(
        job,
        options=roll.options(),
        what_if=WhatIf(
            waste_step=roll.maybe(dice.choice((0.0, 0.05, 0.3)), 0.97),
            difficulty_step=roll.maybe(dice.choice((0.0, 0.15)), 0.97),
            thickness_step=roll.maybe(dice.choice((0.0, 0.15, 0.5)), 0.97),
        ),
        contract=FixedBase(base_fixed=roll.maybe(roll.money(500, 9000), 0.3)),
        terms=PaymentTerms(retainage=job.terms.retainage, valid_days=roll.maybe(float(dice.choice((14, 30, 60))), 0.95)),
        payments=roll.payments(),
        proposal=Proposal(
            date=roll.maybe(dt.date(2026, 2, dice.randint(1, 28)), 0.6), number=roll.maybe("P-7", 0.3), contact=roll.maybe("@site", 0.3),
            intro=roll.maybe("=as seen", 0.3), start_text=roll.maybe("in May", 0.3), duration_text=roll.maybe("three days", 0.3),
        ),
        buying=BuyList(lead_days=roll.maybe(float(dice.choice((0, 5, 10))), 0.95)),
        firm=Firm(name=roll.maybe("+Firm", 0.5), phone=roll.maybe("555 0100", 0.3), licence=roll.maybe("L-1", 0.3)),
        texts=tuple(
            StandingText(kind=roll.maybe(dice.choice(TEXT_KINDS), 0.95), text=roll.maybe(f"Words {number}", 0.93))
            if dice.random() > 0.1
            else StandingText()
            for number in range(dice.randint(0, 12))
        ),
        products=tuple(roll.product(one) for one in job.products),
    )  # fmt: skip
