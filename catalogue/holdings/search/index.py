"""The holdings of the whole site in columns: loaded from the database, kept up to date.

``store()`` is what browsing asks; it costs one query when nothing has changed. The columns are
made by ``rows_of``, the one function that turns records into rows, so a row can always be
compared with its record (``differing_rows``).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from catalogue.holdings.grades import band
from catalogue.holdings.search.columns import ColumnStore, HoldingRow
from catalogue.holdings.search.tally import Value
from catalogue.holdings.up_to_date import Changed, UpToDate
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

_PARCEL = 2_000  # holdings read at a time
_COLUMNS = (
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
    "own_text",
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


@dataclass(frozen=True)
class Difference:
    """A holding of which the columns keep something else than its record says.

    ``name`` is a facet, a sort key or a field of HoldingRow, or "row" where one of the two is
    missing.
    """

    holding_id: int
    name: str
    kept: Any
    recorded: Any


@dataclass(frozen=True)
class _Sides:
    """What stands in other tables: by holding, by issue, by type."""

    problems: dict[int, tuple[Any, ...]]
    pictured: set[int]
    mints: dict[int, tuple[Any, ...]]
    motifs: dict[int, tuple[int, ...]]


def store() -> ColumnStore:
    """The columns as of the last committed change."""
    return _columns.current()


def forget() -> None:
    """Drop the columns, so that the next reader maps or makes them anew."""
    _columns.forget()


def differing_rows() -> list[Difference]:
    """Everything in which the columns differ from the records: empty, unless there is a fault.

    Ask while nobody writes; what is changed in between shows up as a difference.
    """
    columns = store()
    kept = {row.id: row for row in columns.rows()}
    found: list[Difference] = []
    for row in rows_of(Holding.objects.all()):
        found += _differences(kept.pop(row.id, None), row)
    for row in kept.values():
        found.append(Difference(row.id, "row", row, None))
    texts = columns.type_texts()
    for type_id, text in _type_texts().items():
        words = set(text.split())
        if texts.get(type_id, set()) != words:
            for pk in Holding.objects.filter(coin_type=type_id).values_list("pk", flat=True):
                found.append(Difference(pk, "text of the type", texts.get(type_id), words))
    return found


def _differences(kept: HoldingRow | None, recorded: HoldingRow) -> Iterator[Difference]:
    if kept is None:
        yield Difference(recorded.id, "row", None, recorded)
        return
    for name, here, there in _pairs(kept, recorded):
        if here != there:
            yield Difference(recorded.id, name, here, there)


def _pairs(kept: HoldingRow, recorded: HoldingRow) -> Iterator[tuple[str, Any, Any]]:
    for name in ("owner", "visibility", "type_id", "quantity"):
        yield name, getattr(kept, name), getattr(recorded, name)
    for name in FACETS:
        yield name, _values(kept.facets[name]), _values(recorded.facets[name])
    for name in SORTS:
        yield name, kept.keys[name], recorded.keys[name]
    yield "text", set(kept.text.split()), set(recorded.text.split())
    yield "own_text", set(kept.own_text.split()), set(recorded.own_text.split())


def _values(cell: Value | tuple[Value, ...]) -> set[Value]:
    return set(cell or (None,)) if isinstance(cell, tuple) else {cell}


def _type_texts() -> dict[int, str]:
    held = Holding.objects.filter(coin_type__isnull=False).order_by().values("coin_type")
    types = CoinType.everything.filter(pk__in=held).order_by()
    return dict(types.values_list("pk", "search_text"))


def _all_columns() -> ColumnStore:
    columns = ColumnStore(FACETS, SORTS, rows_of(Holding.objects.all()))
    columns.replace((), _type_texts())
    return columns


def _patched(columns: ColumnStore, changed: Changed) -> ColumnStore:
    """The same columns with these records as they are now; of a type that is gone no text stays."""
    types = {ref for kind, ref in changed if kind == Change.Kind.TYPE}
    ids = {ref for kind, ref in changed if kind == Change.Kind.HOLDING}
    for some in _batches(types):
        ids |= set(Holding.objects.filter(coin_type__in=some).values_list("pk", flat=True))
    rows: list[HoldingRow] = []
    texts = dict.fromkeys(types, "")
    every = CoinType.everything.order_by()
    for some in _batches(ids):
        rows += rows_of(Holding.objects.filter(pk__in=some))
        texts |= dict(every.filter(holdings__in=some).values_list("pk", "search_text"))
    for some in _batches(types):
        texts |= dict(every.filter(pk__in=some).values_list("pk", "search_text"))
    columns.replace(rows, texts, removed=ids - {row.id for row in rows})
    return columns


_columns = UpToDate("holdings", _all_columns, _patched, ColumnStore.packed, ColumnStore.unpacked)


def _batches(ids: Iterable[int]) -> Iterator[list[int]]:
    ordered = sorted(ids)
    for start in range(0, len(ordered), _BATCH):
        yield ordered[start : start + _BATCH]


def rows_of(holdings: QuerySet[Holding]) -> Iterator[HoldingRow]:
    """The rows of these holdings, by id; a constant number of queries for each ``_PARCEL``.

    Only one parcel of records is in memory at a time. A record that changes meanwhile may come as
    it was or as it is; its change then has a number after the one the reader began at.
    """
    broader = _above(Motif.broader.through.objects.values_list("from_motif_id", "to_motif_id"))
    outer = _above(
        Place.objects.filter(within__isnull=False).order_by().values_list("pk", "within_id")
    )
    last = 0
    while True:
        records: Any = list(holdings.filter(pk__gt=last).order_by("pk").values(*_COLUMNS)[:_PARCEL])
        if not records:
            return
        first, last = records[0]["pk"], records[-1]["pk"]
        sides = _sides(holdings.filter(pk__range=(first, last)), broader)
        for record in records:
            yield _row(record, sides, outer)
        if len(records) < _PARCEL:
            return


def _sides(holdings: QuerySet[Holding], broader: dict[int, set[int]]) -> _Sides:
    wanted = holdings.order_by().values("pk")
    mints = Mark.issues.through.objects.filter(
        mark__kind=Mark.Kind.MINT, mark__mint__isnull=False, issue__holdings__in=wanted
    )
    shown = FaceMotif.objects.filter(face__coin_type__holdings__in=wanted)
    motifs = _gathered(shown.values_list("face__coin_type_id", "motif_id").distinct())
    return _Sides(
        problems=_gathered(
            HoldingProblem.objects.filter(holding__in=wanted).values_list("holding_id", "kind")
        ),
        pictured=set(Photo.objects.filter(holding__in=wanted).values_list("holding_id", flat=True)),
        mints=_gathered(mints.values_list("issue_id", "mark__mint_id").distinct()),
        motifs={
            type_id: tuple(sorted({m for motif in found for m in (motif, *broader[motif])}))
            for type_id, found in motifs.items()
        },
    )


def _row(record: dict[str, Any], sides: _Sides, outer: dict[int, set[int]]) -> HoldingRow:
    year = record["issue__struck_from"]
    grade = band(record["grade_rank"])
    place = record["place_id"]
    return HoldingRow(
        id=record["pk"],
        owner=record["owner_id"],
        visibility=record["visibility"],
        type_id=record["coin_type_id"],
        quantity=record["quantity"],
        text=record["search_text"],
        own_text=record["own_text"],
        facets={
            "country": record["coin_type__series__issuer_id"],
            "currency": record["coin_type__denomination__currency_id"],
            "series": record["coin_type__series_id"],
            "denomination": record["coin_type__denomination_id"],
            "metal": record["coin_type__metal"] or None,
            "decade": None if year is None else year // 10 * 10,
            "mint": sides.mints.get(record["issue_id"], ()),
            "grade": grade.key if grade else None,
            "problem": sides.problems.get(record["pk"], ()),
            "motif": sides.motifs.get(record["coin_type_id"], ()),
            "place": () if place is None else (place, *sorted(outer[place])),
            "owner": record["owner_id"],
            "status": record["status"],
            "spare": "yes" if record["spare"] else "no",
            "photo": "yes" if record["pk"] in sides.pictured else "no",
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
