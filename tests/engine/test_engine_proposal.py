"""What the proposal and the buy list show, rank by rank. Hand-worked."""

import datetime as dt

import attrs
import pytest
from engine_jobs import changed, one_area, ready_job, with_check, with_more

from sheetgen.engine.job import compute
from sheetgen.engine.lists import CRITERIA
from sheetgen.engine.records import (
    BuyList,
    Layer,
    ListRow,
    Option,
    PaymentTerms,
    Product,
    Proposal,
    Reading,
    Role,
    StandingText,
    Task,
)

DAY = dt.date(2025, 3, 1)
SERIAL = 45717  # 1 March 2025, as spreadsheets count days


def pair(criterion):
    return CRITERIA.index(criterion) + 1


class TestDates:
    def test_valid_until(self):
        job = attrs.evolve(one_area(), proposal=Proposal(date=DAY), terms=PaymentTerms(valid_days=14))

        assert compute(job).scalar("proposal.valid_until") == SERIAL + 14
        assert compute(attrs.evolve(job, proposal=Proposal())).scalar("proposal.valid_until") is None
        assert compute(attrs.evolve(job, terms=PaymentTerms(valid_days=None))).scalar("proposal.valid_until") is None

    def test_goods_are_there_before_the_first_visit(self):
        job = changed(attrs.evolve(one_area(), buying=BuyList(lead_days=5)), "crew", start_date=DAY)

        assert compute(job).scalar("buying.need_by") == SERIAL - 5
        assert compute(one_area()).scalar("buying.need_by") is None


class TestPreparation:
    def test_tasks_that_prepare_and_take_time(self):
        work = {"role": "Helper", "basis": "area", "rate": 100}
        job = attrs.evolve(
            one_area(),
            roles=(Role(name="Helper", wage=20),),
            tasks=(
                Task(name="Grind", **work),
                Task(name="Mix", stage="mix", **work),
                Task(name="Seal", visit="seal", **work),
                Task(name="Fill", role="Helper", basis="crack", rate=9),
                Task(name="Dust", used="no", **work),
                Task(name="Mask", role="Helper", set_up=0.5, set_up_per="job"),
            ),
        )
        values = compute(job)

        assert values.column("tasks.prep_rank") == (1, None, None, None, None, 2)
        assert values.column("proposal_prep.task_no")[:3] == (1, 6, None)

    def test_what_comes_again_at_each_visit_is_no_step(self):
        work = {"role": "Helper", "basis": "area", "rate": 100}
        job = attrs.evolve(
            one_area(),
            roles=(Role(name="Helper", wage=20),),
            tasks=(
                Task(name="Clean up", role="Helper", set_up=0.5, set_up_per="visit"),
                Task(name="Unload", role="Helper", basis="visits", rate=2),
                Task(name="Grind", set_up=0.5, set_up_per="visit", **work),
            ),
        )

        assert compute(job).column("tasks.prep_rank") == (None, None, 1)

    def test_repairs_and_then_texts_follow(self):
        job = with_check(changed(ready_job(), "zones", 0, moving_cracks="yes", contaminated="yes"), "cracks", repair="yes")
        job = attrs.evolve(job, texts=(StandingText(kind="preparation", text="We sweep."),))
        values = compute(job)

        assert values.column("proposal_prep.pair_no")[:2] == (pair("cracks"), None)
        assert values.column("proposal_prep.text_no")[:3] == (None, 1, None)
        assert values.column("not_included.pair_no")[:2] == (pair("contamination"), None)

    def test_what_has_no_row_is_counted(self):
        texts = tuple(StandingText(kind="preparation", text=f"{number}") for number in range(5))
        values = compute(attrs.evolve(one_area(), texts=texts, proposal_prep=(ListRow(), ListRow())))

        assert values.column("proposal_prep.text_no") == (1, 2)
        assert values.scalar("page.prep_left") == 3


class TestNotIncluded:
    def test_what_fails_then_what_nobody_tested_then_texts(self):
        job = with_more(changed(ready_job(), "zones", 0, concrete_age=None), "readings", Reading(test="ph", value=12))
        values = compute(attrs.evolve(job, texts=(StandingText(kind="not_included", text="Doors"), StandingText(kind="law", text="Law"))))

        assert values.column("not_included.pair_no")[:3] == (pair("ph"), None, None)
        assert values.column("not_included.zone_no")[:3] == (None, 1, None)
        assert values.column("not_included.text_no")[:4] == (None, None, 1, None)
        assert values.scalar("page.left_over") == 0

    def test_what_has_no_row_is_counted(self):
        texts = tuple(StandingText(kind="not_included", text=f"{number}") for number in range(12))

        assert compute(attrs.evolve(ready_job(), texts=texts)).scalar("page.left_over") == 2


class TestTexts:
    def test_terms_then_law_then_closing_words(self):
        kinds = ("closing", "terms", "law", None, "terms", "opening")
        values = compute(attrs.evolve(one_area(), texts=(*(StandingText(kind=kind, text="words") for kind in kinds), StandingText(kind="law"))))

        assert values.column("texts.fault") == (0, 0, 0, 1, 0, 0, 2)
        assert values.column("terms_texts.text_no")[:5] == (2, 5, 3, 1, None)
        assert values.column("opening_texts.text_no") == (6, None, None)
        assert values.scalar("checks.texts") == 2

    def test_texts_without_a_row_are_looked_at(self):
        values = compute(attrs.evolve(one_area(), texts=tuple(StandingText(kind="opening", text="words") for _ in range(4))))

        assert values.scalar("page.texts_left") == values.scalar("checks.page") == 1
        assert values.scalar("master.offer_looks") == 1


def test_scope_names_what_the_accepted_options_bring():
    job = attrs.evolve(
        one_area(),
        products=(Product(name="Topping", size=1, price=40), Product(name="Grey", size=1, price=5), Product(name="Red", size=1, price=9)),
        layers=(Layer(system="A", kind="colour", product="Grey", coverage=90),),
        options=(Option(name="Red", colour="Red"),),
    )

    assert compute(job).column("scope.colour_no") == (2,)
    assert compute(changed(job, "options", 0, accepted="yes")).column("scope.colour_no") == (3,)
    assert compute(job).column("scope.sealer_no") == (None,)


class TestBuyList:
    """100 ft² of 1/8 in, 10 % lost: 3 bags; 2 of the 4 cans of sealer are on hand; no colour is needed."""

    JOB = attrs.evolve(
        one_area(),
        products=(
            Product(name="Colour", size=1, price=10),
            Product(name="Topping", size=1, price=40, mass=50, per_pallet=60),
            Product(name="Sealer", size=1, price=30, on_hand=2),
            Product(name="Primer", size=5, price=12, on_hand=9),
        ),
        layers=(
            Layer(system="A", kind="sealer", product="Sealer", coverage=50, coats=2),
            Layer(system="A", kind="primer_first", product="Primer", coverage=50),
        ),
    )

    def test_rows(self):
        values = compute(self.JOB)

        assert values.column("products.buy_rank") == (None, 1, 2, None)
        assert values.column("buy.product_no")[:3] == (2, 3, None)
        assert values.column("buy.to_buy")[:3] == (3, 2, None)
        assert values.column("buy.weight")[:3] == (150, None, None)
        assert values.column("buy.pallets")[:2] == (pytest.approx(0.05), None)
        assert values.column("buy.cost")[:2] == (120, 60)

    def test_totals_count_what_the_list_has_no_row_for(self):
        values = compute(attrs.evolve(self.JOB, buy=(ListRow(),)))

        assert values.column("buy.product_no") == (2,)
        assert values.scalar("buying.cost") == 180
        assert (values.scalar("buying.weight"), values.scalar("buying.unknown_weight")) == (150, 1)
