"""Which pieces a sheet is about: the member's own among what an address of browsing finds."""

from __future__ import annotations

from django.db.models import F, QuerySet
from django.http import QueryDict
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.fields import ids_from
from catalogue.models import Holding, Member

BY_COIN = (
    F("coin_type__series__issuer__name").asc(nulls_last=True),
    F("coin_type__series__first_year").asc(nulls_last=True),
    "coin_type__series",
    "coin_type__denomination__sort_value",
    F("coin_type__first_year").asc(nulls_last=True),
    "coin_type",
    F("issue__struck_from").asc(nulls_last=True),
    "issue__position",
    "accession",
)
ORDERS = {"coin": BY_COIN, "accession": ("accession", "pk")}


def chosen_holdings(owner: Member, query: str, order: str = "coin") -> QuerySet[Holding]:
    """The owner's pieces that the address finds; ``holding=…`` in it narrows to single ones."""
    data = QueryDict(query)
    found = access.owned(Browse(data, owner).queryset(), owner)
    single = ids_from(data.getlist("holding"))
    if single:
        found = found.filter(pk__in=single)
    return found.order_by(*ORDERS.get(order, BY_COIN))


def in_words(owner: Member, query: str) -> list[str]:
    """What the address asks for, as one text a choice; empty when it asks for nothing."""
    browse = Browse(QueryDict(query), owner)
    said = []
    words = str(browse.data.get("q", "")).strip()
    if words:
        said.append(_("with “%(words)s”") % {"words": words})
    for facet in browse.facets():
        chosen = browse.chosen.get(facet.name)
        if facet.name == "owner" or (
            facet.name == "status" and chosen == frozenset(Holding.IN_HAND)
        ):
            continue
        labels = [value.label for value in facet.values if value.chosen]
        if labels:
            said.append(f"{facet.label}: {', '.join(labels)}")
    return said
