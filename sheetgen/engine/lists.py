"""The fixed lists: codes in their order, and the numbers that belong to them."""

from __future__ import annotations

from typing import Final

from sheetgen.engine.hands import ALL, MIX_PLACE, SEPARATE
from sheetgen.engine.missing import MISSING

SURFACES: Final = ("floor", "wall", "step")
PLACES: Final = ("inside", "outside")
POROSITIES: Final = ("dense", "average", "open")
# Share of the primer's first coat that a dense slab takes; common practice, no source.
POROSITY_FACTORS: Final = (1.0, 1.25, 1.5)
GRADES: Final = ("squeegee", "trowel", "semi_self_levelling", "self_levelling", "vertical")
SHAPES: Final = (
    "rectangle",
    "triangle",
    "trapezoid",
    "circle",
    "half_circle",
    "quarter_circle",
    "ellipse",
    "ring",
    "steps",
    "three_sides",
    "offsets",
    "typed",
)
SIGNS: Final = ("add", "deduct")
LINEAR_KINDS: Final = ("edge", "cove", "crack", "joint", "saw_cut", "masking", "nosing")
LAYER_KINDS: Final = ("primer_first", "primer_more", "colour", "sealer")
SET_UP_PER: Final = ("job", "zone", "none", "pour", "visit")
OVERHEAD_WAYS: Final = ("share", "per_hour")
CONTINGENCY_WAYS: Final = ("share", "confidence")
PRICE_WAYS: Final = ("markup", "margin")
ROUND_WAYS: Final = ("up", "nearest")
YES_NO: Final = ("yes", "no")
STATUSES: Final = ("bid", "sent", "won", "lost", "running", "done", "closed")
FINISHED: Final = frozenset({"done", "closed"})

# What a dose or a rate may be counted by, and the unit word it is counted in.
BASIS_UNITS: Final[dict[str, str]] = {
    "once": "count",
    "area": "area",
    "coat_area": "area",
    "wall_area": "area",
    "steps": "count",
    **dict.fromkeys(LINEAR_KINDS, "length"),
    "volume": "volume",
    "bags": "bag",
    "zones": "count",
    "hollow": "area",
    "batches": "batch",
    "pours": "count",
    "visits": "count",
}
BASES: Final = tuple(BASIS_UNITS)

FINISHES: Final = ("bare", "sealed", "painted", "tiled")
DRYINGS: Final = ("one_side", "two_sides")
# How deep a humidity probe sits, as a share of the slab; ASTM F2170.
PROBE_SHARES: Final = (0.4, 0.2)
MODES: Final = ("concrete", "bond", "glue", "mixed")
# What is read on the slab, and the unit word that it is read in.
READING_UNITS: Final[dict[str, str]] = {
    "humidity": "percent",
    "mver": "mver",
    "plastic_sheet": "number",
    "strength": "pressure",
    "ph": "number",
    "absorption": "second",
    "profile": "number",
}
TESTS: Final = tuple(READING_UNITS)
CRITERIA: Final = (*TESTS, "hollow", "cracks", "contamination", "age", "temperature", "dew", "level")
LIMIT_SOURCES: Final = ("data_sheet", "default", "no_limit", "not_stated", "rule")
JOINT_KINDS: Final = ("joint", "construction", "isolation", "moving_crack", "still_crack")
LEVEL_KINDS: Final = ("door", "level")
GROUPINGS: Final = (SEPARATE, MIX_PLACE, ALL)
PACES: Final = ("held", "fast")
STAGES: Final = ("mix", "place", "first_trowel", "second_trowel")
VISIT_KINDS: Final = ("prepare", "pour", "seal")
CAUTIONS: Final = ("grind", "cut", "mix", "place", "prime_seal", "etch", "clean_up", "heat", "lift", "finish")
# What is bought beside materials and labour; but for the last, a line of the price each.
OTHER_KINDS: Final = ("equipment", "subcontract", "travel", "disposal", "permits", "freight", "sample_panel", "other")
PROGRESS_WAYS: Final = ("cost", "hours", "area")
BILL_KINDS: Final = ("bill", "payment", "release")
TEXT_KINDS: Final = ("opening", "preparation", "not_included", "terms", "law", "closing")

LISTS: Final[dict[str, tuple[str, ...]]] = {
    "surfaces": SURFACES,
    "places": PLACES,
    "porosities": POROSITIES,
    "grades": GRADES,
    "shapes": SHAPES,
    "signs": SIGNS,
    "linear_kinds": LINEAR_KINDS,
    "layer_kinds": LAYER_KINDS,
    "bases": BASES,
    "set_up_per": SET_UP_PER,
    "overhead_ways": OVERHEAD_WAYS,
    "contingency_ways": CONTINGENCY_WAYS,
    "price_ways": PRICE_WAYS,
    "round_ways": ROUND_WAYS,
    "yes_no": YES_NO,
    "statuses": STATUSES,
    "finishes": FINISHES,
    "dryings": DRYINGS,
    "modes": MODES,
    "tests": TESTS,
    "criteria": CRITERIA,
    "joint_kinds": JOINT_KINDS,
    "level_kinds": LEVEL_KINDS,
    "cautions": CAUTIONS,
    "groupings": GROUPINGS,
    "paces": PACES,
    "stages": STAGES,
    "visit_kinds": VISIT_KINDS,
    "other_kinds": OTHER_KINDS,
    "progress_ways": PROGRESS_WAYS,
    "bill_kinds": BILL_KINDS,
    "text_kinds": TEXT_KINDS,
}


def number_of(codes: tuple[str, ...], code: str | None, blank: float = MISSING) -> float:
    """Return the place of a code in its list.

    Parameters
    ----------
    codes : tuple of str
        The list.
    code : str or None
        What was chosen.
    blank : float
        What a blank choice stands for [no].

    Returns
    -------
    float
        Place in the list from 1, missing where the code is not in it [no].
    """
    if code is None:
        return blank
    return float(codes.index(code) + 1) if code in codes else MISSING
