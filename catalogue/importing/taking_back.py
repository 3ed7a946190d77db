"""Taking a list back whole, as long as nothing was done with its pieces since.

Pieces that it made go for good, with their numbers; those it changed become what they were; types,
places and countries it made go too, where nobody else uses them. The list itself stays, so that it
can be taken in again.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.db.models import F, Model, QuerySet, Value
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue.history.keeping import doing
from catalogue.holdings.actions import HoldingError, derive
from catalogue.holdings.bulk.words import named as some_of
from catalogue.holdings.changes import note_everything, note_holdings
from catalogue.importing.changing import put_back
from catalogue.importing.judging import judge_again, recount
from catalogue.importing.part_rows import parts_of_list
from catalogue.importing.publishing import NOTED_EACH
from catalogue.models import (
    Alteration,
    Holding,
    ImportedList,
    ImportedPiece,
    ImportedRow,
    Photo,
    Place,
    Proposal,
)
from catalogue.site.stored_files import delete_unnamed, named_by
from series.models import (
    CoinType,
    Currency,
    CurrencyUnit,
    Denomination,
    Issue,
    Issuer,
    Series,
)
from series.parcels import parcels
from series.records import Record, everything_of
from series.types.editing import settle

_COMES_ALONG = (ImportedPiece, Photo, Alteration)
_PARTS = (Issue, Proposal, CurrencyUnit)


class Touched(HoldingError):
    """Something was done with pieces of the list since; the message names them."""


def take_back(brought: ImportedList) -> int:
    """Undo all that the list did; returns of how many pieces. Touched says why it cannot.

    Its rows are judged anew after the transaction, so that others can write meanwhile; whoever is
    killed before that finds them to be taken in as they were.
    """
    why = _("The list %(name)s taken back") % {"name": brought.name}
    with transaction.atomic(), doing(brought.owner, why, back_at=brought.get_absolute_url()):
        count = _take_back(brought)
    judge_again(brought)
    return count


def _take_back(brought: ImportedList) -> int:
    ImportedList.objects.select_for_update().get(pk=brought.pk)
    pieces = ImportedPiece.objects.filter(row__of=brought)
    made = list(pieces.filter(before__isnull=True).values_list("holding_id", flat=True))
    changed = list(pieces.exclude(before__isnull=True).select_related("holding"))
    _refuse_touched(brought)
    _put_back(changed)
    _delete_parts(brought)
    _delete(made)
    pieces.delete()
    _delete_made(brought)
    _note([*made, *(each.holding_id for each in changed)])
    for taken, to_take in zip(ImportedRow.TAKEN, ImportedRow.TO_TAKE, strict=True):
        ImportedRow.objects.filter(of=brought, outcome=taken).update(outcome=to_take)
    brought.state, brought.made, brought.taken_at = ImportedList.State.BACK, {}, None
    recount(brought)
    brought.save()
    return len(made) + len(changed)


def _note(ids: list[int]) -> None:
    if len(ids) > NOTED_EACH:
        note_everything()
    else:
        note_holdings(ids)


# ---- what was done since ----
def touched(brought: ImportedList) -> list[str]:
    """The numbers of the pieces with which something was done since the list was taken in.

    Of a piece that it made whatever hangs on it counts, of one that it changed an edit.
    """
    pieces = ImportedPiece.objects.filter(row__of=brought)
    edited = pieces.exclude(version=F("holding__row_version"))
    ids = set(edited.values_list("holding_id", flat=True))
    made, own = pieces.filter(before__isnull=True), parts_of_list(brought)
    for model, name in _hanging_on_holdings():
        rows = model._base_manager.filter(**{f"{name}__in": made.values("holding")}).order_by()
        version = "row_version" if issubclass(model, Record) else Value(1)
        came = own.get(model, frozenset())
        hanging = rows.values_list(f"{name}_id", "pk", version)
        ids |= {pk for pk, part, v in hanging if part not in came or v != 1}
    brought_along = dict(made.exclude(photos=[]).values_list("holding_id", "photos"))
    photos = Photo.everything.filter(holding__in=made.values("holding")).values_list(
        "holding_id", "pk", "row_version"
    )
    ids |= {
        pk for pk, photo, version in photos if version > 1 or photo not in brought_along.get(pk, ())
    }
    return sorted(_numbers(ids))


def _hanging_on_holdings() -> Iterable[tuple[type[Model], str]]:
    """Every model, of any floor, with a key to a holding, but for what comes along with a list."""
    for relation in Holding._meta.related_objects:
        model: Any = relation.related_model
        if model not in _COMES_ALONG:
            yield model, relation.field.name


def _numbers(ids: Iterable[int]) -> Iterable[str]:
    for some in parcels(ids):
        yield from Holding.everything.filter(pk__in=some).values_list("accession", flat=True)


def _refuse_touched(brought: ImportedList) -> None:
    numbers = touched(brought)
    if numbers:
        words = ngettext(
            "%(n)d piece of this list was used since (%(which)s), so the list stays. Put single "
            "pieces into the bin instead.",
            "%(n)d pieces of this list were used since (%(which)s), so the list stays. Put single "
            "pieces into the bin instead.",
            len(numbers),
        )
        raise Touched(words % {"n": len(numbers), "which": some_of(numbers)})


# ---- undoing ----
def _put_back(changed: list[ImportedPiece]) -> None:
    """What was changed becomes what it was."""
    columns = {"row_version", "changed_at", "grade_rank", "search_text"}
    photos = [pk for each in changed for pk in each.photos]
    _delete_photos(Photo.everything.filter(pk__in=photos))
    for each in changed:
        put_back(each.holding, each.before or {})
        derive(each.holding)
        each.holding.row_version += 1
        each.holding.changed_at = timezone.now()
        columns |= {name.removesuffix("_id") for name in each.before or {}}
    Holding.objects.bulk_update([each.holding for each in changed], sorted(columns), batch_size=20)


def _delete(ids: list[int]) -> None:
    """Delete pieces on which nothing but photographs of the list and their history hang.

    Row by row it would be noted row by row; the database itself sees that nothing is left over.
    """
    for some in parcels(ids):
        _delete_photos(Photo.everything.filter(holding__in=some))
        for model in (ImportedPiece, Alteration):
            _delete_plainly(model.objects.filter(holding__in=some))
        _delete_plainly(Holding.everything.filter(pk__in=some))


def _delete_parts(brought: ImportedList) -> None:
    """What hangs on pieces it made, with nothing left over; then what these named, if unused."""
    named = []
    for model, ids in parts_of_list(brought).items():
        if not any(each.name == "holding" for each in model._meta.fields):
            named.append(everything_of(model).filter(pk__in=ids))
            continue
        for some in parcels(ids):
            _delete_plainly(model._base_manager.filter(pk__in=some))
    for records in named:
        _delete_unused(records)


def _delete_photos(photos: QuerySet[Photo]) -> None:
    named = named_by(photos)
    _delete_plainly(photos)
    transaction.on_commit(lambda: delete_unnamed(named))


def _delete_plainly(rows: Any) -> None:
    rows._raw_delete(using=rows.db)


def _delete_made(brought: ImportedList) -> None:
    """Types nobody uses or changed since, then what they belonged to, then places."""
    types = CoinType.everything.filter(
        pk__in=brought.made.get("types", ()),
        row_version=1,
        standing=CoinType.Standing.PROVISIONAL,
    )
    of_used = Issue.everything.filter(pk__in=_used(Issue.everything.filter(coin_type__in=types)))
    gone = _delete_unused(types.exclude(pk__in=of_used.values("coin_type")))
    for name, model in (
        ("series", Series),
        ("denominations", Denomination),
        ("currencies", Currency),
        ("issuers", Issuer),
        ("places", Place),
    ):
        _delete_unused(model.everything.filter(pk__in=brought.made.get(name, ())))
    if gone:
        settle(gone)


def _delete_unused(records: QuerySet[Any]) -> list[int]:
    """Delete those of these records that nobody uses; returns their ids."""
    gone = sorted(set(records.values_list("pk", flat=True)) - _used(records))
    records.filter(pk__in=gone).delete()
    return gone


def _used(records: QuerySet[Any]) -> set[int]:
    """The ids of those of these records that anything but their own parts names."""
    ids = list(records.order_by().values_list("pk", flat=True))
    used: set[int] = set()
    for relation in records.model._meta.related_objects:
        model: Any = relation.related_model
        if model in _PARTS:
            continue
        name = relation.field.name
        rows = model._base_manager.filter(**{f"{name}__in": ids})
        used |= set(rows.order_by().values_list(name, flat=True))
    return used & set(ids)
