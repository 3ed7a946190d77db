"""Stored pictures and papers: each there and as it was stored, and none that no record names."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

from django.core.files.storage import default_storage
from PIL import Image, UnidentifiedImageError

from catalogue.checking import words
from catalogue.site.stored_files import Naming, is_made_again, namings, picture_files, unnamed_files
from series.picture.pictures import FULL, picture_name

CHUNK = 1024 * 1024


def wrong_files() -> Iterator[str]:
    seen: set[str] = set()
    for naming in namings():
        for pk, value in naming.rows.order_by("pk").values_list("pk", naming.column).iterator():
            if value and value not in seen:
                seen.add(value)
                yield from _wrong(naming, pk, value)
    yield from (words.file_of_nobody(name) for name in unnamed_files())


def _wrong(naming: Naming, pk: int, value: str) -> Iterator[str]:
    kind = naming.model.__name__
    for name in naming.files(value):
        if is_made_again(name) and not default_storage.exists(name):
            continue
        try:
            digest = _digest(name)
            if naming.files is picture_files:
                with default_storage.open(name, "rb") as file, Image.open(file) as image:
                    image.load()
        except FileNotFoundError:
            yield words.file_missing(kind, pk, name)
        except (UnidentifiedImageError, SyntaxError):
            yield words.file_altered(kind, pk, name)
        except OSError as error:
            if error.errno is None:  # of a picture that ends too early
                yield words.file_altered(kind, pk, name)
            else:
                yield words.file_unreadable(kind, pk, name, error.strerror)
        else:
            expected = _expected(naming, name, value)
            if expected and digest != expected:
                yield words.file_altered(kind, pk, name)


def _expected(naming: Naming, name: str, value: str) -> str:
    """The SHA-256 a file should have, where its name says it; the smaller sizes of a picture are
    only looked at."""
    if naming.files is picture_files:
        return value if name == picture_name(value, FULL) else ""
    last = value.rsplit("/", 1)[-1]
    return last if len(last) == 64 and set(last) <= set("0123456789abcdef") else ""


def _digest(name: str) -> str:
    found = hashlib.sha256()
    with default_storage.open(name, "rb") as file:
        while data := file.read(CHUNK):
            found.update(data)
    return found.hexdigest()
