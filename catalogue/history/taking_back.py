"""Taking a deed back: all that it changed is as before, by a new deed; or nothing is, and why.

A deed is refused where a record that it changed was touched since, where what stood there before
is no longer to be had, and where it changed what is not the member's own. What it did to a record
of the catalogue a curator takes back, where it changed no other record.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import ForeignKey, ManyToManyField, Max, Model, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue import access
from catalogue.curation.record_forms import FORMS
from catalogue.curation.used import why_they_stay
from catalogue.history.keeping import doing
from catalogue.history.steps import HOLDING, model_of
from catalogue.holdings.actions import HoldingError, derive, settle_place
from catalogue.holdings.changes import note_holdings
from catalogue.models import Alteration, Deed, Holding, Member, Place, Receipt
from series.models import CoinType, Issue, Variety
from series.parcels import parcels
from series.records import PackedRecord, Record
from series.text.english import some_of
from series.tracked import Tracked, columns, plain
from series.types.derived import types_using
from series.types.editing import settle

NAMED = 12


class CannotTakeBack(ValueError):
    """The deed stays; the message says why."""


def take_back(deed: Deed, member: Member, holding: Holding | None = None) -> None:
    """Take a deed back, or what it did to one piece, where it did the same to many."""
    rows = deed.alterations.order_by("pk")
    if holding is not None and not _is_of_one_cast(deed):
        rows = rows.filter(holding=holding)
    _in_words(deed, list(rows), member, _refuse_others)


def take_back_of_catalogue(deed: Deed, member: Member, record: PackedRecord) -> None:
    """Take back what a deed did to a record of the catalogue, where it changed no other."""
    of_it = {"holding": None, "subject": record._meta.label_lower, "subject_id": record.pk}
    others = deed.alterations.exclude(**of_it).exclude(before=None, holding=None, owner=None)
    if not access.may_undo(member, record) or others.exists():
        raise CannotTakeBack(_("It changed more than this record; change it back by hand."))
    rows = list(deed.alterations.filter(**of_it).order_by("pk"))
    with transaction.atomic():
        _in_words(deed, rows, member, _refuse_used)
        settle(_types_of(record))


def _types_of(record: PackedRecord) -> list[int]:
    """The types whose derived columns rest on a record."""
    if isinstance(record, CoinType):
        return [record.pk]
    table = next(each.table for each in FORMS.values() if each._meta.model is type(record))
    return sorted(types_using({table: [record.pk]}))


_Refusal = Callable[[Sequence[Alteration], list[int], Member], None]


def _in_words(deed: Deed, rows: list[Alteration], member: Member, refuse: _Refusal) -> None:
    """Take it back; what the database or the rules of pieces refuse is said in words."""
    try:
        with transaction.atomic(), doing(member, takes_back=deed):
            _take_back(deed, rows, member, refuse)
    except IntegrityError as error:
        raise CannotTakeBack(
            _("Something else stands where it stood before, such as its number.")
        ) from error
    except HoldingError as error:
        raise CannotTakeBack(str(error)) from error


def _is_of_one_cast(deed: Deed) -> bool:
    """Whether pieces came, went or gave parts to each other, so that all belongs together."""
    between = Q(before__has_key="holding") | Q(after__has_key="deleted_at", row=HOLDING)
    return deed.alterations.filter(Q(before__isnull=True, row=HOLDING) | between).exists()


def _take_back(deed: Deed, rows: Sequence[Alteration], member: Member, refuse: _Refusal) -> None:
    if deed.back_at:
        raise CannotTakeBack(_("It is taken back on the page of what was brought in."))
    if not rows:
        raise CannotTakeBack(_("There is nothing to take back."))
    pieces = sorted({row.holding_id for row in rows if row.holding_id is not None})
    refuse(rows, pieces, member)
    for some in parcels(pieces):
        list(Holding.everything.select_for_update().filter(pk__in=some).order_by("pk"))
    _refuse_touched(deed, rows)
    of_model: dict[type[Tracked], list[Alteration]] = defaultdict(list)
    for row in rows:
        model = model_of(row.row)
        if model is None or not issubclass(model, Tracked):
            raise CannotTakeBack(_("It changed what no longer exists on this site."))
        of_model[model].append(row)
    for model, of_it in of_model.items():
        made = {row.row_id for row in of_it if row.before is None}
        gone = {row.row_id for row in of_it if row.after is None}
        _remove(model, made - gone)
        _put_back(model, [row for row in of_it if row.after is None and row.row_id not in made])
        changed = (row for row in of_it if row.before and row.after)
        _change_back(model, [row for row in changed if row.row_id not in made])
    for model, of_it in of_model.items():
        _refuse_gone_links(model, of_it, member)
    note_holdings(pieces)


def standing(deeds: Mapping[int, int | None]) -> list[int]:
    """Those deeds that still count, the newest first; each is given with the deed it takes back.

    A deed and the one that takes it back cancel each other.
    """
    cancelled: set[int] = set()
    left = []
    for number in sorted(deeds, reverse=True):
        takes_back = deeds[number]
        if number in cancelled:
            continue
        if takes_back is not None and takes_back in deeds:
            cancelled.add(takes_back)
        else:
            left.append(number)
    return left


# ---- refusals ----
def _refuse_others(rows: Iterable[Alteration], pieces: list[int], member: Member) -> None:
    own = 0
    for some in parcels(pieces):
        own += Holding.everything.filter(pk__in=some, owner=member).count()
    if own < len(pieces) or any(
        row.owner_id != member.pk for row in rows if row.holding_id is None
    ):
        raise CannotTakeBack(_("It changed more than records of your own; change it back by hand."))


def _refuse_used(rows: Sequence[Alteration], pieces: list[int], member: Member) -> None:
    """A date or variety that was added and that somebody holds or wants by now stays."""
    for model in (Issue, Variety):
        made = {
            row.row_id
            for row in rows
            if row.row == model._meta.label_lower and row.before is None and row.after is not None
        }
        parts: list[Any] = list(model._base_manager.filter(pk__in=made))
        words = _("Members hold or want %(names)s by now; nothing is taken back.")
        if why := why_they_stay(parts, member, told=words, untold=words):
            raise CannotTakeBack(why)


def _refuse_touched(deed: Deed, rows: Sequence[Alteration]) -> None:
    """What was changed by another deed since is named."""
    subjects = {(row.subject, row.subject_id) for row in rows}
    last = deed.alterations.aggregate(last=Max("pk"))["last"]
    later = Alteration.objects.filter(pk__gt=last).exclude(deed=deed)
    since: dict[tuple[str, int], dict[int, int | None]] = defaultdict(dict)
    for label in {subject for subject, _id in subjects}:
        ids = [pk for subject, pk in subjects if subject == label]
        for some in parcels(ids):
            found = (
                later.filter(holding__in=some)
                if label == HOLDING
                else later.filter(subject=label, subject_id__in=some)
            )
            columns_asked = ("subject_id", "deed", "deed__takes_back")
            for pk, number, takes_back in found.values_list(*columns_asked):
                since[(label, pk)][number] = takes_back
    touched = [subject for subject, deeds in since.items() if standing(deeds)]
    if touched:
        raise CannotTakeBack(_touched_in_words(_names_of(touched)))


def _names_of(subjects: Iterable[tuple[str, int]]) -> list[str]:
    names: list[str] = []
    of_label: dict[str, list[int]] = defaultdict(list)
    for label, pk in subjects:
        of_label[label].append(pk)
    for label, ids in of_label.items():
        model: Any = model_of(label)
        for some in parcels(ids):
            names += map(str, getattr(model, "everything", model._base_manager).filter(pk__in=some))
    return sorted(names)


def _touched_in_words(names: Sequence[str]) -> str:
    words = ngettext(
        "%(which)s was changed since; nothing is taken back.",
        "%(n)d records were changed since (%(which)s); nothing is taken back.",
        len(names),
    )
    return words % {"n": len(names), "which": some_of(list(names), NAMED)}


def _refuse_gone_links(model: type[Tracked], rows: Iterable[Alteration], member: Member) -> None:
    """What a row led to before must still be there, and be shown to the member."""
    asked: dict[type[Model], set[Any]] = defaultdict(set)
    for row in rows:
        for name, value in (row.before or {}).items():
            field: Any = model._meta.get_field(name)
            if isinstance(field, ManyToManyField):
                asked[field.related_model] |= set(value)
            elif isinstance(field, ForeignKey) and value is not None:
                asked[field.related_model].add(value)  # type: ignore[index]
    for linked, ids in asked.items():
        there: QuerySet[Any] = access.nameable(linked, member).filter(pk__in=ids)
        if issubclass(linked, Record):
            there = there.filter(deleted_at=None)
        if there.count() < len(ids):
            kind = linked._meta.verbose_name
            raise CannotTakeBack(
                _("The %(kind)s it had before is no longer there; nothing is taken back.")
                % {"kind": kind}
            )


# ---- doing it ----
def _remove(model: type[Tracked], made: set[int]) -> None:
    """What was made goes: a part of a record for good, a record into the bin."""
    if not made:
        return
    manager: Any = getattr(model, "everything", model.objects)
    rows = manager.filter(pk__in=made)
    if not issubclass(model, Record):
        rows.delete()
        return
    if model is Holding and (promised := rows.filter(reservation__isnull=False).first()):
        raise CannotTakeBack(
            _("%(number)s is promised to another member; take the promise back first.")
            % {"number": promised}
        )
    for record in rows.filter(deleted_at=None):
        record.bin()


def _change_back(model: type[Tracked], rows: Sequence[Alteration]) -> None:
    """Give the columns their values of before, where they are still what the deed made them."""
    if not rows:
        return
    manager: Any = getattr(model, "everything", model.objects)
    at_hand: dict[int, Any] = {}
    for some in parcels(row.row_id for row in rows):
        at_hand |= {each.pk: each for each in manager.filter(pk__in=some)}
    names: set[str] = set()
    links: dict[tuple[int, str], list[int]] = {}
    for row in reversed(rows):
        record = at_hand.get(row.row_id)
        if record is None:
            raise CannotTakeBack(_("A part of it is gone for good."))
        for name, value in (row.before or {}).items():
            field: Any = model._meta.get_field(name)
            if isinstance(field, ManyToManyField):
                now = sorted(getattr(record, name).values_list("pk", flat=True))
                if links.get((record.pk, name), now) != (row.after or {}).get(name):
                    raise CannotTakeBack(_touched_in_words(_names_of([_subject(row)])))
                links[record.pk, name] = value
                continue
            if plain(field, getattr(record, field.attname)) != (row.after or {}).get(name):
                raise CannotTakeBack(_touched_in_words(_names_of([_subject(row)])))
            setattr(record, field.attname, field.to_python(value))
            names.add(name)
    if names or issubclass(model, Record):
        _save(model, list(at_hand.values()), names)
    for (pk, name), ids in links.items():
        getattr(at_hand[pk], name).set(ids)


def _subject(row: Alteration) -> tuple[str, int]:
    return row.subject, row.subject_id


def _save(model: type[Tracked], records: list[Any], names: set[str]) -> None:
    if model is Place:
        for record in records:
            settle_place(record)
        return
    if issubclass(model, Record):
        for record in records:
            record.row_version += 1
            record.changed_at = timezone.now()
        names |= {"row_version", "changed_at"}
    if model is Holding:
        for record in records:
            derive(record)
        names |= {"grade_rank", "search_text"}
    manager: Any = getattr(model, "everything", model.objects)
    manager.bulk_update(records, sorted(names), batch_size=500)


def _put_back(model: Any, gone: Sequence[Alteration]) -> None:
    """Make again what was removed, under its own number."""
    if not gone:
        return
    if model is Receipt:
        raise CannotTakeBack(_("A paper was removed for good with it; it cannot come back."))
    fields = {name: model._meta.get_field(name) for name in columns(model)}
    made: list[Any] = []
    for row in gone:
        fresh = model(pk=row.row_id)
        for name, value in (row.before or {}).items():
            field: Any = fields[name]
            setattr(fresh, field.attname, field.to_python(value))
        made.append(fresh)
    model.objects.bulk_create(made)
