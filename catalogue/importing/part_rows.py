"""References, changes of status and worths of the pieces that a list makes, as records.

Of a piece that was there already a row changes columns alone; its text keeps the rest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from django.apps import apps
from django.db.models import Model
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.importing.parts import without
from catalogue.models import Holding, HoldingReference, ImportedList, ImportedRow, StatusChange
from catalogue.signals import pieces_valued

_BATCH = 500
_LONGEST_NOTE = 300
Ids = dict[str, list[int]]


def text_of(row: ImportedRow) -> str:
    """The imported text of a new piece: without what it gets records of."""
    return without(row.reading["piece"]["imported"], row.reading.get("parts", {}).get("lines", []))


def has_parts(row: ImportedRow) -> bool:
    """Whether a new piece of this row gets any of them."""
    said = row.reading.get("parts", {})
    return any(said.get(name) for name in ("references", "status", "worth"))


def make_parts(
    brought: ImportedList, rows: Sequence[ImportedRow], pieces: Sequence[Holding]
) -> Ids:
    """Make what belongs to new pieces; the ids of all that is made, by label of the model."""
    references: list[Any] = []
    changes: list[Any] = []
    worths: list[tuple[Holding, list[str]]] = []
    day = timezone.localdate(brought.made_at)
    note = _("As the list %(name)s says; its day is that of the list.") % {"name": brought.name}
    for row, piece in zip(rows, pieces, strict=True):
        said = row.reading.get("parts", {})
        for work, number in said.get("references", ()):
            references.append(HoldingReference(holding=piece, work=work, number=number))
        if status := said.get("status"):
            change = StatusChange(holding=piece, status=status, on=day, note=note[:_LONGEST_NOTE])
            changes.append(change)
        if worth := said.get("worth"):
            worths.append((piece, worth))
    made: Ids = defaultdict(list)
    for model, parts in ((HoldingReference, references), (StatusChange, changes)):
        some = model.objects.bulk_create(parts, batch_size=_BATCH)
        made[model._meta.label_lower] += [each.pk for each in some]
    if worths:
        answers: list[tuple[Any, Any]] = pieces_valued.send(
            ImportedList, brought=brought, worths=worths
        )
        for _receiver, ids in answers:
            for name, some in ids.items():
                made[name] += some
    return made


def parts_of_list(brought: ImportedList) -> dict[type[Model], frozenset[int]]:
    """What the list made beside its pieces, that belongs to them."""
    return {
        apps.get_model(name): frozenset(ids) for name, ids in brought.made.items() if "." in name
    }
