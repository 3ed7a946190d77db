"""Entering pieces: numbered, derived and saved in one step, for quick entry and date runs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.actions import (
    HoldingError,
    derive,
    habits_of,
    lock_numbers,
    next_accessions,
    take_accessions,
)
from catalogue.models import Holding, Member, Place
from series.models import CoinType, Issue


class SentBefore(Exception):
    """A form was sent twice; ``holding`` is what it made the first time."""

    def __init__(self, holding: Holding) -> None:
        super().__init__(holding.accession)
        self.holding = holding


@transaction.atomic
def enter(owner: Member, number: str = "", **fields: Any) -> Holding:
    """Save a new holding under the owner's next number; HoldingError says what is wrong.

    ``number`` is the one that was next when the form was made: SentBefore when a like piece has
    it by now, also when both were sent at the same time.
    """
    holding = Holding(owner=owner, accession=take_accessions(owner)[0], **fields)
    derive(holding)
    before = access.own_holdings(owner).filter(accession=number).first()
    if before is not None and all(getattr(before, f) == getattr(holding, f) for f in fields):
        raise SentBefore(before)
    holding.save()
    return holding


@transaction.atomic
def tick(
    owner: Member,
    coin_type: CoinType,
    issues: Iterable[int],
    *,
    scale: str,
    grade: str = "",
    place: Place | None = None,
) -> list[Holding]:
    """One new holding for each of these issues of a type of which the owner holds none.

    Sent twice, it adds nothing the second time: the owner's numbers are locked meanwhile.
    """
    lock_numbers(owner)
    held = set(
        access.own_in_hand(owner)
        .filter(coin_type=coin_type, issue__isnull=False)
        .values_list("issue_id", flat=True)
    )
    fresh = list(coin_type.issues.filter(pk__in=set(issues) - held))
    visibility = habits_of(owner).visibility
    made = []
    for issue, accession in zip(fresh, next_accessions(owner, len(fresh)), strict=True):
        if issue.fact == Issue.Fact.NOT_STRUCK:
            raise HoldingError(_("%(date)s was not struck.") % {"date": issue.label})
        holding = Holding(
            owner=owner,
            accession=accession,
            coin_type=coin_type,
            issue=issue,
            grade_scale=scale,
            grade=grade,
            place=place,
            visibility=visibility,
        )
        derive(holding)
        holding.save()
        made.append(holding)
    return made
