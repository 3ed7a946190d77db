"""No change of a tracked model goes round its history, by its managers or in the source."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from django import forms
from django.apps import apps
from django.db.models import Model

from series.forms import RecordForm
from series.records import Record
from series.tracked import Tracked, TrackedQuerySet

OURS = ("series", "catalogue", "valuation")
MODELS = [model for model in apps.get_models() if model._meta.app_label in OURS]
NOT_TRACKED = {
    # what the site keeps for itself: doors, tasks, numbers
    "Change",
    "ChangeCounter",
    "Device",
    "HandedLink",
    "Notice",
    "RecoveryCode",
    "SecondFactor",
    "SiteFact",
    "Tally",
    "WorkerBeat",
    # the history itself, and who makes it
    "Alteration",
    "Deed",
    "Member",
    # frozen when they are made, or made anew
    "Schedule",
    "ScheduleLine",
    "ScheduleNumbers",
    "SchedulePhoto",
    "Sheet",
    # an archive on its way in; what it brings is told of each record
    "BroughtArchive",
    # a proposal says itself who decided and when; evidence is ranked again by tasks
    "Observation",
    "Proposal",
    # what was picked, not what is held
    "SavedSearch",
    "ShownPiece",
    # what a list was, row by row, and what became of it, is told by itself
    "ImportedList",
    "ImportedPiece",
    "ImportedRow",
    "ListMapping",
    # what a pack is: its load says what it changed
    "Pack",
    "Source",
}


def _written_by_hand(model: type[Model]) -> bool:
    return not model._meta.auto_created


def test_every_model_is_tracked_or_said_not_to_be() -> None:
    untracked = {
        model.__name__
        for model in MODELS
        if _written_by_hand(model) and not issubclass(model, Tracked)
    }
    assert untracked == NOT_TRACKED


@pytest.mark.parametrize("model", [m for m in MODELS if issubclass(m, Tracked)])
def test_every_manager_of_a_tracked_model_announces(model: type[Model]) -> None:
    querysets = {type(manager.get_queryset()) for manager in model._meta.managers}
    assert all(issubclass(each, TrackedQuerySet) for each in querysets), querysets
    through = [manager.name for manager in model._meta.managers]
    assert "objects" in through


def _calls(path: Path) -> list[str]:
    """Calls in a file that change rows and reach no manager of the model."""
    found = []
    for node in ast.walk(ast.parse(path.read_text())):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
            continue
        changing = node.func.attr in {"update", "bulk_update", "bulk_create", "delete"}
        raw = node.func.attr in {"_raw_delete", "_update", "save_base"}
        if raw or (changing and "_base_manager" in ast.unparse(node.func)):
            found.append(f"{path}:{node.lineno}")
    return found


def _sources() -> list[Path]:
    return [
        path
        for app in OURS
        for path in Path(app).rglob("*.py")
        if "migrations" not in path.parts and path.name != "tracked.py"
    ]


def test_no_source_changes_rows_behind_the_managers() -> None:
    """But for pieces that a list made: taken back, they go for good with their history."""
    going = Path("catalogue/importing/taking_back.py")
    assert [found for path in _sources() if path != going for found in _calls(path)] == []


def test_no_source_changes_rows_by_sql() -> None:
    words = ("UPDATE catalogue_", "DELETE FROM catalogue_", "INSERT INTO catalogue_")
    assert [str(path) for path in _sources() if any(w in path.read_text() for w in words)] == []


def test_only_what_is_loaded_goes_unannounced() -> None:
    using = {str(path) for path in _sources() if "unannounced" in path.read_text()}
    assert using == {
        "catalogue/checking/derived.py",
        "catalogue/demo/scenario.py",
        "catalogue/site/bin.py",
        "series/packs/load.py",
    }


def _forms(kind: type[forms.BaseModelForm]) -> set[type[forms.BaseModelForm]]:  # type: ignore[type-arg]
    found = set(kind.__subclasses__())
    return found.union(*(_forms(each) for each in found)) if found else found


def test_every_form_of_a_record_refuses_a_stale_edit() -> None:
    """Those that change a record; ``RecordForm`` itself is tested in tests/series."""
    import catalogue.urls  # noqa: F401 - every view with its forms

    of_records = {
        form
        for form in _forms(forms.ModelForm)
        if form.__module__.split(".")[0] in OURS
        and getattr(form, "_meta", None) is not None
        and form._meta.model is not None
        and issubclass(form._meta.model, Record)
    }
    assert len(of_records) > 15
    assert {form.__name__ for form in of_records if not issubclass(form, RecordForm)} == set()
