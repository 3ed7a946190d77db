"""The health address: may this process read its database and write its picture store?"""

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
    ok = _database_answers() and _store_takes_files()
    said = {"ok": ok, "room": "short" if is_short() else "enough"}
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


def _store_takes_files() -> bool:
    try:
        folder = nearest(Path(default_storage.path("")))
        return folder.is_dir() and os.access(folder, os.W_OK)
    except OSError:
        return False
