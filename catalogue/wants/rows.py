"""An aim as rows of boxes: a type with its dates, a series with its types, a currency's values.

Each box is held, below the wanted grade, missing or not struck, and names the spares of other
members that would fill it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Count, QuerySet
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.models import Aim, Holding
from catalogue.wants.gaps import (
    GAP,
    HELD,
    UPGRADE,
    Completion,
    in_order,
    items,
    lacking,
    scope_issues,
)
from catalogue.wants.units import BY_DATE, Way, way_of
from series.models import CoinType, Currency, Issue, Series

NOT_STRUCK = "not_struck"
NEAREST, NEAREST_DATES = 3, 4


@dataclass(frozen=True)
class Box:
    """One item of an aim: its label, how it stands, the best piece held, spares of others."""

    label: str
    state: str
    best: Holding | None = None
    spares: tuple[Holding, ...] = ()
    item: Any = None

    @property
    def in_words(self) -> str:
        return {
            HELD: _("held"),
            UPGRADE: _("below the grade you want"),
            GAP: _("missing"),
            NOT_STRUCK: _("not struck"),
        }[self.state]


@dataclass
class BoxRow:
    """A type, a series or a currency, and its boxes in order."""

    record: Any
    boxes: list[Box] = field(default_factory=list)

    def count(self, state: str) -> int:
        return sum(box.state == state for box in self.boxes)

    @property
    def held(self) -> int:
        return self.count(HELD)

    @property
    def wanted(self) -> int:
        return sum(box.state != NOT_STRUCK for box in self.boxes)


@dataclass(frozen=True)
class Nearest:
    """A row that lacks little, and what it lacks; ``more``: how many are not named."""

    record: Any
    labels: list[str]
    more: int


@dataclass(frozen=True)
class Overview:
    """How many items of each state each row of an aim has, the rows (their ids) in order."""

    counts: dict[int, Counter[str]]

    @property
    def completion(self) -> Completion:
        all_rows = sum(self.counts.values(), Counter[str]())
        return Completion(all_rows.total(), all_rows[HELD], all_rows[UPGRADE])

    def rows(self, state: str = "") -> list[int]:
        """The rows of the aim; with ``state`` those that have such items."""
        return [pk for pk, count in self.counts.items() if not state or count[state]]


def overview(aim: Aim) -> Overview:
    """The rows of an aim and how they stand; one query, whatever the size of the aim."""
    way = way_of(aim)
    counted = (
        items(aim)
        .order_by(*(f"{way.row_field}__{field}" for field in way.order))
        .values_list(way.row_field, "state")
        .annotate(n=Count("pk"))
    )
    counts: dict[int, Counter[str]] = {}
    for row, state, n in counted:
        counts.setdefault(row, Counter())[state] += n
    return Overview(counts)


def row_records(aim: Aim, rows: Iterable[int]) -> list[Any]:
    """What these rows of the aim stand for, in the order of the rows."""
    way = way_of(aim)
    records = way.row._default_manager.filter(pk__in=list(rows))
    if way.row is CoinType:
        records = records.select_related("denomination__currency", "series__issuer")
    elif way.row is Series:
        records = records.select_related("issuer")
    return list(records.order_by(*way.order))


def rows_of_aim(aim: Aim, records: Iterable[Any], state: str = "") -> list[BoxRow]:
    """The rows of these records; with ``state`` only the boxes that stand so."""
    way = way_of(aim)
    rows = {record.pk: BoxRow(record) for record in records}
    found = _light(in_order(items(aim, _issues(aim, way, rows))))
    if state:
        found = found.filter(state=state)
    held, spares = _best_pieces(aim, way, rows), _spares(aim, way, rows)
    for item in found:
        key = way.key(item)
        helpful = spares.get(key, ()) if item.state != HELD else ()
        box = Box(way.label(item), item.state, held.get(key), tuple(helpful), item)
        rows[getattr(item, f"{way.row_field}_id")].boxes.append(box)
    if not state and aim.unit in BY_DATE:
        _with_not_struck(aim, rows)
    return list(rows.values())


def _light(found: QuerySet[Any]) -> QuerySet[Any]:
    """Of dates, which may be thousands, only what a box shows; their type is known from the row."""
    if found.model is not Issue:
        return found
    shown = ("coin_type_id", "shown", "mark_text", "struck_from", "position")
    return found.select_related(None).only(*shown)


def _issues(aim: Aim, way: Way, rows: Iterable[int]) -> QuerySet[Issue]:
    """The issues of the aim that belong to the rows."""
    return scope_issues(aim).filter(**{f"{way.row_of_piece}__in": list(rows)})


def _pieces(way: Way, rows: dict[int, BoxRow], pieces: QuerySet[Holding]) -> QuerySet[Holding]:
    """Those of the pieces that belong to the rows."""
    return pieces.filter(**{f"{way.row_of_piece}__in": list(rows)})


def _counting(aim: Aim, pieces: QuerySet[Holding]) -> QuerySet[Holding]:
    """Those of the pieces that are of an item of the aim, whatever their grade."""
    if aim.unit in BY_DATE:
        pieces = pieces.filter(issue__purpose__in=aim.purposes)
    return pieces.filter(coin_type__in=scope_issues(aim).order_by().values("coin_type"))


def _best_pieces(aim: Aim, way: Way, rows: dict[int, BoxRow]) -> dict[Any, Holding]:
    """The best piece held of each item."""
    held = Holding.objects.filter(owner=aim.owner_id, status__in=Holding.IN_HAND)
    own = _counting(aim, held)
    best: dict[Any, Holding] = {}
    shown = ("grade", "grade_rank", "coin_type__denomination", "issue__shown")
    for piece in _pieces(way, rows, own).select_related("coin_type", "issue").only(*shown):
        key = way.piece_key(piece)
        if key not in best or (piece.grade_rank or -1) > (best[key].grade_rank or -1):
            best[key] = piece
    return best


def _spares(aim: Aim, way: Way, rows: dict[int, BoxRow]) -> dict[Any, list[Holding]]:
    """Free spares of others, as the aim's owner may see them, that are good enough for an item."""
    free = _counting(aim, access.spares_to_ask_for(aim.owner))
    if aim.lowest_rank is not None:
        free = free.filter(grade_rank__gte=aim.lowest_rank)
    found: dict[Any, list[Holding]] = defaultdict(list)
    related = ("owner", "issue", "coin_type__denomination")
    for piece in _pieces(way, rows, free).select_related(*related).order_by("-grade_rank", "pk"):
        found[way.piece_key(piece)].append(piece)
    return found


def _with_not_struck(aim: Aim, rows: dict[int, BoxRow]) -> None:
    """Put the years in which a type was not struck among its boxes."""
    years = {"struck_from__gte": aim.first_year, "struck_to__lte": aim.last_year}
    idle = Issue.objects.filter(
        coin_type__in=list(rows),
        fact=Issue.Fact.NOT_STRUCK,
        withdrawn=False,
        **{name: year for name, year in years.items() if year is not None},
    )
    for issue in idle:
        row = rows[issue.coin_type_id]
        if all(box.label != issue.label for box in row.boxes):
            row.boxes.append(Box(issue.label, NOT_STRUCK, item=issue))
    for row in rows.values():
        row.boxes.sort(key=lambda box: (box.item.struck_from or 9999, box.item.position))


def nearest(aim: Aim, stand: Overview) -> list[Nearest]:
    """The begun rows that lack least, nearest to whole first, with what each lacks."""
    way = way_of(aim)
    gaps = {pk: n[GAP] for pk, n in stand.counts.items() if 0 < n[GAP] < n.total()}
    if way.row is Currency or not gaps:
        return []
    most = sorted(gaps.values())[:NEAREST][-1]
    near = way.row._default_manager.filter(pk__in=[pk for pk, n in gaps.items() if n <= most])
    least = sorted(near.values_list("pk", flat=True), key=lambda pk: gaps[pk])[:NEAREST]
    labels: dict[int, list[str]] = defaultdict(list)
    for item in _light(lacking(aim, GAP, _issues(aim, way, least))):
        labels[getattr(item, f"{way.row_field}_id")].append(way.label(item))
    records = {record.pk: record for record in row_records(aim, least)}
    return [
        Nearest(records[pk], labels[pk][:NEAREST_DATES], max(0, gaps[pk] - NEAREST_DATES))
        for pk in least
    ]
