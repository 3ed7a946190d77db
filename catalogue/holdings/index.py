"""The holdings of the whole site in columns: loaded from the database, kept up to date.

``store()`` is what browsing asks; it costs one query when nothing has changed. The columns are
made by ``rows_of``, the one function that turns records into rows, so a row can always be
compared with its record (``differing_rows``).
"""

from __future__ import annotations

import threading
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from django.db.models import QuerySet

from catalogue.holdings.changes import changes_since, current_number
from catalogue.holdings.columns import ColumnStore, Row
from catalogue.holdings.grades import band
from catalogue.models import Change, Holding, HoldingProblem, Photo, Place
from series.models import CoinType, FaceMotif, Mark, Motif

FACETS = (
    "country",
    "currency",
    "series",
    "denomination",
    "metal",
    "decade",
    "mint",
    "grade",
    "problem",
    "motif",
    "place",
    "owner",
    "status",
    "spare",
    "photo",
)
PRIVATE_FACETS = frozenset({"place"})
SORTS = ("accession", "country", "face", "year", "grade", "diameter", "mass", "added")
_BATCH = 800  # ids in one query; SQLite takes 32,766 parameters at most

_lock = threading.Lock()
_store: ColumnStore | None = None
_number = -1


def store() -> ColumnStore:
    """The columns as of the last committed change."""
    global _store, _number
    number = current_number()
    if _store is not None and number == _number:
        return _store
    with _lock:
        if _store is not None and number == _number:
            return _store
        changed = changes_since(_number) if _store is not None and number > _number else None
        if _store is None or changed is None or any(kind == Change.Kind.ALL for kind, _ in changed):
            _store = _all_columns()
        else:
            _bring_up_to_date(_store, changed)
        _number = number
        return _store


def forget() -> None:
    """Drop the columns, so that the next reader makes them anew."""
    global _store, _number
    with _lock:
        _store, _number = None, -1


def _all_columns() -> ColumnStore:
    texts = dict(CoinType.objects.filter(holdings__isnull=False).values_list("pk", "search_text"))
    return ColumnStore(FACETS, SORTS, rows_of(Holding.objects.all()), texts)


def _bring_up_to_date(columns: ColumnStore, changed: list[tuple[str, int]]) -> None:
    types = {ref for kind, ref in changed if kind == Change.Kind.TYPE}
    ids = {ref for kind, ref in changed if kind == Change.Kind.HOLDING}
    for some in _batches(types):
        ids |= set(Holding.objects.filter(coin_type__in=some).values_list("pk", flat=True))
    rows: list[Row] = []
    texts: dict[int, str] = {}
    for some in _batches(ids):
        rows += rows_of(Holding.objects.filter(pk__in=some))
        texts |= dict(CoinType.objects.filter(holdings__in=some).values_list("pk", "search_text"))
    for some in _batches(types):
        texts |= dict(CoinType.objects.filter(pk__in=some).values_list("pk", "search_text"))
    columns.replace(rows, texts, removed=ids - {row.id for row in rows})


def _batches(ids: Iterable[int]) -> Iterator[list[int]]:
    ordered = sorted(ids)
    for start in range(0, len(ordered), _BATCH):
        yield ordered[start : start + _BATCH]


def rows_of(holdings: QuerySet[Holding]) -> list[Row]:
    """The rows of these holdings; a constant number of queries."""
    records: Any = list(
        holdings.order_by().values(
            "pk",
            "owner_id",
            "visibility",
            "coin_type_id",
            "issue_id",
            "quantity",
            "place_id",
            "status",
            "spare",
            "grade_rank",
            "accession",
            "created_at",
            "search_text",
            "coin_type__metal",
            "coin_type__diameter_mm",
            "coin_type__mass_g",
            "coin_type__series_id",
            "coin_type__series__issuer_id",
            "coin_type__series__issuer__name",
            "coin_type__denomination_id",
            "coin_type__denomination__sort_value",
            "coin_type__denomination__currency_id",
            "issue__struck_from",
        )
    )
    wanted = holdings.order_by().values("pk")
    problems = _gathered(
        HoldingProblem.objects.filter(holding__in=wanted).values_list("holding_id", "kind")
    )
    pictured = set(Photo.objects.filter(holding__in=wanted).values_list("holding_id", flat=True))
    mints = _gathered(
        Mark.issues.through.objects.filter(
            mark__kind=Mark.Kind.MINT, mark__mint__isnull=False, issue__holdings__in=wanted
        )
        .values_list("issue_id", "mark__mint_id")
        .distinct()
    )
    shown = _gathered(
        FaceMotif.objects.filter(face__coin_type__holdings__in=wanted)
        .values_list("face__coin_type_id", "motif_id")
        .distinct()
    )
    broader = _above(Motif.broader.through.objects.values_list("from_motif_id", "to_motif_id"))
    motifs = {
        type_id: tuple(sorted({m for motif in found for m in (motif, *broader[motif])}))
        for type_id, found in shown.items()
    }
    outer = _above(Place.objects.filter(within__isnull=False).values_list("pk", "within_id"))
    return [_row(record, problems, pictured, mints, motifs, outer) for record in records]


def _row(
    record: dict[str, Any],
    problems: dict[int, tuple[Any, ...]],
    pictured: set[int],
    mints: dict[int, tuple[Any, ...]],
    motifs: dict[int, tuple[int, ...]],
    outer: dict[int, set[int]],
) -> Row:
    year = record["issue__struck_from"]
    grade = band(record["grade_rank"])
    place = record["place_id"]
    return Row(
        id=record["pk"],
        owner=record["owner_id"],
        visibility=record["visibility"],
        type_id=record["coin_type_id"],
        quantity=record["quantity"],
        text=record["search_text"],
        facets={
            "country": record["coin_type__series__issuer_id"],
            "currency": record["coin_type__denomination__currency_id"],
            "series": record["coin_type__series_id"],
            "denomination": record["coin_type__denomination_id"],
            "metal": record["coin_type__metal"] or None,
            "decade": None if year is None else year // 10 * 10,
            "mint": mints.get(record["issue_id"], ()),
            "grade": grade.key if grade else None,
            "problem": problems.get(record["pk"], ()),
            "motif": motifs.get(record["coin_type_id"], ()),
            "place": () if place is None else (place, *sorted(outer[place])),
            "owner": record["owner_id"],
            "status": record["status"],
            "spare": "yes" if record["spare"] else "no",
            "photo": "yes" if record["pk"] in pictured else "no",
        },
        keys={
            "accession": record["accession"],
            "country": record["coin_type__series__issuer__name"],
            "face": record["coin_type__denomination__sort_value"],
            "year": year,
            "grade": record["grade_rank"],
            "diameter": _number_or_none(record["coin_type__diameter_mm"]),
            "mass": _number_or_none(record["coin_type__mass_g"]),
            "added": record["created_at"].timestamp(),
        },
    )


def _number_or_none(value: Any) -> float | None:
    return None if value is None else float(value)


def _gathered(pairs: Iterable[tuple[int, Any]]) -> dict[int, tuple[Any, ...]]:
    found: dict[int, set[Any]] = defaultdict(set)
    for key, value in pairs:
        found[key].add(value)
    return {key: tuple(sorted(values)) for key, values in found.items()}


def _above(pairs: Iterable[tuple[int, int]]) -> defaultdict[int, set[int]]:
    """For each id all that stand above it, however far."""
    direct: dict[int, set[int]] = defaultdict(set)
    for below, above in pairs:
        direct[below].add(above)
    all_above: defaultdict[int, set[int]] = defaultdict(set)
    for start in list(direct):
        ahead = list(direct[start])
        while ahead:
            one = ahead.pop()
            if one not in all_above[start]:
                all_above[start].add(one)
                ahead += direct.get(one, ())
    return all_above
