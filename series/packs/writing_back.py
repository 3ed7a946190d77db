"""Set values of a pack on stored records, and save the changed ones in bulk."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import models
from django.utils import timezone

from series.entries.flat import flat
from series.models import (
    CoinType,
    Currency,
    Denomination,
    Issuer,
    Mint,
    Motif,
    Person,
    Series,
)
from series.packs.merging import Merged, merge
from series.packs.report import KeptEdit, Report
from series.records import Record

MODELS: dict[str, type[Any]] = {
    "issuers": Issuer,
    "currencies": Currency,
    "denominations": Denomination,
    "mints": Mint,
    "people": Person,
    "motifs": Motif,
    "series": Series,
    "types": CoinType,
}
KIND = {model: kind for kind, model in MODELS.items()}
Keys = dict[str, dict[str, int]]
"""The id of each record by its kind and key."""

PARTS = {"predecessors", "issuers", "broader", "units", "price_notes", "references", "marks"}
"""Paths that hold rows of their own."""


@dataclass
class Change:
    """A record to be saved: the values to store and the paths to take out."""

    record: Any
    values: dict[str, Any]
    gone: tuple[str, ...] = ()
    is_new: bool = False

    def set_values(self, keys: Keys, *but: str) -> None:
        for path, value in self.values.items():
            if path not in but:
                set_value(self.record, path, value, keys)


def planned(
    kind: str,
    entries: Iterable[Any],
    at_hand: Mapping[str, tuple[Any, Any]],
    make: Callable[[Any], Any],
    report: Report,
    of: str = "",
) -> list[Change]:
    """What is to be saved so that the records say what these entries say.

    ``at_hand`` are the stored records by key, each with what it says; ``make`` begins one that
    is not there; ``of`` stands before their keys in the report.
    """
    changes = []
    for entry in entries:
        values = flat(entry)
        if entry.key not in at_hand:
            new = make(entry)
            new.key, new.loaded = entry.key, values
            report.count(kind, "added")
            changes.append(Change(new, values, is_new=True))
            continue
        record, said = at_hand[entry.key]
        merged = _settled(kind, record, flat(said), values, report, f"{of}{entry.key}")
        if merged is not None:
            changes.append(Change(record, merged.changed, merged.gone))
    return changes


def _settled(
    kind: str, record: Any, said: dict[str, Any], new: dict[str, Any], report: Report, name: str
) -> Merged | None:
    """What of a stored record is to be changed; None if nothing is. Notes ``loaded`` anew.

    A record in the bin is left there as it is.
    """
    if record.deleted_at is not None:
        report.kept.append(KeptEdit(kind, name, "record", "it is there", "in the bin"))
        report.count(kind, "kept")
        return None
    merged = merge(record.loaded, said, new)
    for kept in merged.kept:
        report.kept.append(KeptEdit(kind, name, kept.path, kept.pack, kept.here))
    if merged.kept:
        report.count(kind, "kept")
    if record.loaded != new:
        record.loaded = new
        type(record).everything.filter(pk=record.pk).update(loaded=new)
    if record.withdrawn:
        record.withdrawn = False
        report.count(kind, "brought back")
    elif merged.changed or merged.gone:
        report.count(kind, "changed")
    else:
        return None
    return merged


def set_value(record: Any, path: str, value: Any, keys: Keys) -> None:
    """Set a plain field, or a reference by key, on a record; other paths are left alone."""
    if path == "value":
        numerator, _slash, denominator = value.partition("/")
        record.value_numerator, record.value_denominator = int(numerator), int(denominator or 1)
        record.sort_value = record.value_numerator / record.value_denominator
        return
    if path in PARTS or "." in path:
        return
    model_field = record._meta.get_field(path)
    if isinstance(model_field, models.ForeignKey):
        kind = KIND[model_field.related_model]  # type: ignore[index]
        setattr(record, model_field.attname, keys[kind][value] if value else None)
    elif path == "citations":
        record.citations = [{"source": source, "where": where} for source, where in value]
    else:
        setattr(record, path, model_field.to_python(value))


def save_changed(records: Iterable[Record]) -> None:
    """Save changed records in bulk, each with a new row version."""
    records = list(records)
    if not records:
        return
    now = timezone.now()
    for record in records:
        record.row_version += 1
        record.changed_at = now
    model = type(records[0])
    left_out = {"id", "key", "created_at"}
    names = [f.name for f in model._meta.concrete_fields if f.name not in left_out]
    model.everything.bulk_update(records, names, batch_size=100)


def withdraw(records: Iterable[Any], kind: str, report: Report) -> list[Any]:
    """Mark what its pack no longer has; what is marked already is passed over."""
    gone = [record for record in records if not record.withdrawn]
    for record in gone:
        record.withdrawn = True
    save_changed(gone)
    report.count(kind, "withdrawn", len(gone))
    return gone
