"""Keys for records that are made on the site: from their names, unique among their kind."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection
from typing import Any

from django.db import models
from django.utils.text import slugify

LONGEST = 100


def key_from(*texts: str) -> str:
    """A slug of the texts; a fraction keeps its stroke as a hyphen (½ is 1-2), "record" if
    nothing of them can be written in ASCII letters or figures."""
    parts = []
    for text in texts:
        opened = unicodedata.normalize("NFKD", text).replace("⁄", "-").replace("/", "-")
        parts.append(slugify(opened))
    return "-".join(filter(None, parts))[:LONGEST].strip("-") or "record"


def free_key(model: type[models.Model], *texts: str, besides: Collection[str] = frozenset()) -> str:
    """A key of that name which no record of the model has, not even one in the bin.

    ``besides``: keys that are given already to what is not stored yet.
    """
    manager: Any = getattr(model, "everything", model._default_manager)
    key = base = key_from(*texts)
    taken = set(manager.filter(key__startswith=base).values_list("key", flat=True))
    number = 2
    while key in taken or key in besides:
        key, number = f"{base}-{number}", number + 1
    return key
