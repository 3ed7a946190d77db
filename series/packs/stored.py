"""Read stored records of the reference catalogue back as the plain records of a pack."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db.models import QuerySet

from series.models import (
    Currency,
    Denomination,
    Issuer,
    Mint,
    Motif,
    Person,
    Series,
    Source,
)
from series.packs import entries as e
from series.packs.entries import trimmed
from series.records import PackedRecord


def stored_entries(kind: str, records: QuerySet[Any]) -> list[tuple[PackedRecord, e.Entry]]:
    """Each record of ``records`` with what it says, for every kind but types."""
    if kind == "issuers":
        records = records.prefetch_related("predecessors")
    elif kind == "currencies":
        records = records.select_related("successor").prefetch_related(
            "issuers", "units", "price_notes"
        )
    elif kind == "denominations":
        records = records.select_related("currency")
    elif kind == "mints":
        records = records.select_related("issuer")
    elif kind == "motifs":
        records = records.prefetch_related("broader")
    elif kind == "series":
        records = records.select_related("issuer", "currency").prefetch_related(
            "rungs__denomination"
        )
    reader = _READERS[kind]
    return [(record, reader(record)) for record in records.order_by("key")]


def stored_source(source: Source) -> e.Source:
    return e.Source(
        source.key, source.title, source.publisher, source.published, source.url, source.note
    )


def common(record: PackedRecord) -> dict[str, Any]:
    """Key and citations, as every record has them."""
    return {
        "key": record.key,
        "citations": tuple(
            e.Citation(cited.get("source", ""), cited.get("where", ""))
            for cited in record.citations
        ),
    }


def number(value: Decimal | None) -> Decimal | None:
    return None if value is None else trimmed(Decimal(value))


def _keys(records: Iterable[PackedRecord]) -> tuple[str, ...]:
    return tuple(sorted(record.key for record in records))


def _key(record: PackedRecord | None) -> str:
    return record.key if record is not None else ""


def _issuer(record: Issuer) -> e.IssuerEntry:
    return e.IssuerEntry(
        **common(record),
        name=record.name,
        code=record.code,
        first_year=record.first_year,
        last_year=record.last_year,
        predecessors=_keys(record.predecessors.all()),
        story=record.story,
    )


def _currency(record: Currency) -> e.CurrencyEntry:
    rate_from: date | None = record.rate_from
    return e.CurrencyEntry(
        **common(record),
        name=record.name,
        plural=record.plural,
        symbol=record.symbol,
        code=record.code,
        issuers=_keys(record.issuers.all()),
        first_year=record.first_year,
        last_year=record.last_year,
        units=tuple(
            e.Unit(unit.name, Fraction(unit.per_main), unit.plural, unit.symbol)
            for unit in record.units.all()
        ),
        successor=_key(record.successor),
        rate=record.rate,
        rate_from=rate_from,
        subunit_in_use=record.subunit_in_use,
        note=record.note,
        price_notes=tuple(
            e.PriceNote(note.year, note.amount, note.bought, number(note.index), note.source)
            for note in record.price_notes.all()
        ),
    )


def _denomination(record: Denomination) -> e.DenominationEntry:
    return e.DenominationEntry(
        **common(record),
        name=record.name,
        currency=record.currency.key,
        value=record.value,
        note=record.note,
    )


def _mint(record: Mint) -> e.MintEntry:
    return e.MintEntry(
        **common(record),
        name=record.name,
        town=record.town,
        issuer=_key(record.issuer),
        note=record.note,
    )


def _person(record: Person) -> e.PersonEntry:
    return e.PersonEntry(
        **common(record),
        name=record.name,
        born=record.born,
        died=record.died,
        signature=record.signature,
        note=record.note,
    )


def _motif(record: Motif) -> e.MotifEntry:
    return e.MotifEntry(
        **common(record),
        name=record.name,
        broader=_keys(record.broader.all()),
        note=record.note,
    )


def _series(record: Series) -> e.SeriesEntry:
    rungs = [
        e.Rung(rung.denomination.key, rung.first_year, rung.last_year, rung.not_struck, rung.note)
        for rung in record.rungs.all()
    ]
    return e.SeriesEntry(
        **common(record),
        name=record.name,
        issuer=record.issuer.key,
        currency=record.currency.key,
        first_year=record.first_year,
        last_year=record.last_year,
        story=record.story,
        rungs=tuple(sorted(rungs, key=lambda rung: rung.denomination)),
    )


_READERS: dict[str, Callable[[Any], e.Entry]] = {
    "issuers": _issuer,
    "currencies": _currency,
    "denominations": _denomination,
    "mints": _mint,
    "people": _person,
    "motifs": _motif,
    "series": _series,
}


def grouped(rows: Iterable[Any], by: str) -> dict[int, list[Any]]:
    """The rows by the value of one of their fields."""
    found: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        found[getattr(row, by)].append(row)
    return found
