"""What can be asked of the holdings: read from an address, checked, put in SQL.

The same choices are answered in two ways that a test holds against each other: ``Browse`` counts
and pages over the columns in memory (catalogue.holdings.search.index); bulk edits, exports and
sheets take the query set made here.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any

from django import forms
from django.db.models import Q, QuerySet
from django.http import QueryDict
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.facets import FACETS, Chosen, Facet
from catalogue.models import Holding
from series.text.folding import fold
from series.text.stored_numbers import whole_number

NONE = "none"
ANY = "any"
WORDS_MOST = 8
ACCESSION_LENGTH = 60


class HoldingFilter:
    """All facets and the text search over the holdings a viewer may see.

    ``errors`` says in words what of an address cannot be read; it is left aside.
    """

    def __init__(self, data: QueryDict, viewer: Any) -> None:
        self.viewer, self.text = viewer, ""
        self.errors: list[str] = []
        self._read: dict[str, Chosen] = {}
        try:
            self.text = forms.CharField(required=False).clean(data.get("q", ""))
        except forms.ValidationError as wrong:
            self.errors += wrong.messages
        for name, facet in FACETS.items():
            try:
                self._read[name] = _values(facet, data.getlist(name))
            except forms.ValidationError as wrong:
                self.errors += wrong.messages

    @property
    def chosen(self) -> dict[str, Chosen]:
        """The choices by facet, if all could be read; those in which nothing is chosen left out."""
        return {} if self.errors else {name: of for name, of in self._read.items() if of}

    @property
    def qs(self) -> QuerySet[Holding]:
        """The holdings found."""
        found = access.visible_holdings(self.viewer)
        for name, values in self._read.items():
            if values:
                found = found.filter(FACETS[name].condition(values, self.viewer))
        return found.filter(pk__in=self.numbered) if self.numbered else self._worded(found)

    def _worded(self, found: QuerySet[Holding]) -> QuerySet[Holding]:
        for word in words_of(self.text):
            says = Q(search_text__contains=word) | Q(coin_type__search_text__contains=word)
            if access.is_member(self.viewer):
                says |= Q(own_text__contains=word, owner=self.viewer)
            found = found.filter(says)
        return found

    @cached_property
    def numbered(self) -> frozenset[int]:
        """Pieces whose whole number is searched for; with a sign in it, whose number begins so.

        Where there are any, nothing else is meant.
        """
        asked = self.text
        if len(asked) > ACCESSION_LENGTH or not any(map(str.isdigit, asked)):
            return frozenset()
        rows = access.visible_holdings(self.viewer)
        owners = self.chosen.get("owner")
        if owners:
            rows = rows.filter(owner__in=[pk for pk in owners if pk is not None])
        whole = frozenset(rows.filter(accession__iexact=asked).values_list("pk", flat=True))
        if whole or asked.replace(" ", "").isalnum():
            return whole
        return frozenset(rows.filter(accession__istartswith=asked).values_list("pk", flat=True))


def _values(facet: Facet, texts: Iterable[str]) -> Chosen:
    """The chosen values of a facet: whole numbers or words, "none" for not recorded."""
    values: set[int | str | None] = set()
    for text in texts:
        value = whole_number(text) if facet.numbered else text
        if value is None and text != NONE:
            raise forms.ValidationError(
                _("“%(text)s” is no choice here; take it from the list.") % {"text": text}
            )
        values.add(None if text == NONE else value)
    return frozenset(values)


def words_of(text: str) -> list[str]:
    """The folded words of a search, the first few of them."""
    return fold(text or "").split()[:WORDS_MOST]
