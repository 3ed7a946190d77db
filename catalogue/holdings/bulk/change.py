"""Changing many holdings at once: all that were planned, or none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django.db import transaction
from django.db.models import F, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue.holdings.actions import HoldingError, join
from catalogue.holdings.bulk.plan import Changes, Plan, Planned, plan_of
from catalogue.holdings.changes import note_holdings
from catalogue.models import Holding, HoldingProblem
from series.parcels import parcels

_BATCH = 500
_TOLD = 8


class ChangedMeanwhile(HoldingError):
    """What was looked over is no longer what is stored."""


@transaction.atomic
def change_all(holdings: QuerySet[Holding], changes: Changes, seen: str) -> Plan:
    """Change those of these holdings (of one owner) that can be; return what was done.

    ``seen`` is ``Plan.versions`` of the look before. ChangedMeanwhile when a holding was changed,
    came or went since.
    """
    plan = plan_of(holdings.select_for_update(of=("self",)), changes)
    _refuse_stale(plan, seen)
    apply_plan(plan.changed)
    return plan


def apply_plan(changed: Sequence[Planned]) -> None:
    """Save what was planned: columns, versions, problems, and the note for browsing."""
    now = timezone.now()
    of_fields: dict[frozenset[str], list[Holding]] = {}
    for planned in changed:
        fields = frozenset(planned.fields - {"search_text"})
        of_fields.setdefault(fields, []).append(planned.holding)
    for fields, some in of_fields.items():
        _update(some, fields, changed_at=now)
    found_anew = [each.holding for each in changed if "search_text" in each.fields]
    Holding.objects.bulk_update(found_anew, ["search_text"], batch_size=_BATCH)
    for planned in changed:
        planned.holding.row_version += 1
    _add_problems(changed)
    _remove_problems(changed)
    note_holdings([each.holding.pk for each in changed])


def _update(holdings: Iterable[Holding], fields: frozenset[str], **same: Any) -> None:
    """Write these columns, holdings with the same values together; one version more for each."""
    alike: dict[tuple[Any, ...], list[int]] = {}
    names = sorted(fields)
    for holding in holdings:
        alike.setdefault(tuple(getattr(holding, name) for name in names), []).append(holding.pk)
    for values, ids in alike.items():
        Holding.objects.filter(pk__in=ids).update(
            row_version=F("row_version") + 1, **dict(zip(names, values, strict=True)), **same
        )


def _remove_problems(changed: Iterable[Planned]) -> None:
    of_kind: dict[str, list[int]] = {}
    for each in changed:
        if each.remove_problem:
            of_kind.setdefault(each.remove_problem, []).append(each.holding.pk)
    for kind, ids in of_kind.items():
        HoldingProblem.objects.filter(holding__in=ids, kind=kind).delete()


def _add_problems(changed: Iterable[Planned]) -> None:
    HoldingProblem.objects.bulk_create(
        HoldingProblem(holding=each.holding, kind=each.add_problem)
        for each in changed
        if each.add_problem
    )


def _refuse_stale(plan: Plan, seen: str) -> None:
    """ChangedMeanwhile, naming the holdings that are not as they were seen."""
    if plan.versions == seen:
        return
    before = set(seen.split(","))
    holdings = [*(each.holding for each in plan.changed), *plan.already]
    holdings += [holding for holding, _reason in plan.left]
    numbers = sorted(
        holding.accession
        for holding in holdings
        if f"{holding.pk}-{holding.row_version}" not in before
    )
    if not numbers:
        raise ChangedMeanwhile(_("Some of the pieces are gone since you looked; look again."))
    words = ngettext(
        "%(n)d piece was changed since you looked (%(which)s); look again.",
        "%(n)d pieces were changed since you looked (%(which)s); look again.",
        len(numbers),
    )
    which = ", ".join(numbers[:_TOLD]) + (" …" if len(numbers) > _TOLD else "")
    raise ChangedMeanwhile(words % {"n": len(numbers), "which": which})


def _refuse_promised(rows: QuerySet[Holding]) -> None:
    promised = rows.filter(reservation__isnull=False).first()
    if promised is not None:
        raise HoldingError(
            _("%(number)s is promised to another member; take the promise back first.")
            % {"number": promised.accession}
        )


@transaction.atomic
def bin_all(holdings: QuerySet[Holding]) -> int:
    """Put all of these holdings into the bin; returns how many."""
    ids = list(holdings.order_by().values_list("pk", flat=True))
    _refuse_promised(holdings)
    for some in parcels(ids):
        Holding.objects.filter(pk__in=some).update(
            deleted_at=timezone.now(), row_version=F("row_version") + 1
        )
    note_holdings(ids)
    return len(ids)


@transaction.atomic
def join_all(holdings: QuerySet[Holding]) -> Holding:
    """Make one lot of these; the one with the first number keeps it."""
    return join(holdings.select_for_update().order_by("accession", "pk"))
