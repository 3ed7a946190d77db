"""A planned bulk change in words: what alike holdings become, and why some are left alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.utils.translation import ngettext

from catalogue.holdings.bulk.plan import Plan, Step
from series.text.english import some_of

NAMED = 12
GROUPS = 30
"""More kinds of change or reasons than this are told by their number only."""


@dataclass
class Alike:
    """Holdings of which the same is said."""

    words: str
    was: str = ""
    becomes: str = ""
    accessions: list[str] = field(default_factory=list)

    @property
    def count(self) -> int:
        return len(self.accessions)

    @property
    def numbers(self) -> str:
        return named(self.accessions)


@dataclass(frozen=True)
class Told:
    """What is said of one thing: the largest groups, and how many holdings are in the others."""

    what: str
    groups: list[Alike]
    more: int


def changes_in_words(plan: Plan) -> list[Told]:
    """For each thing that changes: from what to what, and on which holdings; most first."""
    found: dict[str, dict[Step, Alike]] = {}
    for planned in plan.changed:
        for step in planned.steps:
            alike = found.setdefault(step.what, {})
            group = alike.setdefault(step, Alike(step.what, step.was, step.becomes))
            group.accessions.append(planned.holding.accession)
    return [_told(what, alike.values()) for what, alike in found.items()]


def left_in_words(plan: Plan) -> Told:
    """The reasons for leaving holdings alone, each with which they are."""
    found: dict[str, Alike] = {}
    for holding, reason in plan.left:
        found.setdefault(reason, Alike(reason)).accessions.append(holding.accession)
    return _told("", found.values())


def left_as_they_were(count: int, which: str) -> str:
    """How many holdings were left alone, and which they are."""
    words = ngettext(
        "%(n)d holding was left as it was: %(which)s.",
        "%(n)d holdings were left as they were: %(which)s.",
        count,
    )
    return words % {"n": count, "which": which}


def _told(what: str, groups: Iterable[Alike]) -> Told:
    ordered = sorted(groups, key=lambda group: -group.count)
    return Told(what, ordered[:GROUPS], sum(group.count for group in ordered[GROUPS:]))


def named(accessions: Iterable[str]) -> str:
    """The first numbers, and how many more there are."""
    return some_of(list(accessions), NAMED)
