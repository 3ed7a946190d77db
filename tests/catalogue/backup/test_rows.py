"""Rows as plain JSON: whatever a column can hold comes back as it was."""

from __future__ import annotations

import json
import uuid
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import models
from hypothesis import given
from hypothesis import strategies as st

from catalogue.backup.carried import carried
from catalogue.backup.rows import RowRefused, as_plain, from_plain, put_back, stored_fields
from catalogue.models import Holding
from series.models import Motif

TEXT = st.text(st.characters(exclude_categories=("Cs",)))
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | TEXT,
    lambda inner: st.lists(inner) | st.dictionaries(TEXT, inner),
    max_leaves=8,
)  # fmt: skip
VALUES: dict[type[models.Field[Any, Any]], st.SearchStrategy[Any]] = {
    models.BooleanField: st.booleans(),
    models.DateTimeField: st.datetimes(datetime(1, 1, 2), datetime(9999, 12, 30)).map(
        lambda moment: moment.replace(tzinfo=UTC)
    ),
    models.DateField: st.dates(date(1, 1, 1)),
    models.TimeField: st.times(),
    models.DurationField: st.timedeltas(),
    models.FloatField: st.floats(allow_nan=False, allow_infinity=False),
    models.IntegerField: st.integers(-(2**63), 2**63 - 1),
    models.JSONField: JSON,
    models.UUIDField: st.uuids(),
    models.BinaryField: st.binary().map(memoryview),
    models.CharField: TEXT,
    models.TextField: TEXT,
}


def _values(field: models.Field[Any, Any]) -> st.SearchStrategy[Any]:
    """Values that a column of this kind may hold, and none where it may be empty."""
    kind: Any = field.target_field if field.is_relation else field
    if isinstance(kind, models.DecimalField):
        most = Decimal(10) ** (kind.max_digits - kind.decimal_places) - 1
        found = st.decimals(-most, most, places=kind.decimal_places)
    else:
        found = next(VALUES[each] for each in type(kind).__mro__ if each in VALUES)
    return st.none() | found if field.null else found


# Kinds that no model has yet must be carried too.
class Odd(models.Model):
    moment = models.TimeField()
    lasted = models.DurationField(null=True)
    number = models.UUIDField(default=uuid.uuid4)
    data = models.BinaryField()

    class Meta:
        app_label = "tests"


def _models() -> list[type[models.Model]]:
    return [*carried(apps), Odd]


@given(data=st.data())
def test_whatever_a_column_holds_comes_back_as_it_was(data: st.DataObject) -> None:
    fields = stored_fields(data.draw(st.sampled_from(_models())))
    values = [data.draw(_values(field), field.name) for field in fields]
    line = json.dumps(as_plain(fields, values), ensure_ascii=False)
    back = from_plain(fields, json.loads(line))
    for field, value in zip(fields, values, strict=True):
        assert back[field.attname] == value
        assert isinstance(back[field.attname], type(value)) or isinstance(value, memoryview)


def test_every_part_of_a_second_is_kept() -> None:
    moment = datetime(2026, 5, 3, 10, 0, 0, 123456, tzinfo=UTC)
    (field,) = [field for field in stored_fields(Holding) if field.name == "created_at"]
    assert as_plain([field], [moment]) == {"created_at": "2026-05-03T10:00:00.123456+00:00"}


def test_exact_numbers_are_texts() -> None:
    (field,) = [field for field in stored_fields(Holding) if field.name == "price"]
    assert as_plain([field], [Decimal("12.50")]) == {"price": "12.50"}


THEN = "2019-01-01T00:00:00+00:00"
CRAB = {
    "id": 7, "row_version": 3, "created_at": THEN, "changed_at": THEN, "deleted_at": None,
    "key": "crab", "pack_id": None, "loaded": {}, "withdrawn": False, "citations": [],
    "name": "crab", "note": "",
}  # fmt: skip


def test_what_was_stored_is_not_stored_as_of_now(db: None) -> None:
    """Neither the moment of the last change nor the version of the row is touched."""
    assert put_back(Motif, [CRAB]) == 1
    found = Motif.objects.get(pk=7)
    assert (found.changed_at.isoformat(), found.row_version) == (THEN, 3)


def test_a_value_of_another_kind_is_read_or_refused(db: None) -> None:
    """SQLite would store a word in a column of numbers."""
    put_back(Motif, [{**CRAB, "row_version": "4", "withdrawn": 1}])
    found = Motif.objects.values_list("row_version", "withdrawn").get(pk=7)
    assert found == (4, True)
    with pytest.raises(ValidationError, match="must be an integer"):
        put_back(Motif, [{**CRAB, "id": 8, "row_version": "three"}])


@pytest.mark.django_db(transaction=True)
def test_a_row_that_does_not_fit_is_named(member: Any, coinage: Any) -> None:
    fields = stored_fields(Holding)
    held = Holding.objects.create(owner=member, accession="1", coin_type=coinage.type)
    row = as_plain(fields, [getattr(held, field.attname) for field in fields])
    with pytest.raises(RowRefused, match=r"row of catalogue.Holding.* 8 to 8"):
        put_back(Holding, [{**row, "id": 8}])
