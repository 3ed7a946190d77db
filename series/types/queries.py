"""Types as pages, sheets and commands read them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.conf import settings
from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.auth.models import AnonymousUser
from django.db.models import Prefetch, QuerySet
from django.utils.module_loading import import_string

from series.differences.changes import changes
from series.differences.facts import Change
from series.faces.models import Face, FaceMotif, FacePerson, Mark
from series.issuers.models import Denomination
from series.models import Source
from series.telling import changed as told
from series.types.models import CoinType, Issue, Series, SeriesDenomination
from series.types.recorded import type_facts


def standing_types() -> QuerySet[CoinType]:
    """Types that stand in the catalogue: accepted or provisional, and still in their pack."""
    return CoinType.objects.filter(
        standing__in=CoinType.IN_CATALOGUE,
        withdrawn=False,
        series__deleted_at__isnull=True,
    ).select_related("series__issuer", "series__currency", "denomination")


def compositions_in_records() -> list[str]:
    """Each composition of the types that stand, once, in order. One query."""
    types = standing_types().exclude(composition="").order_by("composition")
    return list(types.values_list("composition", flat=True).distinct())


def visible_types(viewer: AbstractBaseUser | AnonymousUser) -> QuerySet[CoinType]:
    """Types whose own page the viewer may open; the rule is named in ``settings``."""
    found: QuerySet[CoinType] = import_string(settings.TYPES_VISIBLE_TO)(viewer)
    return found


_KEPT_APART = ("loaded", "citations", "created_at", "changed_at")  # shown on no plate and in no row
_UNSHOWN = [
    f"{of}{name}"
    for of in ("", "series__", "series__issuer__", "denomination__")
    for name in _KEPT_APART
]


def shown_types() -> QuerySet[CoinType]:
    """Types with what a plate, a row or a caption shows, and their faces, in no order.

    Those in the bin too, since pieces keep them. Two queries; a type that many pieces share
    (fetch it by ``prefetch_related``) is read once.
    """
    unshown = [f"denomination__currency__{name}" for name in _KEPT_APART]
    return (
        CoinType.everything.order_by()
        .select_related("series__issuer", "denomination__currency")
        .defer("search_text", *_UNSHOWN, *unshown)
        .prefetch_related(Prefetch("faces", Face.objects.order_by("side").defer(*_KEPT_APART[2:])))
    )


def with_pictures(types: QuerySet[CoinType]) -> QuerySet[CoinType]:
    """With their faces, so that struck pictures are shown. One query."""
    return types.prefetch_related("faces")


def issues_in_order() -> QuerySet[Issue]:
    """Issues that are still in their pack, by date."""
    return Issue.objects.filter(withdrawn=False).order_by("struck_from", "position", "pk")


def withdrawn_issues(coin_type: CoinType) -> QuerySet[Issue]:
    """Issues that a later load of the pack no longer had; holdings keep them."""
    return Issue.objects.filter(coin_type=coin_type, withdrawn=True).order_by("struck_from", "pk")


def with_dates(
    types: QuerySet[CoinType], issues: QuerySet[Issue] | None = None
) -> QuerySet[CoinType]:
    """With their issues by date. One query, and those that ``issues`` asks for."""
    return types.prefetch_related(
        Prefetch("issues", queryset=issues_in_order() if issues is None else issues)
    )


def with_design(
    types: QuerySet[CoinType], issues: QuerySet[Issue] | None = None
) -> QuerySet[CoinType]:
    """With all that is recorded of faces and marks, and their issues. Six queries."""
    shown = FaceMotif.objects.select_related("motif").order_by("pk")
    credits = FacePerson.objects.select_related("person").order_by("role", "pk")
    faces = Face.objects.prefetch_related(
        "legends", Prefetch("shown", queryset=shown), Prefetch("credits", queryset=credits)
    )
    marks = Mark.objects.select_related("mint", "person")
    return with_dates(types, issues).prefetch_related(
        Prefetch("faces", queryset=faces), Prefetch("marks", queryset=marks)
    )


# ---- one denomination through its series ----
def in_order(types: Iterable[CoinType]) -> list[CoinType]:
    """Types from the earliest to the latest; those without a year by their series."""

    def place(coin_type: CoinType) -> tuple[int, int, str]:
        series_year = coin_type.series.first_year or 9999
        return (coin_type.first_year or series_year, series_year, coin_type.key)

    return sorted(types, key=place)


def previous_type(coin_type: CoinType, ordered: list[CoinType]) -> CoinType | None:
    """What a type is compared with: the circulating type before it that was struck last.

    ``ordered`` holds the types of its denomination and country (``in_order``).
    """
    start = coin_type.first_year or coin_type.series.first_year or 9999
    before: list[tuple[int, int, CoinType]] = []
    for place, other in enumerate(ordered):
        if other.pk == coin_type.pk:
            break
        if other.purpose == CoinType.Purpose.CIRCULATING:
            last = other.last_year or other.first_year or other.series.last_year or 0
            before.append((min(last, start), place, other))
    return max(before)[2] if before else None


@dataclass(frozen=True)
class Link:
    """A type in the order of its denomination and country, by id, and what it follows."""

    pk: int
    since: int | None


def chain(types: QuerySet[CoinType]) -> list[Link]:
    """Types of one denomination by country and year, each with what it is compared with."""
    placed_by = ("key", "purpose", "first_year", "last_year")
    of_series = ("series__first_year", "series__last_year", "series__issuer__name")
    narrow = types.order_by().select_related(None).select_related("series__issuer")
    found = in_order(narrow.only(*placed_by, *of_series))
    found.sort(key=lambda t: (t.series.issuer.name, t.series.issuer_id))
    links = []
    for _issuer, some in groupby(found, key=lambda t: t.series.issuer_id):
        ordered = list(some)
        for coin_type in ordered:
            since = previous_type(coin_type, ordered)
            links.append(Link(coin_type.pk, since.pk if since else None))
    return links


@dataclass(frozen=True)
class Step:
    """A type, the one it is compared with, and what changed.

    ``older`` are the coins of an older money that a first coin is compared with.
    """

    coin_type: CoinType
    since: CoinType | None
    changes: tuple[Change, ...]
    older: tuple[OldMoney, ...] = ()

    @property
    def first(self) -> str:
        """The two or three changes that a person names first, as a sentence; "" for none."""
        return told.first(told.heard(self.changes))

    @property
    def more(self) -> list[tuple[str, tuple[str, ...]]]:
        """All others, each under the heading of its like."""
        return told.more(told.heard(self.changes))

    @property
    def drawn(self) -> list[CoinType]:
        """This coin, and all that it is compared with."""
        compared = [self.since, *(each.step.since for each in self.older)]
        return [self.coin_type, *(t for t in compared if t is not None)]


@dataclass(frozen=True)
class OldMoney:
    """A step from a coin of an older money, and what that is to the new one, in words."""

    step: Step
    words: str


def steps(links: list[Link]) -> list[Step]:
    """The types of these links with what changed, in the same order. Seven queries."""
    wanted = {pk for link in links for pk in (link.pk, link.since) if pk is not None}
    types = {t.pk: t for t in with_design(standing_types()).filter(pk__in=wanted)}
    return [step(types[link.pk], types[link.since] if link.since else None) for link in links]


def step(coin_type: CoinType, since: CoinType | None) -> Step:
    """What changed from ``since`` to a type; both ``with_design``."""
    found = changes(type_facts(since), type_facts(coin_type)) if since else ()
    return Step(coin_type, since, found)


@dataclass(frozen=True)
class Around:
    """Where the page of a type leads: what it followed, what followed, its series."""

    step: Step
    earlier: CoinType | None
    later: CoinType | None
    same_series: list[CoinType]


def around(coin_type: CoinType) -> Around:
    """What stands around a type (``with_design``). A constant number of queries."""
    same = standing_types().filter(
        denomination=coin_type.denomination_id, series__issuer=coin_type.series.issuer_id
    )
    same = same.order_by().defer("search_text", "note", *_UNSHOWN)
    ordered = in_order({t.pk: t for t in [*same, coin_type]}.values())
    place = [t.pk for t in ordered].index(coin_type.pk)
    since = previous_type(coin_type, ordered)
    if since is not None:
        since = with_design(standing_types()).get(pk=since.pk)
    return Around(
        step(coin_type, since),
        ordered[place - 1] if place else None,
        ordered[place + 1] if place + 1 < len(ordered) else None,
        list(_of_series(coin_type.series_id)),
    )


# ---- a series as a plate ----
@dataclass
class PlateRow:
    """One denomination of a series: its types, or what is known of there being none."""

    denomination: Denomination
    types: list[CoinType]
    rung: SeriesDenomination | None


def plate(series: Series) -> list[PlateRow]:
    """The types of a series by denomination, smallest first. Four queries."""
    rungs = {r.denomination_id: r for r in series.rungs.select_related("denomination")}
    rows = {r.denomination_id: PlateRow(r.denomination, [], r) for r in rungs.values()}
    for coin_type in _of_series(series.pk):
        row = rows.setdefault(coin_type.denomination_id, PlateRow(coin_type.denomination, [], None))
        row.types.append(coin_type)
    return sorted(rows.values(), key=lambda row: (row.denomination.sort_value, row.denomination.pk))


def _of_series(series_id: int) -> QuerySet[CoinType]:
    types = standing_types().filter(series=series_id)
    return with_pictures(with_dates(types)).order_by(
        "denomination__sort_value", "first_year", "key"
    )


# ---- citations ----
@dataclass(frozen=True)
class Cited:
    """A source and the place in it that a record names."""

    source: Source | None
    name: str
    where: str


def cited(*citations: list[dict[str, str]]) -> list[Cited]:
    """The sources that records cite, each place once, in the order given. One query."""
    asked = {
        (item.get("source", ""), item.get("where", "")): None for some in citations for item in some
    }
    if not asked:
        return []
    sources = {s.key: s for s in Source.objects.filter(key__in={key for key, _ in asked})}
    return [
        Cited(sources.get(key), sources[key].title if key in sources else key, where)
        for key, where in asked
    ]
