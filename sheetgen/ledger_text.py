"""What stands in a ledger as text: JSON in one spelling only, so that the same content has the same digest."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any, Final

Tables = Mapping[str, Sequence[Mapping[str, Any]]]
# A mapping with this one name is a day, which JSON does not know.
_DAY: Final = "$day"


def to_text(content: Any) -> str:
    """Return content as JSON: names in order, no spaces.

    Parameters
    ----------
    content : mapping, sequence, str, float, datetime.date or None
        What is to be held; numbers must be finite.

    Returns
    -------
    str
        Text from which `from_text` gives the same content.
    """
    return json.dumps(content, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"), default=_day_out)


def from_text(text: str) -> Any:
    """Return the content of which `to_text` made a text; sequences are lists."""
    return json.loads(text, object_hook=_day_in)


def digest(text: str) -> str:
    """Return the SHA-256 of a text, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def _day_out(value: Any) -> dict[str, str]:
    if isinstance(value, dt.date):
        return {_DAY: value.isoformat()}
    raise TypeError(f"a ledger holds no {type(value).__name__}")


def _day_in(held: dict[str, Any]) -> Any:
    return dt.date.fromisoformat(held[_DAY]) if held.keys() == {_DAY} else held
