"""What identification answers: ranked types with reasons, and what to look at next.

Plain values only: probabilities from 0 to 1, information in bits.

>>> candidate = Candidate(7, "t", "25 tinne", "Halvern", "25 tinne", 0.9, (), (
...     Reason("mass", "for", "mass agrees"), Reason("diameter", "against", "0.4 mm too small")))
>>> candidate.reasons_for, candidate.reasons_against
(('mass agrees',), ('0.4 mm too small',))
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Reason:
    """One kind of evidence held against one type.

    ``kind`` is of ``series.identifying.evidence.KINDS``; ``verdict`` is "for", "against" or
    "neither" (the record does not say, or it tells nothing apart).
    """

    kind: str
    verdict: str
    words: str


@dataclass(frozen=True)
class IssueChance:
    """One issue of a candidate; ``probability`` is of the issue given the type."""

    issue_id: int
    label: str
    probability: float


@dataclass(frozen=True)
class Candidate:
    """One type it may be, with the issues that fit best first."""

    type_id: int
    key: str
    label: str
    country: str
    denomination: str
    probability: float
    issues: tuple[IssueChance, ...]
    reasons: tuple[Reason, ...]

    @property
    def reasons_for(self) -> tuple[str, ...]:
        return tuple(each.words for each in self.reasons if each.verdict == "for")

    @property
    def reasons_against(self) -> tuple[str, ...]:
        return tuple(each.words for each in self.reasons if each.verdict == "against")

    @property
    def not_recorded(self) -> tuple[str, ...]:
        return tuple(each.words for each in self.reasons if each.verdict == "neither")


@dataclass(frozen=True)
class Look:
    """Something to look at or measure next.

    ``kind`` is of ``KINDS``; ``look_at`` says what to do ("weigh it"), ``why`` what it would part;
    ``bits`` is the information it is expected to bring; ``tool`` of ``TOOLS``.
    """

    kind: str
    look_at: str
    why: str
    bits: float
    tool: str


@dataclass(frozen=True)
class Answer:
    """The ranked types; ``others`` is what all types not listed have together.

    ``candidates`` and ``none_of_these`` and ``others`` sum to one. ``looks`` are all that can
    still be done, the most telling first; ``next`` is the first of them, or None when nothing
    would help.
    """

    candidates: tuple[Candidate, ...]
    none_of_these: float
    others: float
    looks: tuple[Look, ...]

    @property
    def next(self) -> Look | None:
        return self.looks[0] if self.looks else None
