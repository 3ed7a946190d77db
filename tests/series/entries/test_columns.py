"""The table of columns against the models that keep them: lengths, decimals, choices."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import models

from series.entries import tables
from series.entries.columns import Column, columns
from series.models import (
    CoinType,
    Currency,
    CurrencyUnit,
    Denomination,
    Face,
    FaceMotif,
    Issue,
    Issuer,
    Legend,
    Mark,
    Mint,
    Motif,
    Pack,
    Person,
    PriceNote,
    Reference,
    Series,
    SeriesDenomination,
    Source,
    Variety,
)

KEPT_IN: dict[type, type[models.Model]] = {
    tables.PackEntry: Pack,
    tables.Source: Source,
    tables.IssuerEntry: Issuer,
    tables.CurrencyEntry: Currency,
    tables.Unit: CurrencyUnit,
    tables.PriceNote: PriceNote,
    tables.DenominationEntry: Denomination,
    tables.MintEntry: Mint,
    tables.PersonEntry: Person,
    tables.MotifEntry: Motif,
    tables.SeriesEntry: Series,
    tables.Rung: SeriesDenomination,
    tables.TypeEntry: CoinType,
    tables.FaceText: Face,
    tables.LegendText: Legend,
    tables.Shown: FaceMotif,
    tables.MarkText: Mark,
    tables.ReferenceText: Reference,
    tables.IssueEntry: Issue,
    tables.VarietyText: Variety,
}
COLUMNS = [
    (record, name, column)
    for record in KEPT_IN
    for name, column in columns(record).items()
    if (record, name) not in {(tables.DenominationEntry, "value"), (tables.FaceText, "designers"),
                              (tables.FaceText, "engravers")}
]  # fmt: skip


@pytest.mark.parametrize(
    ("record", "name", "column"),
    COLUMNS,
    ids=[f"{record.__name__}.{name}" for record, name, _column in COLUMNS],
)
def test_a_column_is_kept_as_the_table_says(record: type, name: str, column: Column) -> None:
    field: Any = KEPT_IN[record]._meta.get_field(name)
    if column.names:
        assert field.related_model is KEPT_IN[tables.ENTRIES[column.names]]
        assert field.many_to_many == (column.reader == "slugs")
    if "longest" in column.limits and not column.names:
        assert (field.max_length or 0) == column.limits["longest"]
    if "places" in column.limits:
        assert field.decimal_places == column.limits["places"]
        assert 10 ** (field.max_digits - field.decimal_places) >= column.limits["below"]
    if "choices" in column.limits:
        stored = {value for value, _words in field.choices if value}
        assert stored == set(column.limits["choices"])
        assert max(map(len, stored)) <= field.max_length
        if column.limits["default"]:
            assert column.limits["default"] in stored


def test_every_record_of_a_pack_is_held_against_its_model() -> None:
    records = {
        each
        for each in vars(tables).values()
        if isinstance(each, type) and hasattr(each, "__dataclass_fields__") and columns(each)
    }
    assert records - {tables.Entry} == set(KEPT_IN)
