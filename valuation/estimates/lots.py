"""Values follow what they are of: a lot that is split or joined, a double that becomes one type.

An own value (an appraisal or its owner's estimate) is for one piece. So when pieces are taken out
of a lot, each of the two lots gets the values. When lots are joined, all pieces get one value; so
lots can be joined only while their pieces have the same own value each, or none of them has one.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.dispatch import receiver
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.holdings.actions import HoldingError
from catalogue.models import Holding
from catalogue.signals import lot_split, lots_joining
from series.signals import types_joined
from valuation.estimates.models import Valuation
from valuation.estimates.queries import as_value
from valuation.estimates.worth import Value, choose
from valuation.money import written

_SAID = (
    "on",
    "single",
    "low",
    "high",
    "currency",
    "basis",
    "source_id",
    "appraiser",
    "note",
    "grade_scale",
    "grade",
)


@receiver(types_joined)
def follow(gone: Any, kept: Any, issue_map: dict[int, int], **_more: Any) -> None:
    """Values of ``gone`` become values of ``kept``; those of its issues follow ``issue_map``."""
    Valuation.everything.filter(coin_type=gone).update(coin_type=kept)
    for old, new in issue_map.items():
        Valuation.everything.filter(issue=old).update(issue=new)


@receiver(lot_split, dispatch_uid="values-split")
def share(holding: Holding, taken: Holding, **_more: Any) -> None:
    """Give the pieces taken out of a lot the lot's own values."""
    for value in Valuation.objects.filter(holding=holding).order_by("pk"):
        value.pk = None
        value._state.adding = True
        value.row_version = 1
        value.holding = taken
        value.save(force_insert=True)


@receiver(lots_joining, dispatch_uid="values-join")
def gather(kept: Holding, others: list[Holding], **_more: Any) -> None:
    """Bring the others' own values to the lot that is kept; HoldingError where they differ."""
    _refuse_different(kept, others)
    values = Valuation.objects.order_by("on", "pk")
    known = {_said(value) for value in values.filter(holding=kept)}
    for value in values.filter(holding__in=others):
        if _said(value) not in known:
            known.add(_said(value))
            Valuation.objects.filter(pk=value.pk).update(holding=kept)


def _refuse_different(kept: Holding, others: list[Holding]) -> None:
    """The value that counts today must be the same amount for each piece of every lot."""
    own = _own_values([kept, *others])
    first = own[kept.pk]
    for other in others:
        this = own[other.pk]
        if _amount(this) == _amount(first):
            continue
        raise HoldingError(
            _(
                "Own values are for one piece, and these differ: %(a)s has %(first)s, %(b)s has "
                "%(this)s. Give them the same value, or take the value away, then join them."
            )
            % {
                "a": kept.accession,
                "b": other.accession,
                "first": _in_words(first),
                "this": _in_words(this),
            }
        )


def _own_values(holdings: Iterable[Holding]) -> dict[int, Value | None]:
    """The own value of one piece that counts today, by id of the holding; two queries."""
    found: dict[int, list[Value]] = {holding.pk: [] for holding in holdings}
    for value in Valuation.objects.filter(holding__in=list(found)).select_related("source"):
        found[value.holding_id or 0].append(as_value(value))
    today = timezone.localdate()
    return {pk: choose(values, [], [], None, today) for pk, values in found.items()}


def _amount(value: Value | None) -> tuple[Any, ...] | None:
    return None if value is None else (value.amount, value.currency)


def _in_words(value: Value | None) -> str:
    return _("no own value") if value is None else written(value.amount, value.currency)


def _said(value: Valuation) -> tuple[Any, ...]:
    return tuple(getattr(value, name) for name in _SAID)
