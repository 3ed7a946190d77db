"""Django's own admin list over the holdings: the peer that browsing is measured against.

Two sites. ``/plain/`` is the admin as it comes: its ready-made filters, each with all values of
its facet, counted. ``/kind/`` makes it as easy for the admin as it can be made: eight values a
facet, as our page shows them, without their labels, counted by our own conditions in one query
a facet, and no count of the whole table. Both show who sees what, the columns, the search, the
facets and the page of 60 that our list has. All may look; nobody may change anything.
"""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.contrib.admin.filters import (
    AllValuesFieldListFilter,
    ChoicesFieldListFilter,
    RelatedFieldListFilter,
    SimpleListFilter,
)
from django.db.models import Count, Q, QuerySet
from django.urls import include, path
from django.utils.html import format_html

from catalogue import access
from catalogue.holdings.browse.results import PER_PAGE, SHOWN_VALUES
from catalogue.holdings.facets import FACETS
from catalogue.holdings.grades import BANDS
from catalogue.holdings.search.index import store
from catalogue.models import Holding

SORT_COLUMNS = {"accession": 0, "face": 1, "country": 2, "grade": 3}


def condition(facet: str, value: str, viewer: Any) -> Q:
    chosen = int(value) if FACETS[facet].numbered else value
    return FACETS[facet].condition(frozenset({chosen}), viewer)


class ByCondition(SimpleListFilter):
    """A facet counted by our own condition for each of its values, in one query."""

    facet = ""

    def lookups(self, request: Any, model_admin: Any) -> list[tuple[str, str]]:
        chosen = self.used_parameters.get(self.facet)
        values = [*self.values(request), *([chosen] if chosen else [])]
        return [(value, value) for value in dict.fromkeys(values)]

    def values(self, request: Any) -> list[str]:
        return KIND_VALUES[self.facet]

    def queryset(self, request: Any, queryset: QuerySet[Holding]) -> QuerySet[Holding] | None:
        self.viewer = request.user
        if self.value() is None:
            return None
        return queryset.filter(condition(self.facet, self.value(), request.user))

    def get_facet_queryset(self, changelist: Any) -> dict[str, Any]:
        """Where another filter makes the list distinct, a condition that asks other tables cannot
        be counted over it: the holding it speaks of is out of reach. So over the pieces of it."""
        listed = changelist.get_queryset(
            self.request, exclude_parameters=self.expected_parameters()
        )
        if listed.query.distinct:
            listed = Holding.objects.filter(pk__in=listed.order_by().values("pk"))
        return listed.aggregate(**self.get_facet_counts(changelist.pk_attname, listed))

    def get_facet_counts(self, pk_attname: str, filtered_qs: Any) -> dict[str, Any]:
        return {
            f"{at}__c": Count(pk_attname, filter=condition(self.facet, value, self.viewer))
            for at, (value, _label) in enumerate(self.lookup_choices)
        }


KIND_VALUES: dict[str, list[str]] = {}


def find_kind_values(search: Any) -> None:
    """The commonest values of each facet, once for all questions."""
    for facet, counts in store().query(search).counts.items():
        ranked = sorted((v for v in counts if v is not None), key=lambda v: -counts[v])
        KIND_VALUES[facet] = [str(value) for value in ranked[:SHOWN_VALUES]]


def by_condition(facet: str, **members: Any) -> Any:
    names = {"title": facet, "parameter_name": facet, "facet": facet, **members}
    return type(f"{facet.title()}Filter", (ByCondition,), names)


class OwnPlaces(RelatedFieldListFilter):
    def field_choices(self, field: Any, request: Any, model_admin: Any) -> Any:
        return field.get_choices(include_blank=False, limit_choices_to={"owner": request.user.pk})


def decades(self: Any, request: Any) -> list[str]:
    return [str(decade) for decade in range(1850, 2040, 10)]


def bands(self: Any, request: Any) -> list[str]:
    return [band.key for band in BANDS]


def yes_and_no(self: Any, request: Any) -> list[str]:
    return ["yes", "no"]


class HoldingList(admin.ModelAdmin):
    list_display = ("accession", "piece", "of", "grade_shown", "place", "owner", "quantity")
    list_select_related = (
        "owner",
        "issue",
        "place",
        "coin_type__denomination__currency",
        "coin_type__series__issuer",
    )
    list_per_page = PER_PAGE
    search_fields = ("search_text", "coin_type__search_text")
    show_facets = admin.ShowFacets.ALWAYS
    ordering = ("coin_type__denomination__sort_value", "pk")

    def get_queryset(self, request: Any) -> QuerySet[Holding]:
        return access.visible_holdings(request.user)

    def get_search_results(
        self, request: Any, queryset: QuerySet[Holding], search_term: str
    ) -> tuple[QuerySet[Holding], bool]:
        """As ``search_fields`` would, and for the viewer's own pieces in what they alone see."""
        for word in search_term.split():
            found = Q(own_text__contains=word, owner=request.user)
            for name in self.search_fields:
                found |= Q(**{f"{name}__contains": word})
            queryset = queryset.filter(found)
        return queryset, False

    @admin.display(ordering="coin_type__denomination__sort_value")
    def piece(self, holding: Holding) -> str:
        return format_html("{}{}", holding.label, " (spare)" if holding.spare else "")

    @admin.display(ordering="coin_type__series__issuer__name")
    def of(self, holding: Holding) -> str:
        coin_type = holding.coin_type
        return f"{coin_type.series.issuer.name}, {coin_type.series.name}" if coin_type else ""

    @admin.display(ordering="grade_rank")
    def grade_shown(self, holding: Holding) -> str:
        return holding.grade

    def lookup_allowed(self, *args: Any, **kwargs: Any) -> bool:
        return True

    def has_view_permission(self, request: Any, obj: Any = None) -> bool:
        return True

    def has_module_permission(self, request: Any) -> bool:
        return True

    def has_add_permission(self, request: Any) -> bool:
        return False

    has_change_permission = has_delete_permission = (  # type: ignore[assignment]
        lambda self, request, obj=None: False
    )


class Plain(HoldingList):
    list_filter = (
        ("coin_type__series__issuer", RelatedFieldListFilter),
        ("coin_type__denomination__currency", RelatedFieldListFilter),
        ("coin_type__series", RelatedFieldListFilter),
        ("coin_type__denomination", RelatedFieldListFilter),
        ("coin_type__metal", AllValuesFieldListFilter),
        by_condition("decade", values=decades),
        ("issue__marks__mint", RelatedFieldListFilter),
        by_condition("grade", values=bands),
        ("problems__kind", ChoicesFieldListFilter),
        ("coin_type__faces__motifs", RelatedFieldListFilter),
        ("place", OwnPlaces),
        ("owner", RelatedFieldListFilter),
        "status",
        "spare",
        by_condition("photo", values=yes_and_no),
    )


class Kind(HoldingList):
    list_filter = tuple(by_condition(facet) for facet in FACETS)
    show_full_result_count = False


PLAIN_PARAMETERS = {
    "country": "coin_type__series__issuer__id__exact",
    "currency": "coin_type__denomination__currency__id__exact",
    "series": "coin_type__series__id__exact",
    "denomination": "coin_type__denomination__id__exact",
    "metal": "coin_type__metal",
    "mint": "issue__marks__mint__id__exact",
    "problem": "problems__kind__exact",
    "motif": "coin_type__faces__motifs__id__exact",
    "place": "place__id__exact",
    "owner": "owner__id__exact",
    "status": "status__exact",
}


class Site(admin.AdminSite):
    def has_permission(self, request: Any) -> bool:
        return True


plain, kind = Site(name="plain"), Site(name="kind")
plain.register(Holding, Plain)
kind.register(Holding, Kind)

urlpatterns = [
    path("plain/", plain.urls),
    path("kind/", kind.urls),
    path("", include("catalogue.urls")),
]
