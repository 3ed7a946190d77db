"""Which files in the storage which records name, so that none is deleted that is still needed.

Files are shared: the same picture is stored once for all records that hold it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta
from functools import cache
from pathlib import Path

from django.conf import settings
from django.core.files.storage import default_storage
from django.db.models import Model, QuerySet
from django.utils import timezone
from django.utils.module_loading import import_string

from catalogue.models import BroughtArchive, ImportedList, Photo, Receipt, Sheet
from series.models import Face
from series.picture.pictures import FULL, PRINTED, SIZES, picture_name


def picture_files(digest: str) -> list[str]:
    return [picture_name(digest, size) for size in (*SIZES, FULL, PRINTED)]


def is_made_again(name: str) -> bool:
    """Whether a file is made when it is asked for, so that it may be lacking."""
    return name.endswith(f"-{PRINTED}.jpg")


def _single(name: str) -> list[str]:
    return [name]


@dataclass(frozen=True)
class Naming:
    """A column that names files, and the files of a value; what is in the bin names them too."""

    model: type[Model]
    column: str
    files: Callable[[str], list[str]]

    @property
    def rows(self) -> QuerySet[Model]:
        return self.model._base_manager.all()


NAMINGS = (
    Naming(Photo, "digest", picture_files),
    Naming(Face, "picture", picture_files),
    Naming(Receipt, "file", _single),
    Naming(Sheet, "file", _single),
    Naming(ImportedList, "file", _single),
    Naming(ImportedList, "pictures", _single),
    Naming(BroughtArchive, "file", _single),
)


@cache
def namings() -> tuple[Naming, ...]:
    """All columns that name files, those of upper floors (``settings.FILE_NAMINGS``) included."""
    return (*NAMINGS, *(import_string(path) for path in settings.FILE_NAMINGS))


def names_files(model: type[Model]) -> bool:
    return any(naming.model is model for naming in namings())


Named = set[tuple[str, bool]]
"""Values of naming columns, each with whether it stands for the sizes of a picture."""


def named_by(rows: Iterable[Model]) -> Named:
    """What these records name."""
    return {
        (getattr(row, naming.column), naming.files is picture_files)
        for row in rows
        for naming in namings()
        if isinstance(row, naming.model) and getattr(row, naming.column)
    }


def delete_unnamed(named: Named) -> int:
    """Delete the files of these values that no record names any more; returns how many.

    Call it after the transaction that removed the records was committed. A file that cannot be
    deleted now (open on Windows) stays and harms nothing.
    """
    unnamed: list[str] = []
    for value, is_picture in sorted(named):
        files = picture_files if is_picture else _single
        if not _is_named(value, files):
            unnamed += files(value)
    return sum(_delete(name) for name in unnamed)


def _is_named(value: str, files: Callable[[str], list[str]]) -> bool:
    return any(
        naming.rows.filter(**{naming.column: value}).exists()
        for naming in namings()
        if naming.files is files
    )


def _delete(name: str) -> bool:
    """Whether it was there and could be deleted; one that is open elsewhere stays."""
    try:
        if not default_storage.exists(name):
            return False
        default_storage.delete(name)
    except OSError:
        return False
    return True


YOUNGEST = timedelta(days=1)
"""A file that no record names may be of a form that is being sent; a day later it is not."""


def unnamed_files(*, of_any_age: bool = False) -> list[str]:
    """Files in the storage, older than a day, that no record names: what was broken off left them.

    One query a naming column; every file is looked at once.
    """
    named = {
        name
        for naming in namings()
        for value in naming.rows.order_by().values_list(naming.column, flat=True).distinct()
        if value
        for name in naming.files(value)
    }
    before = timezone.now() - YOUNGEST
    return sorted(
        name
        for name in _all_files()
        if name not in named and (of_any_age or default_storage.get_modified_time(name) < before)
    )


def delete_unnamed_files() -> int:
    """Delete them; returns how many. One that is open elsewhere stays until the next time."""
    return sum(_delete(name) for name in unnamed_files())


READ_WITHIN = timedelta(hours=1)


def delete_left_uploads() -> int:
    """Delete uploads that a server was killed over; returns how many."""
    before = (timezone.now() - READ_WITHIN).timestamp()
    deleted = 0
    for upload in Path(settings.FILE_UPLOAD_TEMP_DIR).glob("*.upload*"):
        with suppress(OSError):  # gone already, or open elsewhere
            if upload.stat().st_mtime < before:
                upload.unlink()
                deleted += 1
    return deleted


def _all_files(folder: str = "") -> Iterator[str]:
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return
    yield from (f"{folder}{name}" for name in files)
    for name in folders:
        yield from _all_files(f"{folder}{name}/")
