"""A planned bulk change in words: what alike holdings become, and why some are left alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from catalogue.holdings.bulk_plan import Plan, Step

NAMED = 12


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


def changes_in_words(plan: Plan) -> list[tuple[str, list[Alike]]]:
    """For each thing that changes: from what to what, and on which holdings; most first."""
    found: dict[str, dict[Step, Alike]] = {}
    for planned in plan.changed:
        for step in planned.steps:
            alike = found.setdefault(step.what, {})
            group = alike.setdefault(step, Alike(step.what, step.was, step.becomes))
            group.accessions.append(planned.holding.accession)
    return [(what, _most_first(alike.values())) for what, alike in found.items()]


def left_in_words(plan: Plan) -> list[Alike]:
    """The reasons for leaving holdings alone, each with which they are."""
    found: dict[str, Alike] = {}
    for holding, reason in plan.left:
        found.setdefault(reason, Alike(reason)).accessions.append(holding.accession)
    return _most_first(found.values())


def _most_first(groups: Iterable[Alike]) -> list[Alike]:
    return sorted(groups, key=lambda group: -group.count)


def named(accessions: Iterable[str]) -> str:
    """The first numbers, and how many more there are."""
    numbers = list(accessions)
    said = ", ".join(numbers[:NAMED])
    if len(numbers) > NAMED:
        return _("%(numbers)s and %(n)d more") % {"numbers": said, "n": len(numbers) - NAMED}
    return said
