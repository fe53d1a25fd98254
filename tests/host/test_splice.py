"""Edits by bytes: what is not edited stays, and what was added can be taken away without a trace."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sheetgen.host.splice import Splice, written

SPACE = st.sampled_from(["", " ", "\n  "])


@st.composite
def parts(draw: st.DrawFn) -> bytes:
    """Return a part with a table that may be missing, empty or filled, written in any legal way."""
    prefix = draw(st.sampled_from(["", "x:"]))
    quote = draw(st.sampled_from("\"'"))
    count = draw(st.integers(0, 3))
    tail = draw(SPACE)
    inside = "".join(f"{draw(SPACE)}<{prefix}item a={quote}>{number}{quote}{tail}/>" for number in range(count))
    counted = draw(st.sampled_from(["", f" count={quote}{count}{quote}"]))
    table = draw(
        st.sampled_from(["", f"<{prefix}table{counted}{tail}>{inside}</{prefix}table>"])
        if inside
        else st.sampled_from(["", f"<{prefix}table{counted}{tail}/>", f"<{prefix}table{counted}></{prefix}table>"])
    )
    spaces = prefix.replace(":", "") and ":x"
    head = draw(st.sampled_from(["", "\ufeff", '<?xml version="1.0" encoding="UTF-8"?>\r\n', "<!-- a > b -->"]))
    return f"{head}<{prefix}root xmlns{spaces}={quote}u{quote}>{draw(SPACE)}{table}<{prefix}last/></{prefix}root>".encode()


@given(part=parts(), number=st.integers(1, 3))
def test_what_was_added_goes_without_a_trace(part: bytes, number: int) -> None:
    splice = Splice(part)
    table = splice.root.child("table")
    items = f"<{splice.root.prefix}item/>".encode() * number
    before = len(table.children) if table is not None else 0
    if table is None:
        splice.make(splice.root, "table", items, ["last"], f' count="{number}"')
    else:
        splice.append(table, items)
        if "count" in table.attributes:
            splice.set(table, "count", str(before + number))
    added = Splice(splice.result())
    table = added.root.child("table")
    assert table is not None
    assert len(table.children) == before + number
    etree.fromstring(added.data)

    added.cut(table, table.children[before:])

    assert added.result() == part


def test_an_attribute_is_set_in_its_own_quotes() -> None:
    splice = Splice(b"<a b='1' xb='2'><c d=\"3\"/></a>")
    splice.set(splice.root, "b", "9")
    splice.set(splice.root.children[0], "e", "4")

    assert splice.result() == b"<a b='9' xb='2'><c d=\"3\" e=\"4\"/></a>"


def test_a_filler_goes_with_the_last_that_was_added() -> None:
    splice = Splice(b"<a><t count='0'/></a>")
    splice.append(splice.root.children[0], b"<f/><i/>")
    added = Splice(splice.result())
    table = added.root.children[0]
    added.cut(table, table.children[1:], b"<f/>")

    assert added.result() == splice.data


def test_what_a_person_added_to_a_table_of_ours_stays() -> None:
    splice = Splice(b"<a><z/></a>")
    splice.make(splice.root, "t", b"<i/><theirs/>", ["z"])
    added = Splice(splice.result())
    table = added.root.children[0]
    added.cut(table, table.children[:1])

    assert added.result() == b"<a><t><theirs/></t ><z/></a>"


@pytest.mark.parametrize("prefix", ["", "x:"])
def test_an_element_is_written_with_another_prefix(prefix: str) -> None:
    element = etree.fromstring('<f xmlns="u" a="&lt;&quot;"><g>1 &amp; 2</g><h/></f>')

    assert written(element, prefix).decode() == f'<{prefix}f a="&lt;&quot;"><{prefix}g>1 &amp; 2</{prefix}g><{prefix}h/></{prefix}f>'
