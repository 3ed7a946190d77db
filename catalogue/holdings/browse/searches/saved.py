"""Keeping a search: what of an address is kept, how many it finds now, what of it is gone."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.db.models import QuerySet
from django.http import QueryDict

from catalogue import access
from catalogue.extensions import holding_extensions
from catalogue.holdings.browse.results import VIEWS, Browse
from catalogue.holdings.browse.searches.models import SavedSearch
from catalogue.holdings.facets import FACETS, ORDERS
from catalogue.holdings.search.index import store
from catalogue.models import Member
from series.text.stored_numbers import whole_number

MOST = 100  # searches of one member
_LONGEST_TEXT = 200
_MOST_VALUES = 200
_NAMED = {name: facet.model for name, facet in FACETS.items() if facet.model is not None}


class NotASearch(ValueError):
    """The address asks for what holdings cannot be asked."""


@dataclass(frozen=True)
class Kept:
    """A saved search with how many holdings it finds now, and which choices of it are gone."""

    search: SavedSearch
    count: int
    gone: str  # labels of the facets, such as "place"


def checked(asked: str, viewer: Member) -> str:
    """What of an address's query can be kept: choices, text, order and view, each of them valid.

    Raises NotASearch for a choice that cannot be, and for a place that is not the viewer's.
    """
    data = QueryDict(asked[:20_000])
    sorts = {*ORDERS, *(each.key for each in holding_extensions())}
    allowed = {
        "q": lambda text: 0 < len(text.strip()) <= _LONGEST_TEXT,
        "sort": lambda text: text.removeprefix("-") in sorts,
        "view": lambda text: text in VIEWS,
    }
    pairs = [
        (name, data[name]) for name, fits in allowed.items() if name in data and fits(data[name])
    ]
    for name in FACETS:
        values = sorted({text for text in data.getlist(name) if text})[:_MOST_VALUES]
        pairs += [(name, text) for text in values]
    kept = urlencode(sorted(pairs))
    browse = Browse(QueryDict(kept), viewer)
    if browse.errors or _missing({"place": _numbers(browse, "place")}, viewer)["place"]:
        raise NotASearch(asked)
    return kept


def kept_searches(viewer: Member, most: int | None = None) -> list[Kept]:
    """The viewer's saved searches by name, with counts from the columns in memory."""
    found = list(own_searches(viewer)[:most])
    states = [Browse(QueryDict(search.asked), viewer) for search in found]
    named: dict[str, set[int]] = defaultdict(set)
    for state in states:
        for facet in _NAMED:
            named[facet] |= _numbers(state, facet)
    missing = _missing(named, viewer)
    kept = []
    for search, state in zip(found, states, strict=True):
        gone = [str(FACETS[f].label).lower() for f in _NAMED if _numbers(state, f) & missing[f]]
        count = store().query(state.search(), (), limit=0).total
        kept.append(Kept(search, count, ", ".join(gone)))
    return kept


def own_searches(viewer: Member) -> QuerySet[SavedSearch]:
    return access.owned(SavedSearch.objects.all(), viewer)


def name_taken(viewer: Member, name: str, but: int | None = None) -> bool:
    same = own_searches(viewer).filter(name__iexact=name)
    return (same if but is None else same.exclude(pk=but)).exists()


def _numbers(browse: Browse, facet: str) -> set[int]:
    numbers = map(whole_number, browse.asked.getlist(facet))
    return {number for number in numbers if number is not None}


def _missing(named: dict[str, set[int]], viewer: Member) -> dict[str, set[Any]]:
    """Of the ids named by facet those of which the record is gone; a query for each facet named."""
    missing: dict[str, set[Any]] = {facet: set() for facet in _NAMED}
    for facet, ids in named.items():
        if ids:
            rows = access.named_records(_NAMED[facet], viewer).filter(pk__in=ids)
            missing[facet] = ids - set(rows.values_list("pk", flat=True))
    return missing
