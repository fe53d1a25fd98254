"""Names that people type: trimmed, compared without case, matched once to a record number."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from sheetgen.engine.missing import MISSING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sheetgen.engine.totals import Column, Texts


def key(name: str | None) -> str | None:
    """Return a name without spaces at its ends and with single spaces inside.

    Parameters
    ----------
    name : str or None
        As typed.

    Returns
    -------
    str or None
        Trimmed name; None where nothing is left.

    Notes
    -----
    Only the plain space counts, as in a spreadsheet's TRIM.
    """
    if name is None:
        return None
    return " ".join(filter(None, name.split(" "))) or None


def keys(names: Sequence[str | None]) -> Texts:
    """Return the key of each name."""
    return tuple(map(key, names))


def twins(of_keys: Texts) -> Column:
    """Count, for each key, how many records bear it, whatever the case.

    Parameters
    ----------
    of_keys : tuple of str or None
        Keys of all records.

    Returns
    -------
    tuple of float
        1 where a key is alone, missing where there is none [count].
    """
    count = Counter(one.lower() for one in of_keys if one is not None)
    return tuple(MISSING if one is None else float(count[one.lower()]) for one in of_keys)


class Register:
    """The names of a block's records, each leading to the number of the first that bears it.

    Parameters
    ----------
    of_keys : tuple of str or None
        Keys of all records, in order.
    """

    def __init__(self, of_keys: Texts) -> None:
        self._number: dict[str, float] = {}
        for number, one in enumerate(of_keys, start=1):
            if one is not None:
                self._number.setdefault(one.lower(), float(number))

    def number(self, name: str | None, blank: float = MISSING) -> float:
        """Return the record number of a name.

        Parameters
        ----------
        name : str or None
            As typed.
        blank : float
            What a blank name stands for [no].

        Returns
        -------
        float
            Number from 1, missing where no record bears the name [no].
        """
        wanted = key(name)
        if wanted is None:
            return blank
        return self._number.get(wanted.lower(), MISSING)
