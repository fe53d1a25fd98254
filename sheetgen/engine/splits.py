"""Every way in which one to eight people can stand at a pour."""

from __future__ import annotations

from typing import Final

from sheetgen.engine.hands import ALL, MIX_PLACE, SEPARATE, Hands

MOST_PEOPLE: Final = 8


def splits_of(people: int) -> list[Hands]:
    """List the splits of a number of people, in the order of the book.

    Parameters
    ----------
    people : int
        Everybody on the pour, 1 or more.

    Returns
    -------
    list of Hands
        All do everything; then mixing and placing joined, fewest placers first; then three groups, fewest mixers and
        then fewest placers first.
    """
    together = [Hands(grouping=ALL, placers=float(people))]
    joined = [Hands(grouping=MIX_PLACE, placers=float(placers), trowellers=float(people - placers)) for placers in range(1, people)]
    apart = [
        Hands(grouping=SEPARATE, mixers=float(mixers), placers=float(placers), trowellers=float(people - mixers - placers))
        for mixers in range(1, people - 1)
        for placers in range(1, people - mixers)
    ]
    return together + joined + apart


# In the order of the list `splits` of the book, where record n stands at n - 1.
SPLITS: Final = tuple(hands for people in range(1, MOST_PEOPLE + 1) for hands in splits_of(people))
