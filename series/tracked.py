"""Models whose every change is announced, also one that is made to many rows by one statement.

``save``, ``delete``, ``QuerySet.update``, ``bulk_update``, ``bulk_create`` and
``QuerySet.delete`` of a :class:`Tracked` model read what stood there before and send
``series.signals.rows_changed`` in the transaction that changes it. What goes by a cascade, and what
is loaded as it is (``save_base(raw=True)``), is not announced.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any, ClassVar

from django.db import models, transaction

from series.parcels import parcels
from series.signals import rows_changed

Plain = dict[str, Any]
_NEVER = frozenset({"row_version", "created_at", "changed_at", "loaded", "token_hash"})
_silent: ContextVar[bool] = ContextVar("silent", default=False)


@dataclass(frozen=True, slots=True)
class RowChange:
    """What a row was and is: columns that differ, as plain values. None: it was, or is, not there.

    ``subject``: label and id of the record it is a part of, or of itself; ``owner``: whose it is.
    Of a record that stands by itself nothing is said when it is made, since it can be looked at.
    """

    pk: int
    before: Plain | None
    after: Plain | None
    subject: tuple[str, int]
    owner: int | None


@contextmanager
def unannounced() -> Iterator[None]:
    """Within it nothing is announced: for what is loaded, and what is announced otherwise."""
    token = _silent.set(True)
    try:
        yield
    finally:
        _silent.reset(token)


def is_heard(model: type[models.Model]) -> bool:
    """Whether anybody is told of what changes."""
    return not _silent.get() and rows_changed.has_listeners(model)


class TrackedQuerySet(models.QuerySet[Any]):
    """Sets of rows that announce what is done to all of them."""

    model: Any

    def update(self, **values: Any) -> int:
        names = [name for name in columns(self.model) if name in values or f"{name}_id" in values]
        if not names or not is_heard(self.model):
            return super().update(**values)
        with transaction.atomic(savepoint=False):
            before = _rows(self, names)
            done = super().update(**values)
            after = _found(self.model, before, names)
            _announce(self.model, before, after)
        return done

    update.alters_data = True  # type: ignore[attr-defined]

    def bulk_update(
        self, objs: Iterable[Any], fields: Iterable[str], batch_size: int | None = None
    ) -> int:
        objs, fields = list(objs), list(fields)
        names = [name for name in columns(self.model) if name in fields]
        if not names or not is_heard(self.model):
            with unannounced():
                return super().bulk_update(objs, fields, batch_size)
        with transaction.atomic(savepoint=False):
            before = _found(self.model, [each.pk for each in objs], names)
            with unannounced():
                done = super().bulk_update(objs, fields, batch_size)
            _announce(self.model, before, _found(self.model, before, names))
        return done

    def bulk_create(self, objs: Iterable[Any], *args: Any, **kwargs: Any) -> list[Any]:
        if not is_heard(self.model) or kwargs.get("ignore_conflicts"):
            return super().bulk_create(objs, *args, **kwargs)
        with transaction.atomic(savepoint=False):
            made = super().bulk_create(objs, *args, **kwargs)
            names = _told_when_made(self.model)
            _announce(self.model, {}, {each.pk: _row_of(each, names) for each in made})
        return made

    def delete(self) -> tuple[int, dict[str, int]]:
        if not self.model.history_of or not is_heard(self.model):
            return super().delete()
        with transaction.atomic(savepoint=False):
            gone = _rows(self, columns(self.model))
            done = super().delete()
            _announce(self.model, gone, {})
        return done

    delete.alters_data = True  # type: ignore[attr-defined]
    delete.queryset_only = True  # type: ignore[attr-defined]


class TrackedManager(models.Manager.from_queryset(TrackedQuerySet)):  # type: ignore[misc]
    """The manager of what is part of a record."""


class Tracked(models.Model):
    """A row whose changes are announced.

    ``history_of``: paths to the record it is a part of, the first that leads anywhere; a row
    without any stands by itself. ``history_owner``: the path to the member whose it is, for what
    stands by itself. ``untracked``: columns that follow from others.
    """

    history_of: ClassVar[tuple[str, ...]] = ()
    history_owner: ClassVar[str] = ""
    untracked: ClassVar[frozenset[str]] = frozenset()

    objects: ClassVar[models.Manager[Any]] = TrackedManager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        model = type(self)
        if not is_heard(model):
            super().save(*args, **kwargs)
            return
        with transaction.atomic(savepoint=False):
            only = kwargs.get("update_fields")
            names = [each for each in columns(model) if only is None or each in only]
            new = self._state.adding
            before = {} if new or not names else _found(model, [self.pk], names)
            super().save(*args, **kwargs)
            if new:
                _announce(model, {}, {self.pk: _row_of(self, _told_when_made(model))})
            elif names:
                _announce(model, before, {self.pk: _row_of(self, names)})

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        model = type(self)
        if not self.history_of or not is_heard(model):
            return super().delete(*args, **kwargs)
        with transaction.atomic(savepoint=False):
            gone = _found(model, [self.pk], columns(model))
            done = super().delete(*args, **kwargs)
            _announce(model, gone, {})
        return done


# ---- rows as plain values ----
@cache
def columns(model: type[Tracked]) -> tuple[str, ...]:
    """The columns of a model whose changes are announced."""
    return tuple(
        field.name
        for field in model._meta.concrete_fields
        if not field.primary_key and field.name not in _NEVER | model.untracked
    )


def _told_when_made(model: type[Tracked]) -> tuple[str, ...]:
    return columns(model) if model.history_of else ()


def plain(field: Any, value: Any) -> Any:
    """A value of a column as JSON keeps it.

    A decimal is kept with the places of its column, so that equal amounts are equal texts.
    """
    if isinstance(value, models.Model):
        value = value.pk
    value = field.to_python(value)
    if isinstance(value, Decimal):
        return str(value.quantize(Decimal(1).scaleb(-field.decimal_places)))
    return value.isoformat() if isinstance(value, date) else value


def _paths(model: type[Tracked]) -> tuple[str, ...]:
    owner = (model.history_owner,) if model.history_owner else ()
    return (*model.history_of, *owner)


def _rows(found: models.QuerySet[Any], names: Sequence[str]) -> dict[int, Plain]:
    """The rows of a set by id: their columns, and where the paths lead."""
    asked = dict.fromkeys(("pk", *names, *_paths(found.model)))
    return {row["pk"]: row for row in found.order_by().values(*asked)}


def _found(model: type[Tracked], ids: Iterable[int], names: Sequence[str]) -> dict[int, Plain]:
    rows: dict[int, Plain] = {}
    for some in parcels(ids):
        rows |= _rows(model._base_manager.filter(pk__in=some), names)
    return rows


def _row_of(record: Tracked, names: Sequence[str]) -> Plain:
    """The same of a record at hand; what is worked out by the database is read again."""
    fields: dict[str, Any] = {name: record._meta.get_field(name) for name in names}
    row = {name: getattr(record, field.attname) for name, field in fields.items()}
    if any(hasattr(value, "resolve_expression") for value in row.values()):
        return _found(type(record), [record.pk], names)[record.pk]
    return row | {path: _walked(record, path) for path in _paths(type(record))}


def _walked(record: Any, path: str) -> Any:
    """The id at the end of a path of links; None where it ends before."""
    *through, last = path.split("__")
    for name in through:
        record = getattr(record, name)
        if record is None:
            return None
    return getattr(record, f"{last}_id")


def owner_and_subject(
    model: type[Tracked], ids: Iterable[int]
) -> dict[int, tuple[int | None, tuple[str, int]]]:
    """Of each of these rows whose it is, and the label and id of the record it is a part of."""
    return {
        pk: (
            row.get(model.history_owner) if model.history_owner else None,
            _subject(model, pk, row),
        )
        for pk, row in _found(model, ids, ()).items()
    }


# ---- announcing ----
def _announce(model: type[Tracked], before: dict[int, Plain], after: dict[int, Plain]) -> None:
    """Send what differs; a row that is on one side only was made or is gone."""
    changes = changes_between(model, before, after)
    if changes:
        rows_changed.send(model, changes=changes)


def changes_between(
    model: type[Tracked], before: dict[int, Plain], after: dict[int, Plain]
) -> list[RowChange]:
    """What differs between rows by their ids, for what is announced otherwise too."""
    return [
        change
        for pk in before | after
        if (change := _change(model, pk, before.get(pk), after.get(pk))) is not None
    ]


def row_of(record: Tracked) -> Plain:
    """The columns of a record at hand whose changes are announced, for ``changes_between``."""
    return _row_of(record, columns(type(record)))


def _change(
    model: type[Tracked], pk: int, before: Plain | None, after: Plain | None
) -> RowChange | None:
    row = after or before or {}
    subject = _subject(model, pk, row)
    owner = row.get(model.history_owner) if model.history_owner else None
    was, becomes = _plainly(model, before), _plainly(model, after)
    if was is not None and becomes is not None:
        differing = [name for name in becomes if was.get(name) != becomes[name]]
        was = {name: was.get(name) for name in differing}
        becomes = {name: becomes[name] for name in differing}
        return RowChange(pk, was, becomes, subject, owner) if differing else None
    if becomes is not None and subject == (model._meta.label_lower, pk):
        becomes = {}
    return RowChange(pk, _said(was), _said(becomes), subject, owner)


def _plainly(model: type[Tracked], row: Plain | None) -> Plain | None:
    if row is None:
        return None
    fields = {name: model._meta.get_field(name) for name in columns(model) if name in row}
    return {name: plain(field, row[name]) for name, field in fields.items()}


def _said(values: Plain | None) -> Plain | None:
    """Without the columns that say nothing."""
    if values is None:
        return None
    return {name: value for name, value in values.items() if value not in (None, "")}


def _subject(model: type[Tracked], pk: int, row: Plain) -> tuple[str, int]:
    """The record a row is a part of, by label and id; itself where it is of none."""
    for path in model.history_of:
        if row.get(path) is not None:
            return _end_of(model, path), row[path]
    return model._meta.label_lower, pk


@cache
def _end_of(model: type[models.Model], path: str) -> str:
    """The label of the model to which a path leads."""
    for name in path.split("__"):
        model = model._meta.get_field(name).related_model  # type: ignore[assignment]
    return model._meta.label_lower
