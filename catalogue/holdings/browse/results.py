"""Browsing: from an address to one page of holdings, its facets and their counts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Page, Paginator
from django.db.models import F, Prefetch, QuerySet
from django.http import QueryDict
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.extensions import HoldingExtension, holding_extensions
from catalogue.holdings.browse.filters import ANY, NONE, HoldingFilter, words_of
from catalogue.holdings.browse.slips import Meant, what_was_meant
from catalogue.holdings.facets import FACETS, ORDERS, PRIVATE, Called, Chosen
from catalogue.holdings.search.columns import Result, Search
from catalogue.holdings.search.index import store
from catalogue.members.requests import Viewer
from catalogue.models import Holding
from series.models import Series
from series.text.folding import fold
from series.types.queries import shown_types

PER_PAGE = 60
SHOWN_VALUES = 8
OPEN_FACETS = 4
MOST_VALUES = 200
VIEWS = ("plate", "list", "dates")
_WORDS_TO_FIND_BY = ("search_text", "own_text")  # shown nowhere


@dataclass(frozen=True)
class FacetValue:
    """One value of a facet: its count, and the address with it chosen or let go."""

    label: str
    count: int
    chosen: bool
    address: str


@dataclass(frozen=True)
class FacetList:
    name: str
    label: str
    values: list[FacetValue]
    more_address: str
    cleared_address: str
    chosen: bool
    open: bool


@dataclass(frozen=True)
class SortChoice:
    label: str
    address: str
    chosen: bool
    descending: bool


class Browse:
    """The state of browsing that an address holds, for one viewer.

    Without a word on it, browsing shows what the viewer holds: ``owner`` and ``status`` then
    stand at the viewer and at held or on loan; "any" lifts that.
    """

    def __init__(self, data: QueryDict, viewer: Viewer) -> None:
        self.viewer = viewer
        self.asked = data
        self.data = data.copy()
        for name, values in self._defaults().items():
            if name not in self.data:
                self.data.setlist(name, values)
            elif ANY in self.data.getlist(name):
                self.data.setlist(name, [v for v in self.data.getlist(name) if v != ANY])
        self.filters = HoldingFilter(self.data, viewer)
        self.view = data.get("view", "")
        if self.view not in VIEWS:
            self.view = VIEWS[0]
        sort = data.get("sort", "") or "face"
        self.descending = sort.startswith("-")
        self.sort = sort.removeprefix("-")
        if self.sort not in ORDERS and self.extension is None:
            self.sort, self.descending = "face", False

    def _defaults(self) -> dict[str, list[str]]:
        mine = {"owner": [str(self.viewer.pk)]} if access.is_member(self.viewer) else {}
        return {"status": list(Holding.IN_HAND), **mine}

    @property
    def errors(self) -> list[str]:
        """What the address asks for that cannot be answered, in words."""
        return [str(e) for messages in self.filters.form.errors.values() for e in messages]

    @property
    def chosen(self) -> dict[str, Chosen]:
        return self.filters.chosen()

    @property
    def mine(self) -> bool:
        return self.chosen.get("owner") == frozenset({self.viewer.pk})

    @cached_property
    def series(self) -> Series | None:
        """The series, where exactly one is chosen."""
        chosen = [value for value in self.chosen.get("series", ()) if value is not None]
        if len(chosen) != 1 or len(self.chosen["series"]) != 1:
            return None
        return Series.objects.select_related("issuer", "currency").filter(pk=chosen[0]).first()

    @cached_property
    def extension(self) -> HoldingExtension | None:
        """The extension whose column is sorted by, if it is one's."""
        return next((e for e in holding_extensions() if e.key == self.sort), None)

    def search(self) -> Search:
        member = self.viewer if access.is_member(self.viewer) else None
        return Search(
            visible=access.visible_row(self.viewer),
            viewer=member.pk if member else None,
            choices=self.chosen,
            text="" if self.numbered else " ".join(words_of(self.data.get("q", ""))),
            sort=self.sort if self.extension is None else "id",
            descending=self.descending,
            private_facets=PRIVATE,
            only=self.filters.numbered or None,
        )

    @cached_property
    def numbered(self) -> bool:
        """What is searched for is the whole accession number of a piece, which alone is shown."""
        return bool(self.filters.numbered)

    def words_address(self) -> str:
        """The same search for the words of a number, among all that have them."""
        return self.address(q=fold(self.data.get("q", "")))

    @cached_property
    def meant(self) -> Meant | None:
        """What a search that found nothing may have meant."""
        if self.result.total or not self.data.get("q", "").strip():
            return None
        return what_was_meant(store(), self.search())

    def meant_address(self) -> str:
        return self.address(q=self.meant.words) if self.meant else ""

    @cached_property
    def page_number(self) -> int:
        try:
            return max(1, min(int(self.asked.get("page", 1)), 100_000))
        except ValueError:
            return 1

    @cached_property
    def result(self) -> Result:
        offset = (self.page_number - 1) * PER_PAGE
        return store().query(self.search(), offset=offset, limit=PER_PAGE)

    def queryset(self) -> QuerySet[Holding]:
        """All that is found, as a query set (for bulk edits, exports and sheets)."""
        return self.filters.qs

    @cached_property
    def page(self) -> Page[Any]:
        """Which page of how many; its objects are ids."""
        pages = Paginator(range(self.result.total), PER_PAGE)
        return pages.get_page(self.page_number)

    @cached_property
    def holdings(self) -> list[Holding]:
        """The holdings of the page in order, with what is shown of them."""
        if self.extension is not None:
            ids = self._ids_by_extension(self.extension)
        else:
            ids = self.result.ids
        found = {
            holding.pk: holding
            for holding in access.visible_holdings(self.viewer)
            .filter(pk__in=ids)
            .order_by()
            .defer(*_WORDS_TO_FIND_BY)
            .prefetch_related("owner", "issue", "place", Prefetch("coin_type", shown_types()))
        }
        return [found[pk] for pk in ids if pk in found]

    def _ids_by_extension(self, extension: HoldingExtension) -> list[int]:
        rows = self.queryset()
        if extension.own_only:
            rows = rows.filter(pk__in=access.own_holdings(self.viewer).values("pk"))
        rows = extension.annotate(rows, self.viewer)
        column = _ordering(extension.sort, self.descending)
        start = (self.page_number - 1) * PER_PAGE
        return list(rows.order_by(column, "pk").values_list("pk", flat=True)[start:][:PER_PAGE])

    @property
    def order_words(self) -> str:
        """ "by face value", for the line over what is found."""
        label = self.extension.label if self.extension is not None else ORDERS[self.sort].label
        words = _("by %(what)s, falling") if self.descending else _("by %(what)s")
        return words % {"what": str(label).lower()}

    # ---- addresses ----
    def address(self, **changes: Any) -> str:
        """This state with some parameters changed (None takes one away), on the first page."""
        data = self.asked.copy()
        for name in ("page", "piece"):
            data.pop(name, None)
        for name, value in changes.items():
            if value is None:
                data.pop(name, None)
            elif isinstance(value, (list, tuple)):
                data.setlist(name, [str(v) for v in value])
            else:
                data[name] = str(value)
        pairs = [(k, v) for k in sorted(data) for v in data.getlist(k) if v != ""]
        return "?" + urlencode(pairs)

    def _with(self, facet: str, chosen: Iterable[Any]) -> str:
        values = sorted(NONE if v is None else str(v) for v in chosen)
        if not values and facet in self._defaults():
            values = [ANY]
        return self.address(**{facet: values or None})

    # ---- facets ----
    def facets(self) -> list[FacetList]:
        """Every facet worth showing, its values counted; the first few and the asked ones open."""
        shown: list[FacetList] = []
        expanded = self.asked.get("more", "")
        for name, facet in FACETS.items():
            counts = self.result.counts[name]
            chosen = self.chosen.get(name, frozenset())
            if not chosen and len(counts) < 2:
                continue  # a single value narrows nothing down
            if facet.for_members and not access.is_member(self.viewer):
                continue
            most = MOST_VALUES if expanded == name else SHOWN_VALUES
            ranked = sorted(counts, key=lambda v: (v not in chosen, -counts[v], str(v)))
            kept = ranked[:most]
            called = facet.called(kept, self.viewer)
            values = [
                FacetValue(
                    called[value].label,
                    counts[value],
                    value in chosen,
                    self._with(name, chosen ^ {value}),
                )
                for value in sorted((v for v in kept if v in called), key=_order(called))
            ]
            more = self.address(more=name) if len(ranked) > len(kept) else ""
            cleared = self._with(name, ()) if chosen else ""
            unfolded = len(shown) < OPEN_FACETS or name in self.asked or name == expanded
            label = str(facet.label)
            shown.append(FacetList(name, label, values, more, cleared, bool(chosen), unfolded))
        return shown

    def sorts(self) -> list[SortChoice]:
        own = access.is_member(self.viewer)
        labels = {key: order.label for key, order in ORDERS.items()} | {
            e.key: e.label for e in holding_extensions() if own
        }
        return [
            SortChoice(
                str(label),
                self.address(sort=key if self.sort != key or self.descending else f"-{key}"),
                self.sort == key,
                self.descending and self.sort == key,
            )
            for key, label in labels.items()
        ]


def _ordering(name: str, descending: bool) -> Any:
    column = F(name)
    return column.desc(nulls_last=True) if descending else column.asc(nulls_last=True)


def _order(called: dict[Any, Called]) -> Callable[[Any], Any]:
    """How the shown values of a facet stand: in their own order, then by name; unknown last."""

    def key(value: Any) -> Any:
        return (value is None, called[value].place, called[value].label.casefold())

    return key
