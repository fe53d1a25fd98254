"""What a user can mend: a Finding has a code, a severity, a place, what is wrong, and how to mend it."""

from __future__ import annotations

import enum
from collections.abc import Iterable, Iterator

import attrs


class Severity(enum.IntEnum):
    """How much a finding weighs: an error stops the step, a look does not, a note only tells."""

    NOTE = 0
    LOOK = 1
    ERROR = 2


@attrs.frozen
class Finding:
    """One thing that a user can mend.

    Parameters
    ----------
    code : str
        Short, stable name such as ``zone-unknown``.
    severity : Severity
        Error, look or note.
    place : str
        File, sheet and cell, or file, line and column: as exact as is known.
    what : str
        What is wrong, in plain words.
    mend : str
        What to do about it.
    """

    code: str
    severity: Severity
    place: str
    what: str
    mend: str = ""

    def line(self) -> str:
        """Return the finding as one line of text: ``code place: what; mend``."""
        tail = f"; {self.mend}" if self.mend else ""
        return f"{self.severity.name.lower()} {self.code} {self.place}: {self.what}{tail}"

    def record(self) -> dict[str, str]:
        """Return the finding as a plain mapping for JSON and CSV."""
        return {
            "code": self.code,
            "severity": self.severity.name.lower(),
            "place": self.place,
            "what": self.what,
            "mend": self.mend,
        }


class Report:
    """Findings collected in the order in which they were met."""

    def __init__(self, findings: Iterable[Finding] = ()) -> None:
        self._findings = list(findings)

    def error(self, code: str, place: str, what: str, mend: str = "") -> None:
        """Add an error: no output of this step."""
        self._findings.append(Finding(code, Severity.ERROR, place, what, mend))

    def look(self, code: str, place: str, what: str, mend: str = "") -> None:
        """Add something to look at: output is made all the same."""
        self._findings.append(Finding(code, Severity.LOOK, place, what, mend))

    def note(self, code: str, place: str, what: str, mend: str = "") -> None:
        """Add something worth knowing."""
        self._findings.append(Finding(code, Severity.NOTE, place, what, mend))

    def extend(self, findings: Iterable[Finding]) -> None:
        """Add the findings of another step."""
        self._findings.extend(findings)

    @property
    def failed(self) -> bool:
        """Whether any finding is an error."""
        return self.worst is Severity.ERROR

    @property
    def worst(self) -> Severity | None:
        """The gravest severity met, or None."""
        return max((finding.severity for finding in self._findings), default=None)

    def __iter__(self) -> Iterator[Finding]:
        return iter(self._findings)

    def __len__(self) -> int:
        return len(self._findings)


class Refused(Exception):  # noqa: N818 - not a fault of ours: the user's input cannot be used
    """Raised where a step cannot go on; carries the findings that say why."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(findings)
        super().__init__("; ".join(finding.line() for finding in self.findings))

    def __reduce__(self) -> tuple[type[Refused], tuple[tuple[Finding, ...]]]:
        """Let the findings go along to another process."""
        return type(self), (self.findings,)
