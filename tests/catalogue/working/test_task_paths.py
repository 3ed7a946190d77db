"""Tasks that wait while the site is brought up to date are done by the names they have now."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest
from django.apps import apps
from django.db import connection
from django.utils.module_loading import import_string
from django_tasks_db.models import DBTaskResult

from catalogue.models import Member
from catalogue.printing.tasks import draw_sheet

paths = import_module("catalogue.migrations.0011_task_paths")


@pytest.mark.parametrize("new", paths.MOVED.values())
def test_each_new_name_is_a_task(new: str) -> None:
    assert import_string(new).module_path == new


def test_a_waiting_task_is_found_by_its_new_name(member: Member) -> None:
    asked = draw_sheet.enqueue(1)
    waiting: Any = DBTaskResult.objects.filter(id=asked.id)
    waiting.update(task_path="catalogue.printing.asking.draw_sheet")
    paths.renamed(paths.MOVED)(apps, connection.schema_editor())
    assert waiting.get().task_path == "catalogue.printing.tasks.draw_sheet"
