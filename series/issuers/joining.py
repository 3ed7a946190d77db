"""Two records of one country become one: all that names the double names the country kept."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from django.db import transaction

from series.issuers.models import Issuer
from series.text.folding import fold
from series.types.derived import types_using
from series.types.editing import settle


def doubles() -> list[tuple[Issuer, Issuer]]:
    """Countries begun here that a pack describes too, by code or by name: (begun here, the pack's).

    One query; the reference catalogue has some hundred countries.
    """
    found: dict[str, list[Issuer]] = defaultdict(list)
    issuers = list(Issuer.objects.filter(withdrawn=False).order_by("pk"))
    for issuer in issuers:
        if issuer.pack_id is not None:
            for name in _names(issuer):
                found[name].append(issuer)
    pairs = []
    for issuer in issuers:
        if issuer.pack_id is None:
            kept = next((found[name][0] for name in _names(issuer) if found[name]), None)
            if kept is not None:
                pairs.append((issuer, kept))
    return pairs


def _names(issuer: Issuer) -> list[str]:
    return ([f"code {issuer.code}"] if issuer.code else []) + [fold(issuer.name)]


def join_issuers(gone: Issuer, kept: Issuer) -> None:
    """Whatever named ``gone`` names ``kept``, which takes what only the double says; all of it.

    The double goes into the bin. Its money, series and types stay what they are.
    """
    with transaction.atomic():
        types = types_using({"issuers": [gone.pk]})
        for relation in Issuer._meta.related_objects:
            field = relation.remote_field
            if relation.one_to_many:
                model: Any = relation.related_model
                rows = getattr(model, "everything", model._default_manager)
                rows.filter(**{field.name: gone}).update(**{field.name: kept})
        for currency in gone.currencies.all():
            currency.issuers.add(kept)
            currency.issuers.remove(gone)
        kept.predecessors.add(*gone.predecessors.exclude(pk=kept.pk))
        for after in gone.successors.exclude(pk=kept.pk):
            after.predecessors.add(kept)
        gone.predecessors.clear()
        gone.successors.clear()
        for name in ("code", "first_year", "last_year", "story"):
            if getattr(kept, name) in (None, ""):
                setattr(kept, name, getattr(gone, name))
        kept.save()
        gone.bin()
        settle(sorted(types))
