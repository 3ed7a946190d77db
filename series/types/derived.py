"""What the records of a type imply, kept in columns: metal, colour, years and search text.

``derive_types`` is the one function that fills these columns; ``differing_types`` is the check
that compares them with what it would fill in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django.db.models import Max, Min

from series.faces.broader import broader_motifs, narrower_motifs
from series.metal.material import build_of
from series.metal.metals import colour, metal_name
from series.models import (
    CoinType,
    Face,
    FaceMotif,
    FacePerson,
    Issue,
    Legend,
    Mark,
    Motif,
)
from series.parcels import parcels
from series.reaching import reached
from series.text.folding import fold

FIELDS = ("metal", "colour", "first_year", "last_year", "search_text")
BATCH = 500
METAL_LENGTH = 80


@dataclass(frozen=True)
class Difference:
    """A derived field that is not what its type's records imply."""

    coin_type: CoinType
    name: str
    stored: Any
    computed: Any


def derive_types(types: Iterable[int] | None = None) -> int:
    """Work out the derived fields of the types with these ids (None: of all) anew.

    Only those that changed are written, without a new row version: nobody edited them.
    Returns how many were.
    """
    count = 0
    for batch in _batches(types):
        changed = [each.coin_type for each in _differences(batch)]
        unique = list({coin_type.pk: coin_type for coin_type in changed}.values())
        CoinType.everything.bulk_update(unique, FIELDS, batch_size=100)
        count += len(unique)
    return count


def differing_types(types: Iterable[int] | None = None) -> list[Difference]:
    """Every derived field that differs from what ``derive_types`` would write."""
    return [each for batch in _batches(types) for each in _differences(batch)]


def types_using(touched: Mapping[str, Sequence[int]]) -> set[int]:
    """The ids of the types whose derived fields rest on these records.

    ``touched`` gives ids by kind: issuers, currencies, denominations, mints, people, motifs,
    series.
    """
    motifs = touched.get("motifs", ())
    people = touched.get("people", ())
    wanted = {
        "series__issuer__in": touched.get("issuers", ()),
        "series__currency__in": touched.get("currencies", ()),
        "denomination__in": touched.get("denominations", ()),
        "marks__mint__in": touched.get("mints", ()),
        "marks__person__in": people,
        "faces__credits__person__in": people,
        "faces__shown__motif__in": reached(motifs, narrower_motifs()) if motifs else (),
        "series__in": touched.get("series", ()),
    }
    found: set[int] = set()
    for path, ids in wanted.items():
        if ids:
            found |= set(
                CoinType.everything.filter(**{path: list(ids)}).values_list("pk", flat=True)
            )
    return found


def _batches(types: Iterable[int] | None) -> Iterator[list[int]]:
    ids = (
        CoinType.everything.order_by("pk").values_list("pk", flat=True)
        if types is None
        else sorted(set(types))
    )
    return parcels(ids, BATCH)


def _differences(ids: list[int]) -> Iterator[Difference]:
    """The derived fields of these types that differ; each type then holds the new value."""
    types = list(
        CoinType.everything.filter(pk__in=ids).select_related(
            "denomination", "series__issuer", "series__currency"
        )
    )
    words = _words(types)
    years = {
        row["coin_type"]: (row["first"], row["last"])
        for row in Issue.objects.filter(coin_type__in=ids, fact=Issue.Fact.STRUCK, withdrawn=False)
        .order_by()
        .values("coin_type")
        .annotate(first=Min("struck_from"), last=Max("struck_to"))
        if row["first"] is not None
    }
    for coin_type in types:
        metal, look = _metal(coin_type.composition)
        first, last = years.get(coin_type.pk, (coin_type.first_year, coin_type.last_year))
        computed = (metal, look, first, last, words[coin_type.pk])
        for name, value in zip(FIELDS, computed, strict=True):
            stored = getattr(coin_type, name)
            if stored != value:
                setattr(coin_type, name, value)
                yield Difference(coin_type, name, stored, value)


def _metal(composition: str) -> tuple[str, str]:
    """The metal's name and colour; both empty where the composition cannot be read."""
    build = build_of(composition)
    return (metal_name(build)[:METAL_LENGTH], colour(build)) if build else ("", "")


_fold = lru_cache(maxsize=4096)(fold)


def _words(types: list[CoinType]) -> dict[int, str]:
    """The folded text in which a type is searched for, by the type's id."""
    return {
        pk: " ".join(dict.fromkeys(_fold(part) for part in sorted(set(parts)) if part))
        for pk, parts in _parts(types).items()
    }


def parts_of(types: Iterable[int]) -> dict[int, list[str]]:
    """What types are searched by, as it was written, by the type's id."""
    related = ("denomination", "series__issuer", "series__currency")
    return _parts(list(CoinType.everything.filter(pk__in=types).select_related(*related)))


def _parts(types: list[CoinType]) -> dict[int, list[str]]:
    ids = [coin_type.pk for coin_type in types]
    texts: dict[int, list[str]] = {
        each.pk: [
            each.denomination.name,
            each.name,
            each.series.name,
            each.series.issuer.name,
            each.series.currency.name,
            each.composition,
            each.edge,
            each.note,
        ]
        for each in types
    }
    for pk, text in Face.objects.filter(coin_type__in=ids).values_list("coin_type", "description"):
        texts[pk].append(text)
    for pk, *legend in Legend.objects.filter(face__coin_type__in=ids).values_list(
        "face__coin_type", "text", "transliteration", "translation"
    ):
        texts[pk] += legend
    broader = _with_broader()
    for pk, motif, note in FaceMotif.objects.filter(face__coin_type__in=ids).values_list(
        "face__coin_type", "motif", "note"
    ):
        texts[pk] += [*broader.get(motif, ()), note]
    for pk, name in FacePerson.objects.filter(face__coin_type__in=ids).values_list(
        "face__coin_type", "person__name"
    ):
        texts[pk].append(name)
    for pk, *mark in Mark.objects.filter(coin_type__in=ids).values_list(
        "coin_type", "text", "near", "mint__name", "mint__town", "person__name"
    ):
        texts[pk] += [text for text in mark if text]
    return texts


def _with_broader() -> dict[int, tuple[str, ...]]:
    """The name of each motif with the names of all that are broader, by its id."""
    names = dict(Motif.everything.values_list("pk", "name"))
    broader = broader_motifs()
    return {pk: tuple(names[each] for each in sorted(reached([pk], broader))) for pk in names}
