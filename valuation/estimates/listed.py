"""What a list says its pieces are worth: values by their owner, with the list as their source."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django.dispatch import receiver
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.models import Holding, ImportedList
from catalogue.signals import pieces_valued
from valuation.estimates.models import PriceSource, Valuation

LONGEST_NAME = 160


@receiver(pieces_valued, dispatch_uid="values-listed")
def keep(
    brought: ImportedList, worths: Sequence[tuple[Holding, list[str]]], **_more: Any
) -> dict[str, list[int]]:
    """A value of each piece, of the day on which the list was brought.

    The source is one of the owner's, found again by the name of the list.
    """
    name = (_("The list %(name)s") % {"name": brought.name})[:LONGEST_NAME]
    known = PriceSource.objects.filter(owner=brought.owner, name=name).first()
    source = known or PriceSource.objects.create(
        owner=brought.owner, name=name, kind=PriceSource.Kind.OWN
    )
    day = timezone.localdate(brought.made_at)
    values = Valuation.objects.bulk_create(
        [
            Valuation(
                holding=piece,
                single=Decimal(amount),
                currency=currency,
                on=day,
                source=source,
                entered_by=brought.owner,
            )
            for piece, (amount, currency) in worths
        ],
        batch_size=500,
    )
    made = {Valuation._meta.label_lower: [value.pk for value in values]}
    return made if known else {**made, PriceSource._meta.label_lower: [source.pk]}
