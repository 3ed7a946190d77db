"""The stops of a talk with the records they show, in a number of queries that does not grow."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Model, Prefetch, QuerySet
from django.utils.translation import gettext as _

from catalogue.models import Holding, Photo, Stop, Talk
from catalogue.photos.queries import faces_of
from series.models import CoinType, Currency, Issuer, Mark, PriceNote, Series
from series.types.queries import shown_types


@dataclass
class Met:
    """A stop and what is found there; ``photos`` are those of its piece by side."""

    stop: Stop
    number: int
    holding: Holding | None = None
    coin_type: CoinType | None = None
    record: Any = None
    photos: Mapping[str, Photo] = field(default_factory=dict)

    @property
    def is_coin(self) -> bool:
        return self.stop.kind in Stop.COINS

    @property
    def is_opening(self) -> bool:
        return self.stop.kind in Stop.OPENINGS

    @property
    def became(self) -> str:
        """What became of what the stop shows, where it is not as it was; "" where it is."""
        if self.stop.kind == Stop.Kind.TEXT:
            return ""
        if self.record is None:
            return str(_GONE[self.stop.kind]())
        if self.record.deleted_at is not None:
            return _("It lies in the bin.")
        if self.holding is not None and self.holding.status not in Holding.IN_HAND:
            return _("You hold it no more: %(status)s.") % {
                "status": self.holding.get_status_display()
            }
        if isinstance(self.record, CoinType) and self.record.joined_to is not None:
            return _("The type was joined to another: %(name)s.") % {"name": self.record.joined_to}
        return ""


_GONE: dict[str, Any] = {
    Stop.Kind.PIECE: lambda: _("The piece that stood here is gone for good."),
    Stop.Kind.TYPE: lambda: _("The type that stood here is gone for good."),
    Stop.Kind.COUNTRY: lambda: _("The country that stood here is gone for good."),
    Stop.Kind.CURRENCY: lambda: _("The currency that stood here is gone for good."),
    Stop.Kind.SERIES: lambda: _("The series that stood here is gone for good."),
}


_UNSHOWN = ("search_text", "own_text", "imported", "note", "changed_at", "issue__loaded")


def met(talk: Talk, stops: QuerySet[Stop] | None = None) -> list[Met]:
    """The stops of a talk, or those that are given of them, in their order."""
    asked = talk.stops.all() if stops is None else stops
    rows = list(asked.select_related("photo__holding").order_by("position", "pk"))
    held = _by_id(_holdings(talk), (stop.holding_id for stop in rows))
    types = _by_id(types_to_tell(), (stop.coin_type_id for stop in rows))
    records: dict[str, Mapping[int, Model]] = {
        Stop.Kind.PIECE: held,
        Stop.Kind.TYPE: types,
        Stop.Kind.COUNTRY: _by_id(
            Issuer.everything.prefetch_related("currencies"), (s.issuer_id for s in rows)
        ),
        Stop.Kind.CURRENCY: _by_id(_currencies(), (s.currency_id for s in rows)),
        Stop.Kind.SERIES: _by_id(
            Series.everything.select_related("issuer", "currency"), (s.series_id for s in rows)
        ),
    }
    photos = faces_of(held.values())
    found = []
    for number, stop in enumerate(rows):
        key = getattr(stop, f"{Stop.RECORD[stop.kind]}_id") if stop.kind in Stop.RECORD else None
        record: Any = records[stop.kind].get(key) if key is not None else None
        one = Met(stop, number, record=record)
        if isinstance(record, Holding):
            one.holding, one.coin_type = record, record.coin_type
            one.photos = photos.get(record.pk, {})
        elif isinstance(record, CoinType):
            one.coin_type = record
        found.append(one)
    return found


def types_to_tell() -> QuerySet[CoinType]:
    """Types with what a stop shows of them, also those in the bin."""
    return shown_types().prefetch_related("joined_to__denomination", "faces__legends")


def _holdings(talk: Talk) -> QuerySet[Holding]:
    marks = Mark.objects.filter(mint__isnull=False).select_related("mint")
    own = Holding.everything.filter(owner=talk.owner_id).defer(*_UNSHOWN)
    return own.select_related("issue", "variety").prefetch_related(
        Prefetch("coin_type", types_to_tell()), Prefetch("issue__marks", marks)
    )


def _currencies() -> QuerySet[Currency]:
    notes = PriceNote.objects.exclude(bought="").order_by("year", "pk")
    return Currency.everything.select_related("successor").prefetch_related(
        "units", "replaced", Prefetch("price_notes", notes)
    )


def _by_id(rows: QuerySet[Any], ids: Iterable[int | None]) -> dict[int, Any]:
    asked = {pk for pk in ids if pk is not None}
    return {row.pk: row for row in rows.filter(pk__in=asked)}
