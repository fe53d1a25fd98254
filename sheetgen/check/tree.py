"""The tree of one formula: literals, references, names, functions, and the operators between them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

if TYPE_CHECKING:
    from collections.abc import Iterator


@attrs.frozen
class Number:
    """A number literal, as written."""

    text: str


@attrs.frozen
class Text:
    """A text literal, without its quotes."""

    text: str


@attrs.frozen
class Truth:
    """TRUE or FALSE."""

    value: bool


@attrs.frozen
class Missing:
    """An argument left out between two commas."""


@attrs.frozen
class Reference:
    """A cell or a range.

    Parameters
    ----------
    sheet : str or None
        Name of its sheet; None is the sheet of the formula.
    top, bottom : int
        First and last row: 1-based where fixed, else counted from the row of the formula [rows].
    top_fixed, bottom_fixed : bool
        Whether the row has a ``$``.
    left, right : int
        First and last column, 1-based [columns].
    is_range : bool
        Whether it is written as a range.
    """

    sheet: str | None
    top: int
    top_fixed: bool
    left: int
    bottom: int
    bottom_fixed: bool
    right: int
    is_range: bool

    @property
    def steady(self) -> bool:
        """Whether its number of rows is the same in every row of a block."""
        return self.top_fixed == self.bottom_fixed

    def rows(self, row: int) -> tuple[int, int]:
        """Return its first and last row, in order, for the formula of one row.

        Parameters
        ----------
        row : int
            Row of the formula [1-based row].
        """
        top = self.top if self.top_fixed else row + self.top
        bottom = self.bottom if self.bottom_fixed else row + self.bottom
        return (top, bottom) if top <= bottom else (bottom, top)


@attrs.frozen
class Name:
    """A defined name."""

    name: str


@attrs.frozen
class Call:
    """A function with its arguments."""

    function: str
    arguments: tuple[Node, ...]


@attrs.frozen
class Pair:
    """Two values and the operator between them."""

    operator: str
    left: Node
    right: Node


@attrs.frozen
class Sign:
    """Plus or minus before a value."""

    operator: str
    value: Node


@attrs.frozen
class Percent:
    """A value with ``%`` behind it."""

    value: Node


@attrs.frozen
class Group:
    """A value in parentheses."""

    value: Node


Node = Number | Text | Truth | Missing | Reference | Name | Call | Pair | Sign | Percent | Group


def nodes(tree: Node) -> Iterator[Node]:
    """Yield a tree and everything in it."""
    yield tree
    match tree:
        case Call(_, arguments):
            for argument in arguments:
                yield from nodes(argument)
        case Pair(_, left, right):
            yield from nodes(left)
            yield from nodes(right)
        case Sign(_, value) | Percent(value) | Group(value):
            yield from nodes(value)
        case _:
            pass


def depth(tree: Node) -> int:
    """Return how many functions stand inside each other at most [count]."""
    match tree:
        case Call(_, arguments):
            return 1 + max((depth(argument) for argument in arguments), default=0)
        case Pair(_, left, right):
            return max(depth(left), depth(right))
        case Sign(_, value) | Percent(value) | Group(value):
            return depth(value)
        case _:
            return 0


def bare(tree: Node) -> Node:
    """Return a tree without the parentheses round it."""
    while isinstance(tree, Group):
        tree = tree.value
    return tree
