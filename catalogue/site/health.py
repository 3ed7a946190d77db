"""The health address: may this process read its database and write its picture store?

A store that is no folder of this machine is not asked, since each question may cost something:
it is then said that this is not known.
"""

from __future__ import annotations

import os
from pathlib import Path

from django.contrib.auth.decorators import login_not_required
from django.core.files.storage import default_storage
from django.db import Error, connection
from django.http import HttpRequest, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from catalogue.backup import shelf
from catalogue.site.disk_space import is_short, nearest


@login_not_required
@never_cache
@require_safe
def health(request: HttpRequest) -> JsonResponse:
    takes_files = _store_takes_files()
    ok = _database_answers() and takes_files is not False
    said: dict[str, bool | str] = {"ok": ok, "room": "short" if is_short() else "enough"}
    if takes_files is None:
        said["pictures"] = "not known"
    if ok:
        said["backup"] = "old" if shelf.is_old() else "recent"
    return JsonResponse(said, status=200 if ok else 503)


def _database_answers() -> bool:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
            return cursor.fetchone() == (1,)
    except Error:
        return False


def _store_takes_files() -> bool | None:
    """None where the pictures lie in no folder, so that it is not known."""
    try:
        folder = nearest(Path(default_storage.path("")))
        return folder.is_dir() and os.access(folder, os.W_OK)
    except NotImplementedError:
        return None
    except OSError:
        return False
