"""What can be asked of the holdings, as a filter set: read from an address, checked, put in SQL.

The same choices are answered in two ways that a test holds against each other: ``Browse`` counts
and pages over the columns in memory (catalogue.holdings.search.index); bulk edits, exports and
sheets take the query set made here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from typing import Any

import django_filters
from django import forms
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.grades import BANDS
from catalogue.holdings.search.index import FACETS
from catalogue.members.requests import Viewer
from catalogue.models import Holding, HoldingProblem, Photo, Place
from series.models import FaceMotif, Mark, Motif
from series.text.folding import fold
from series.text.stored_numbers import whole_number

NONE = "none"
ANY = "any"
WORDS_MOST = 8
ACCESSION_LENGTH = 60
_LAST_YEAR = 10_000
_NUMBERED = frozenset(
    {
        "country",
        "currency",
        "series",
        "denomination",
        "decade",
        "mint",
        "motif",
        "place",
        "owner",
    }
)
Chosen = frozenset[int | str | None]


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

    def __init__(self, name: str) -> None:
        super().__init__(required=False, numbered=name in _NUMBERED)
        self.facet = name

    def filter(self, qs: QuerySet[Holding], value: Chosen | None) -> QuerySet[Holding]:
        if not value:
            return qs
        return qs.filter(_CONDITIONS[self.facet](value, self.parent.viewer))


class _Word(django_filters.CharFilter):
    def filter(self, qs: QuerySet[Holding], value: str) -> QuerySet[Holding]:
        numbered = self.parent.numbered()
        if numbered:
            return qs.filter(pk__in=numbered)
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
    def _numbered(self) -> frozenset[int]:
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

    def numbered(self) -> frozenset[int]:
        """Pieces whose whole number is searched for; with a sign in it, whose number begins so.

        Where there are any, nothing else is meant.
        """
        return self._numbered

    def chosen(self) -> dict[str, Chosen]:
        """The choices by facet; facets in which nothing is chosen are left out."""
        cleaned = self.form.cleaned_data if self.form.is_valid() else {}
        return {name: cleaned[name] for name in FACETS if cleaned.get(name)}


for _facet in FACETS:
    HoldingFilter.base_filters[_facet] = FacetFilter(_facet)


def words_of(text: str) -> list[str]:
    """The folded words of a search, the first few of them."""
    return fold(text or "").split()[:WORDS_MOST]


# ---- one condition a facet ----
Condition = Callable[[Chosen, Any], Q]


def _is(lookup: str) -> Condition:
    def condition(chosen: Chosen, viewer: Viewer) -> Q:
        found = Q(**{f"{lookup}__in": [value for value in chosen if value is not None]})
        return found | Q(**{f"{lookup}__isnull": True}) if None in chosen else found

    return condition


def _metal(chosen: Chosen, viewer: Viewer) -> Q:
    found = Q(coin_type__metal__in=[value for value in chosen if value])
    if None in chosen:
        found |= Q(coin_type__isnull=True) | Q(coin_type__metal="")
    return found


def _decade(chosen: Chosen, viewer: Viewer) -> Q:
    """By all their years, since a condition for each of many would be nested too deep."""
    first = [int(decade) for decade in chosen if decade is not None]
    years = {year for one in first if abs(one) < _LAST_YEAR for year in range(one, one + 10)}
    found = Q(issue__struck_from__in=years)
    if None in chosen:
        found |= Q(issue__isnull=True) | Q(issue__struck_from__isnull=True)
    return found


def _grade(chosen: Chosen, viewer: Viewer) -> Q:
    found = Q(pk__in=[])
    for band in BANDS:
        if band.key in chosen:
            found |= Q(grade_rank__gte=band.low, grade_rank__lte=band.high)
    return found | Q(grade_rank__isnull=True) if None in chosen else found


def _one_of(related: QuerySet[Any], holder: str, key: str, lookup: str) -> Condition:
    """Holdings that have one of several.

    ``related`` are the rows that give a holding its values, ``holder`` their way to what the
    holding's ``key`` names. They are named without a reference to the holding, so that the
    database reads them once and not for each holding anew.
    """

    def condition(chosen: Chosen, viewer: Viewer) -> Q:
        values = list(_widened(lookup, [value for value in chosen if value is not None]))
        having = related.filter(**{f"{lookup}__in": values})
        found = Q(**{f"{key}__in": having.values(holder)})
        if None not in chosen:
            return found
        return found | ~Q(**{f"{key}__in": related.values(holder)})

    return condition


def _widened(lookup: str, values: Iterable[Any]) -> Iterator[Any]:
    """The values themselves; for motifs also all narrower ones."""
    if lookup != "motif":
        yield from values
        return
    below: dict[int, list[int]] = {}
    for narrow, broad in Motif.broader.through.objects.values_list("from_motif", "to_motif"):
        below.setdefault(broad, []).append(narrow)
    yield from _all_below(values, below)


def _all_below(values: Iterable[int], below: dict[int, list[int]]) -> set[int]:
    found: set[int] = set()
    ahead = list(values)
    while ahead:
        one = ahead.pop()
        if one not in found:
            found.add(one)
            ahead += below.get(one, ())
    return found


def _place(chosen: Chosen, viewer: Viewer) -> Q:
    """In one of the places or in what stands in it; only among the viewer's own pieces."""
    below: dict[int, list[int]] = {}
    own = access.owned(Place.objects.filter(within__isnull=False), viewer)
    for inner, outer in own.values_list("pk", "within"):
        below.setdefault(outer, []).append(inner)
    places = _all_below((int(value) for value in chosen if value is not None), below)
    found = Q(place__in=places)
    if None in chosen:
        found |= Q(place__isnull=True)
    return found & Q(owner=viewer.pk)


def _spare(chosen: Chosen, viewer: Viewer) -> Q:
    return Q(spare__in=[value == "yes" for value in chosen])


def _photo(chosen: Chosen, viewer: Viewer) -> Q:
    pictured = Q(Exists(Photo.objects.filter(holding=OuterRef("pk"))))
    found = Q(pk__in=[])
    if "yes" in chosen:
        found |= pictured
    return found | ~pictured if "no" in chosen else found


_CONDITIONS: dict[str, Condition] = {
    "country": _is("coin_type__series__issuer"),
    "currency": _is("coin_type__denomination__currency"),
    "series": _is("coin_type__series"),
    "denomination": _is("coin_type__denomination"),
    "metal": _metal,
    "decade": _decade,
    "mint": _one_of(
        Mark.issues.through.objects.filter(mark__kind=Mark.Kind.MINT, mark__mint__isnull=False),
        "issue",
        "issue",
        "mark__mint",
    ),
    "grade": _grade,
    "problem": _one_of(HoldingProblem.objects.all(), "holding", "pk", "kind"),
    "motif": _one_of(FaceMotif.objects.all(), "face__coin_type", "coin_type", "motif"),
    "place": _place,
    "owner": _is("owner"),
    "status": _is("status"),
    "spare": _spare,
    "photo": _photo,
}
