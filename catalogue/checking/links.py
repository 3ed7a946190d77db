"""What the tables themselves must hold: every link leads to a row, rules and limits are kept.

SQLite keeps neither the length of texts nor the range of numbers, PostgreSQL does: what breaks a
limit here could not be moved there.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import connection
from django.db.backends.base.operations import BaseDatabaseOperations
from django.db.models import (
    CharField,
    CheckConstraint,
    Count,
    Exists,
    Field,
    Model,
    OuterRef,
    Q,
    UniqueConstraint,
)
from django.db.models.functions import Length

from catalogue.backup.carried import carried
from catalogue.checking import words


def wrong_links() -> Iterator[str]:
    """Every link to a row that is not there."""
    for model in carried(apps):
        for field in model._meta.concrete_fields:
            other = field.related_model
            if not field.is_relation or not isinstance(other, type):
                continue
            target = field.target_field.attname  # type: ignore[attr-defined]
            there = Exists(other._base_manager.filter(**{target: OuterRef(field.attname)}))
            given = model._base_manager.filter(**{f"{field.attname}__isnull": False})
            dangling = given.filter(~there).order_by("pk")
            for pk, value in dangling.values_list("pk", field.attname):
                named = f"{other.__name__} {value}"
                yield words.names_no_row(model.__name__, pk, field.name, named)


def broken_rules() -> Iterator[str]:
    """Every row that breaks a constraint of its model, or a limit of a column."""
    for model in carried(apps):
        for constraint in model._meta.constraints:
            if isinstance(constraint, CheckConstraint):
                yield from _breaking(model, constraint)
            elif isinstance(constraint, UniqueConstraint) and constraint.fields:
                yield from _twice(model, list(constraint.fields), constraint.condition)
        for field in model._meta.concrete_fields:
            if field.unique:
                yield from _twice(model, [field.name], None)
            for limit in (_too_long, _no_choice, _out_of_range):
                yield from limit(model, field)
    if connection.vendor == "sqlite":
        yield from _damage()


def _breaking(model: type[Model], constraint: CheckConstraint) -> Iterator[str]:
    for row in model._base_manager.exclude(constraint.condition).order_by("pk"):
        try:
            constraint.validate(model, row)
        except ValidationError:
            yield words.breaks_rule(model.__name__, row.pk, constraint.name)


def _twice(model: type[Model], names: list[str], condition: Q | None) -> Iterator[str]:
    rows = model._base_manager.filter(condition or Q(), **{f"{n}__isnull": False for n in names})
    found = rows.order_by().values(*names).annotate(times=Count("pk")).filter(times__gt=1)
    for values in found:
        said = ", ".join(str(values[name]) for name in names)
        yield words.twice(model.__name__, ", ".join(names), said)


def _too_long(model: type[Model], field: Field[Any, Any]) -> Iterator[str]:
    if not isinstance(field, CharField) or not field.max_length:
        return
    rows = model._base_manager.annotate(_length=Length(field.attname))
    longer = rows.filter(_length__gt=field.max_length).order_by("pk")
    for pk in longer.values_list("pk", flat=True):
        yield words.too_long(model.__name__, pk, field.name, field.max_length)


def _no_choice(model: type[Model], field: Field[Any, Any]) -> Iterator[str]:
    if not field.choices or field.is_relation:
        return
    known = [value for value, _said in field.flatchoices]
    if field.blank:
        known += field.empty_values[1:2]
    given = model._base_manager.filter(**{f"{field.attname}__isnull": False})
    other = given.exclude(**{f"{field.attname}__in": known}).order_by("pk")
    for pk, value in other.values_list("pk", field.attname):
        yield words.no_choice(model.__name__, pk, field.name, value)


def _out_of_range(model: type[Model], field: Field[Any, Any]) -> Iterator[str]:
    kind = field.get_internal_type()
    if kind not in BaseDatabaseOperations.integer_field_ranges:
        return
    low, high = BaseDatabaseOperations.integer_field_ranges[kind]
    outside = Q(**{f"{field.attname}__lt": low}) | Q(**{f"{field.attname}__gt": high})
    for pk in model._base_manager.filter(outside).order_by("pk").values_list("pk", flat=True):
        yield words.out_of_range(model.__name__, pk, field.name, low, high)


def _damage() -> Iterator[str]:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check(20)")
        for (said,) in cursor.fetchall():
            if said != "ok":
                yield words.damaged(said)
