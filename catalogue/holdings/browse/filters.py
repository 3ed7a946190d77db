"""What can be asked of the holdings, as a filter set: read from an address, checked, put in SQL.

The same choices are answered in two ways that a test holds against each other: ``Browse`` counts
and pages over the columns in memory (catalogue.holdings.search.index); bulk edits, exports and
sheets take the query set made here.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import django_filters
from django import forms
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.facets import FACETS, Chosen, Facet
from catalogue.members.requests import Viewer
from catalogue.models import Holding
from series.text.folding import fold
from series.text.stored_numbers import whole_number

NONE = "none"
ANY = "any"
WORDS_MOST = 8
ACCESSION_LENGTH = 60


class FacetField(forms.Field):
    """The chosen values of one facet: whole numbers or words, "none" for not recorded."""

    widget = forms.MultipleHiddenInput

    def __init__(self, *, numbered: bool, **kwargs: Any) -> None:
        self.numbered = numbered
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Chosen:
        chosen: set[int | str | None] = set()
        for text in value or ():
            if text == NONE:
                chosen.add(None)
            elif not self.numbered:
                chosen.add(text)
            elif (number := whole_number(text)) is not None:
                chosen.add(number)
            else:
                raise forms.ValidationError(
                    _("“%(text)s” is no choice here; take it from the list."),
                    params={"text": text},
                )
        return frozenset(chosen)


class FacetFilter(django_filters.Filter):
    field_class = FacetField

    def __init__(self, facet: Facet) -> None:
        super().__init__(required=False, numbered=facet.numbered)
        self.facet = facet

    def filter(self, qs: QuerySet[Holding], value: Chosen | None) -> QuerySet[Holding]:
        if not value:
            return qs
        return qs.filter(self.facet.condition(value, self.parent.viewer))


class _Word(django_filters.CharFilter):
    def filter(self, qs: QuerySet[Holding], value: str) -> QuerySet[Holding]:
        if self.parent.numbered:
            return qs.filter(pk__in=self.parent.numbered)
        viewer = self.parent.viewer
        for word in words_of(value):
            found = Q(search_text__contains=word) | Q(coin_type__search_text__contains=word)
            if access.is_member(viewer):
                found |= Q(own_text__contains=word, owner=viewer)
            qs = qs.filter(found)
        return qs


class HoldingFilter(django_filters.FilterSet):
    """All facets and the text search over the holdings a viewer may see."""

    q = _Word(required=False)

    class Meta:
        model = Holding
        fields: list[str] = []

    def __init__(self, data: Any, viewer: Viewer) -> None:
        self.viewer = viewer
        super().__init__(data, access.visible_holdings(viewer))

    @cached_property
    def numbered(self) -> frozenset[int]:
        """Pieces whose whole number is searched for; with a sign in it, whose number begins so.

        Where there are any, nothing else is meant.
        """
        asked = str(self.data.get("q", "")).strip()
        if len(asked) > ACCESSION_LENGTH or "\0" in asked or not any(map(str.isdigit, asked)):
            return frozenset()
        rows = self.queryset
        owners = self.chosen().get("owner")
        if owners:
            rows = rows.filter(owner__in=[pk for pk in owners if pk is not None])
        whole = frozenset(rows.filter(accession__iexact=asked).values_list("pk", flat=True))
        if whole or asked.replace(" ", "").isalnum():
            return whole
        return frozenset(rows.filter(accession__istartswith=asked).values_list("pk", flat=True))

    def chosen(self) -> dict[str, Chosen]:
        """The choices by facet; facets in which nothing is chosen are left out."""
        cleaned = self.form.cleaned_data if self.form.is_valid() else {}
        return {name: cleaned[name] for name in FACETS if cleaned.get(name)}


HoldingFilter.base_filters |= {name: FacetFilter(facet) for name, facet in FACETS.items()}


def words_of(text: str) -> list[str]:
    """The folded words of a search, the first few of them."""
    return fold(text or "").split()[:WORDS_MOST]
