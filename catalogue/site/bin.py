"""Emptying the bin: records that have lain in it for longer than BIN_DAYS days go for good."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.apps import apps
from django.db import transaction
from django.db.models import ProtectedError, RestrictedError
from django.db.models.deletion import Collector
from django.utils import timezone

from catalogue.models import Alteration
from catalogue.site.stored_files import Named, delete_unnamed, named_by
from series.records import BIN_DAYS, PackedRecord, Record
from series.tracked import unannounced

PART_OF = ("holding", "coin_type", "issue", "talk")


@dataclass
class Emptied:
    """How many records of each kind went for good, and how many stay because others need them."""

    gone: dict[str, int] = field(default_factory=dict)
    kept: dict[str, int] = field(default_factory=dict)
    files: int = 0


def record_models() -> list[type[Record]]:
    return [model for model in apps.get_models() if issubclass(model, Record)]


def empty_bin() -> Emptied:
    """Remove what was put into the bin more than BIN_DAYS days ago, each record by itself.

    A record stays as long as one that protects it stays, or as long as a record that is not due
    would go with it, other than its parts (a photograph of a holding, an issue of a type).
    Passes are repeated until nothing more can go, so that a place goes after what stood in it.
    """
    before = timezone.now() - timedelta(days=BIN_DAYS)
    done = Emptied()
    named: Named = set()
    going = True
    while going:
        going = False
        done.kept.clear()
        for model in record_models():
            kind = str(model._meta.verbose_name)
            for record in model.everything.filter(deleted_at__lt=before).order_by("pk"):
                names = _remove(record, before)
                if names is None:
                    done.kept[kind] = done.kept.get(kind, 0) + 1
                else:
                    named |= names
                    done.gone[kind] = done.gone.get(kind, 0) + 1
                    going = True
    done.files = delete_unnamed(named)
    return done


@transaction.atomic
def _remove(record: Record, before: datetime) -> Named | None:
    """Delete one record with its parts; returns what files they named, None when it must stay."""
    collector = Collector(using="default", origin=record)
    try:
        collector.collect([record])
    except (ProtectedError, RestrictedError):
        return None
    going: list[Any] = [row for found in collector.data.values() for row in found]
    for found in collector.fast_deletes:
        going += found
    removed = {(type(row), row.pk) for row in going}
    for row in going:
        due = not isinstance(row, Record) or (
            row.deleted_at is not None and row.deleted_at < before
        )
        if not due and not _is_part(row, removed):
            return None
    named = named_by(going)
    label, pk = record._meta.label_lower, record.pk
    with unannounced():  # that it was put into the bin is known
        record.delete()
    Alteration.objects.filter(subject=label, subject_id=pk).delete()
    return named


def _is_part(row: Record, removed: set[tuple[type[Any], Any]]) -> bool:
    """It belongs to a holding, type, issue or talk that goes, and does not stand by itself."""
    fields = {field.name: field for field in row._meta.concrete_fields}
    if isinstance(row, PackedRecord) or "owner" in fields:
        return False
    return any(
        (fields[name].related_model, getattr(row, fields[name].attname)) in removed
        for name in PART_OF
        if name in fields
    )
