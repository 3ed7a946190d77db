"""Unidentified pieces ranked again, and what of it their owners are told.

Told is, on the site's own pages and never by mail, that a piece has become likely: its first type
has at least ``LIKELY``, and is not the one its owner knows of (``Observation.told_type``).
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from typing import TYPE_CHECKING

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone
from django_tasks import task

from catalogue import access
from catalogue.identifying.evidence_of import texts_of
from catalogue.identifying.tables import current_table, eligible
from catalogue.models import Holding, Member, Observation
from series.identifying.evidence import Evidence, EvidenceError, read_evidence
from series.identifying.weighing import Weighing

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from series.identifying.table import TypeTable

LIKELY = 0.8
"""From this probability on an owner is told of a type."""
KNOWN = 0.5
"""A type that had this when its piece was kept is known to the owner, who saw it there."""


def likeliest(
    table: TypeTable, evidence: Evidence, mask: NDArray[np.bool_] | None
) -> tuple[int | None, float]:
    """The id and probability of the first of the ranking; (None, 0) when there is no type."""
    chances = Weighing.of(table, evidence).posterior(mask).types
    if not chances.any():
        return None, 0.0
    first = int(chances.argmax())
    return int(table.ids[first]), float(chances[first])


def likeliest_for(member: Member, evidence: Evidence) -> tuple[int | None, float]:
    """The same among all types that a member may see, as the records are now."""
    table = current_table()
    return likeliest(table, evidence, eligible(table, member))


def open_observations() -> QuerySet[Observation]:
    """Those of pieces that are held and not identified."""
    return Observation.objects.filter(
        holding__coin_type=None, holding__deleted_at=None, holding__status__in=Holding.IN_HAND
    )


def ask_to_rank_again() -> None:
    """Rank again all that is unidentified, by a task, once this transaction is committed."""
    transaction.on_commit(_enqueue)


def _enqueue() -> None:
    if open_observations().exists():
        rank_again.enqueue(timezone.now().isoformat())


@task()
def rank_again(asked_at: str) -> None:
    """Rank what was not ranked since ``asked_at``; asked for twice, it is done once."""
    since = datetime.datetime.fromisoformat(asked_at)
    waiting = open_observations().exclude(ranked_at__gte=since)
    owners = Member.objects.filter(pk__in=waiting.values("holding__owner"), is_active=True)
    for owner in owners.order_by("pk"):
        rank_observations(owner, waiting.filter(holding__owner=owner))


def rank_observations(owner: Member, observations: Iterable[Observation]) -> None:
    """Rank these pieces of an owner among all types that the owner may see.

    Evidence that was put down anew meanwhile is left alone: it was ranked then.
    """
    began = timezone.now()
    table = current_table()
    mask = eligible(table, owner)
    if isinstance(observations, QuerySet):
        observations = observations.select_related("holding")
    for each in observations:
        try:
            evidence = read_evidence(texts_of(each.holding))
        except EvidenceError:  # put down under other rules; its owner mends it when they look
            continue
        type_id, probability = likeliest(table, evidence, mask)
        Observation.objects.filter(pk=each.pk, kept_at=each.kept_at).update(
            likely_type=type_id, probability=probability, ranked_at=began
        )


def news_for(member: Member) -> list[Observation]:
    """What has become likely and the member has not taken note of. One query where there is none.

    Asked for on pages that are looked at often, and nearly always empty: only the ids are read
    first.
    """
    unheard = Q(told_type=None) | ~Q(told_type=F("likely_type"))
    found = (
        open_observations()
        .filter(unheard, holding__owner=member, probability__gte=LIKELY)
        .exclude(likely_type=None)
    )
    likely = dict(found.order_by().values_list("pk", "likely_type_id"))
    if not likely:
        return []
    types = access.visible_types(member).filter(pk__in=set(likely.values()))
    seen = set(types.values_list("pk", flat=True))
    return list(
        found.filter(pk__in=[pk for pk, type_id in likely.items() if type_id in seen])
        .select_related("holding", "likely_type__denomination", "likely_type__series__issuer")
        .order_by("-probability", "holding__accession")
    )


@transaction.atomic
def take_note(member: Member, told: Iterable[tuple[int, int]]) -> int:
    """Note that a member knows of these: (holding, type likely) as shown; returns how many.

    What is not theirs, or has become another type since it was shown, stays as it is.
    """
    shown = set(told)
    mine = Observation.objects.filter(holding__owner=member, probability__gte=LIKELY)
    noted = [
        each
        for each in mine.select_for_update(of=("self",))
        if (each.holding_id, each.likely_type_id) in shown
    ]
    for each in noted:
        each.told_type_id, each.told_at = each.likely_type_id, timezone.now()
    Observation.objects.bulk_update(noted, ["told_type", "told_at"], batch_size=500)
    return len(noted)
