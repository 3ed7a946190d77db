"""What was changed of a record as steps in words; names of other records as the viewer sees them.

Columns that follow from others are left out, and parts that were written again as they were.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from copy import copy
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.db.models import (
    DecimalField,
    Field,
    ForeignKey,
    JSONField,
    ManyToManyField,
    Model,
    QuerySet,
)
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime
from django.utils.translation import gettext_lazy as _

from catalogue import access
from catalogue.history import words
from catalogue.history.words import Step
from catalogue.members.requests import Viewer
from catalogue.models import Alteration, Holding, StatusChange
from series.dates.words import day_in_words
from series.forms import MONEY_PLACES
from series.text.words import plain

HOLDING = Holding._meta.label_lower
_STATUS = StatusChange._meta.label_lower
_HIDDEN = frozenset(
    {
        "content_type",
        "digest",
        "drafted",
        "file",
        "grade_rank",
        "height",
        "key",
        "lowest_rank",
        "marks",
        "pack",
        "path",
        "picture",
        "position",
        "size",
        "sort_value",
        "width",
    }
)
_LABELS = {
    "catalogue.holdingproblem": _("problem"),
    "catalogue.holdingreference": _("described in"),
    "catalogue.photo": _("photograph"),
    "catalogue.provenanceline": _("provenance"),
    "catalogue.receipt": _("paper"),
    "catalogue.reservation": _("promise"),
    "catalogue.statuschange": _("entry on its status"),
    "catalogue.stop": _("stop"),
    "series.facemotif": _("motif shown"),
    "series.faceperson": _("credit"),
    "series.issue": _("date"),
    "series.seriesdenomination": _("denomination"),
    "valuation.valuation": _("value"),
}
_SAYING = {
    "catalogue.photo": ("side",),
    "catalogue.reservation": ("wanted_by",),
    "catalogue.stop": ("kind", "heading"),
    "series.issue": ("shown", "mark_text"),
    "series.face": ("side",),
    "series.legend": ("text",),
    "series.currencyunit": ("name",),
}
_PARENTS = frozenset({"holding", "coin_type", "face", "currency", "series", "owner", "talk"})
_RELATED = {"cointype": ("denomination",), "seriesdenomination": ("denomination", "series")}
_SAID = 5
LINKS = (ForeignKey, ManyToManyField)


def model_of(label: str) -> type[Model] | None:
    """The model of a row; None where there is none of this name any more."""
    try:
        return apps.get_model(label)
    except (LookupError, ValueError):
        return None


class Names:
    """The texts of values in some alterations, with one query for each kind of record named."""

    def __init__(self, rows: Sequence[Alteration], viewer: Viewer) -> None:
        asked: dict[type[Model], set[Any]] = defaultdict(set)
        parts: dict[type[Model], set[int]] = defaultdict(set)
        for row in rows:
            model = model_of(row.row)
            if model is None:
                continue
            for name, value in ((row.before or {}) | (row.after or {})).items():
                field = _field(model, name)
                if isinstance(field, LINKS) and not _is_hidden(row, name):
                    asked[field.related_model] |= {
                        *_ids(value),
                        *_ids((row.before or {}).get(name)),
                    }
            if row.before is not None and row.after is not None and row.row != row.subject:
                parts[model].add(row.row_id)
        self._named = {
            model: {each.pk: str(each) for each in _along(access.nameable(model, viewer), ids)}
            for model, ids in asked.items()
        }
        self._parts = {
            model: {
                each["pk"]: self.saying(model, each)
                for each in model._base_manager.filter(pk__in=ids).values("pk", *_saying(model))
            }
            for model, ids in parts.items()
        }

    def text(self, model: type[Model], name: str, value: Any) -> str:
        """A value of a column, as a reader writes it."""
        field = _field(model, name)
        if value is None or value == "" or field is None:
            return ""
        if isinstance(field, ManyToManyField):
            named = self._named.get(field.related_model, {})
            return ", ".join(named.get(pk, words.NO_LONGER_SHOWN) for pk in _ids(value))
        if isinstance(field, ForeignKey):
            return self._named.get(field.related_model, {}).get(value, words.NO_LONGER_SHOWN)
        if field.choices:
            return str(dict(field.flatchoices).get(value, value))
        return _text(field, value)

    def saying(self, model: type[Model], values: dict[str, Any]) -> str:
        """What says which part of a record a row is."""
        names = [name for name in _saying(model) if values.get(name) not in (None, "", False)]
        return ", ".join(self.text(model, name, values[name]) for name in names)

    def part(self, model: type[Model], pk: int) -> str:
        return self._parts.get(model, {}).get(pk, "")


def _ids(value: Any) -> list[Any]:
    """The ids in the value of a link, to one or to many."""
    return value if isinstance(value, list) else [value]


def _is_hidden(row: Alteration, name: str) -> bool:
    """What follows from other columns; of a part also what it is a part of."""
    return name in _HIDDEN or (row.row != row.subject and name in _PARENTS)


def _along(rows: QuerySet[Any], ids: set[Any]) -> QuerySet[Any]:
    related = _RELATED.get(str(rows.model._meta.model_name), ())
    return rows.filter(pk__in=[pk for pk in ids if isinstance(pk, int)]).select_related(*related)


def _field(model: type[Model], name: str) -> Field[Any, Any] | ManyToManyField[Any, Any] | None:
    meta = model._meta
    fields: Iterable[Any] = (*meta.concrete_fields, *meta.many_to_many)
    return next((field for field in fields if field.name == name), None)


def _saying(model: type[Model]) -> tuple[str, ...]:
    """The columns that say which part of a record a row is: those named, or the first ones."""
    named = _SAYING.get(model._meta.label_lower)
    if named is not None:
        return named
    return tuple(
        field.name
        for field in model._meta.concrete_fields
        if not field.primary_key
        and field.name not in _HIDDEN | _PARENTS
        and not isinstance(field, JSONField)
    )[:_SAID]


def _text(field: Field[Any, Any], value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    if isinstance(field, DecimalField):
        return value if field.decimal_places == MONEY_PLACES else plain(Decimal(value))
    if field.get_internal_type() == "DateField":
        day: date | None = parse_date(str(value))
        return day_in_words(day) if day else str(value)
    if field.get_internal_type() == "DateTimeField":
        moment: datetime | None = parse_datetime(str(value))
        return day_in_words(timezone.localdate(moment)) if moment else str(value)
    return str(value)


# ---- steps ----
def steps_of(rows: Iterable[Alteration], names: Names) -> list[Step]:
    """What a deed did to one record, in the order in which it was done.

    A piece's status is told by the entry on it, where one was made with it.
    """
    kept = _without_rewritten(_links_as_one(rows), names)
    noted = any(row.row == _STATUS and row.before is None for row in kept)
    steps = [step for row in kept for step in _steps(row, names)]
    return [step for step in steps if not (noted and step.what == "status")]


def _links_as_one(rows: Iterable[Alteration]) -> list[Alteration]:
    """Links that were taken away and added one after the other, as one change of the column."""
    kept: list[Alteration] = []
    at: dict[tuple[str, int, str], int] = {}
    for row in rows:
        model, after = model_of(row.row), row.after or {}
        name = next(iter(after), "")
        if (
            row.before is None
            or model is None
            or not isinstance(_field(model, name), ManyToManyField)
        ):
            kept.append(row)
            continue
        place = at.setdefault((row.row, row.row_id, name), len(kept))
        if place == len(kept):
            kept.append(row)
        else:
            kept[place] = _joined(kept[place], row)
    return [row for row in kept if row.before is None or row.before != row.after]


def _joined(first: Alteration, last: Alteration) -> Alteration:
    whole = copy(first)
    whole.after = last.after
    return whole


def _steps(row: Alteration, names: Names) -> list[Step]:
    model = model_of(row.row)
    if model is None:
        return []
    label = str(_LABELS.get(row.row, model._meta.verbose_name))
    if row.before is not None and row.after is not None:
        steps = _changes(model, row, names)
        if row.row == row.subject:
            return steps
        part = names.part(model, row.row_id)
        return [words.of_part(label, part, step) for step in steps]
    if row.row == row.subject:
        return []
    saying = names.saying(model, row.before or row.after or {})
    if row.before is not None:
        return [words.removed(label, saying)]
    if row.row == _STATUS:
        return [Step(label, "", saying, saying)]
    return [words.added(label, saying)]


def _without_rewritten(rows: Iterable[Alteration], names: Names) -> list[Alteration]:
    """Without parts that went and were made again with the same words in one deed."""
    kept: list[Alteration] = []
    gone: dict[tuple[str, str], Alteration] = {}
    for row in rows:
        model = model_of(row.row)
        if model is None or (row.before is not None and row.after is not None):
            kept.append(row)
            continue
        said = (row.row, names.saying(model, row.before or row.after or {}))
        if row.after is None:
            gone[said] = row
        elif said in gone and row.row != row.subject:
            kept.remove(gone.pop(said))
            continue
        kept.append(row)
    return kept


def _changes(model: type[Model], row: Alteration, names: Names) -> list[Step]:
    before, after = row.before or {}, row.after or {}
    found: list[Step] = []
    for name in after:
        field = _field(model, name)
        if field is None or _is_hidden(row, name):
            continue
        if name == "deleted_at":
            found.append(words.binned("", after[name] is not None))
        elif name == "spare" and row.row == HOLDING:
            found.append(words.spare(bool(after[name])))
        else:
            texts = [names.text(model, name, each.get(name)) for each in (before, after)]
            if texts[0] != texts[1] or isinstance(field, LINKS):
                found.append(_step(row.row, name, field, texts))
    return found


def _step(label: str, name: str, field: Field[Any, Any], texts: Sequence[str]) -> Step:
    was, becomes = texts
    if label == HOLDING and name == "place":
        return words.moved(was, becomes)
    if label == HOLDING and name == "coin_type":
        return words.identified(was, becomes)
    return words.changed(str(field.verbose_name), was, becomes)
