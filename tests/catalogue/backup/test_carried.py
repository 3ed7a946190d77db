"""Every table is in a backup, or is left out for a reason that is written down."""

from __future__ import annotations

from django.apps import apps
from django.db import connection

from catalogue.backup.carried import (
    LEFT_OUT,
    applied,
    apps_at,
    carried,
    is_left_out,
    latest,
    unknown,
)
from catalogue.checking.links import wrong_links

OURS = {"series", "catalogue", "valuation"}


def test_every_table_is_carried_or_named_as_left_out() -> None:
    """What is neither is of an app that was added: carry it or say why not."""
    for model in apps.get_models(include_auto_created=True):
        if model._meta.managed and not model._meta.proxy:
            is_ours = model._meta.app_label in OURS
            assert is_ours or is_left_out(model), f"{model._meta.label} is neither"


def test_what_is_left_out_is_there_and_has_a_reason() -> None:
    known = {model._meta.label_lower for model in apps.get_models(include_auto_created=True)}
    known |= {model._meta.app_label for model in apps.get_models()}
    assert set(LEFT_OUT) <= known
    assert all(LEFT_OUT.values())


def test_no_row_of_a_backup_names_one_that_is_left_out() -> None:
    inside = set(carried(apps))
    for model in inside:
        for field in model._meta.concrete_fields:
            if field.is_relation:
                assert field.related_model in inside, f"{model._meta.label}.{field.name}"


def test_each_table_comes_after_those_its_rows_name() -> None:
    order = [model._meta.label for model in carried(apps)]
    for first, then in (
        ("catalogue.Member", "catalogue.Holding"),
        ("series.CoinType", "series.Issue"),
        ("series.Issue", "catalogue.Holding"),
        ("series.Mark", "series.Issue_marks"),
        ("catalogue.Holding", "valuation.Valuation"),
    ):
        assert order.index(first) < order.index(then)


def test_the_tables_of_the_database_are_those_of_its_migrations(db: None) -> None:
    nodes = applied(connection)
    then = {model._meta.label for model in carried(apps_at(connection, nodes))}
    assert then == {model._meta.label for model in carried(apps)}
    assert dict(latest(nodes))["series"] >= "0001_initial"
    assert unknown([*nodes, ("series", "9999_later")]) == [("series", "9999_later")]
    assert list(wrong_links()) == []


def test_an_empty_site_has_no_row_that_a_backup_carries(db: None) -> None:
    """Else no site would be empty enough to be restored into."""
    assert [model for model in carried(apps) if model._base_manager.exists()] == []
