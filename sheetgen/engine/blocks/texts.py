"""Proposal: the standing texts, sorted into its sections."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import TEXT_KINDS, number_of
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.names import key
from sheetgen.engine.records import filled
from sheetgen.engine.totals import sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.totals import Column

NO_KIND, NO_TEXT = 1.0, 2.0
OPENING, PREPARATION, NOT_INCLUDED, TERMS = map(float, range(1, 5))
# The section that each kind stands in: terms, law and closing words follow each other.
_SECTIONS: Final = dict(zip(TEXT_KINDS, (OPENING, PREPARATION, NOT_INCLUDED, TERMS, TERMS, TERMS), strict=True))


@attrs.frozen(kw_only=True)
class Texts:
    """The standing texts, each with its place in its section."""

    block: ClassVar[str] = "texts"
    over: ClassVar[str | None] = "texts"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    kind_no: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    order: Column = figure("no")
    section: Column = figure("no")
    ranked_kind: Column = figure("no")
    before: Column = figure("count")
    place: Column = figure("no")
    opening_place: Column = figure("no")
    preparation_place: Column = figure("no")
    not_included_place: Column = figure("no")
    terms_place: Column = figure("no")

    def count(self, section: float) -> float:
        """Count the texts of a section [count]."""
        return float(sum(one == section for one in self.section))


@attrs.frozen(kw_only=True)
class OpeningTexts:
    """The texts that the proposal opens with."""

    block: ClassVar[str] = "opening_texts"
    over: ClassVar[str | None] = "opening_texts"
    scenario: ClassVar[bool] = False

    text_no: Column = figure("no")


@attrs.frozen(kw_only=True)
class TermsTexts:
    """Terms, what the law asks for, and closing words."""

    block: ClassVar[str] = "terms_texts"
    over: ClassVar[str | None] = "terms_texts"
    scenario: ClassVar[bool] = False

    text_no: Column = figure("no")


def make_texts(job: Job) -> Texts:
    """Sort the texts by section, then by kind, then as they stand; one without a kind or without words stands nowhere."""
    rows: list[Row] = []
    for number, text in enumerate(job.texts, start=1):
        if not filled(text):
            rows.append({})
            continue
        kind_no = number_of(TEXT_KINDS, text.kind)
        fault = NO_KIND if not known(kind_no) else NO_TEXT if key(text.text) is None else 0.0
        row: Row = {"started": 1.0, "kind_no": kind_no, "fault": fault, "faulty": flag(holds=fault > 0), "order": float(number)}
        if fault == 0:
            row |= {"section": _SECTIONS[text.kind or ""], "ranked_kind": kind_no}
        rows.append(row)
    sound = [row for row in rows if "section" in row]
    for row in sound:
        alike = [one for one in sound if one["section"] == row["section"]]
        row["before"] = float(sum(one["ranked_kind"] < row["ranked_kind"] for one in alike))
        row["place"] = row["before"] + sum(one["ranked_kind"] == row["ranked_kind"] and one["order"] <= row["order"] for one in alike)
        row |= {f"{name}_place": row["place"] for name, section in _PLACES.items() if section == row["section"]}
    return table(Texts, rows)


_PLACES: Final = {"opening": OPENING, "preparation": PREPARATION, "not_included": NOT_INCLUDED, "terms": TERMS}


def at_place(places: Column, place: float) -> float:
    """Return the number of the row that has a place, missing where none has [no]."""
    return places.index(place) + 1.0 if place in places else MISSING


def _listed(places: Column, rows: int) -> Column:
    return tuple(at_place(places, float(place)) for place in range(1, rows + 1))


def make_text_lists(job: Job, texts: Texts) -> tuple[OpeningTexts, TermsTexts]:
    """List the texts of the sections that are nothing but texts."""
    return (
        OpeningTexts(text_no=_listed(texts.opening_place, len(job.opening_texts))),
        TermsTexts(text_no=_listed(texts.terms_place, len(job.terms_texts))),
    )


def texts_left(job: Job, texts: Texts) -> dict[str, float]:
    """Count the texts that each of these lists has no row for [count]."""
    left = {
        "opening_left": max(0.0, texts.count(OPENING) - len(job.opening_texts)),
        "terms_left": max(0.0, texts.count(TERMS) - len(job.terms_texts)),
    }
    return left | {"texts_left": sum_known(left.values())}
