"""What an upper floor adds to the holdings' pages, without being imported by them.

``settings.HOLDING_EXTENSIONS`` lists dotted paths of :class:`HoldingExtension` instances.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from django.utils.module_loading import import_string


@dataclass(frozen=True)
class ToDo:
    """A line of the front page: so many pieces, what about them, and the address that shows them.

    ``place`` says where it stands among the others, the lowest first.
    """

    place: int
    count: int
    text: str
    address: str
    note: str = ""


@dataclass(frozen=True)
class Happening:
    """A dated line in the life of a piece; ``row`` is the label and id of what it stands in."""

    on: date
    words: str
    row: tuple[str, int]


@dataclass(frozen=True)
class HoldingExtension:
    """One column an upper app adds to holdings; private to the owner when ``own_only``.

    ``annotate(queryset, viewer)`` adds what ``sort`` (an annotation's name) needs.
    ``cells(holdings, viewer)`` returns {holding id: text} for one page of holdings with a constant
    number of queries; ``export`` likewise, as plain figures. ``panel`` is a template shown on the
    holding's page, ``panel_context(holding, viewer)`` what it needs. ``check(holding)`` returns
    complaints about a record in words. ``life(holding, viewer)`` adds to what its owner is told of
    a piece's life. ``to_do(viewer)`` returns what the front page says of the
    viewer's own pieces.
    """

    key: str
    label: Any
    annotate: Callable[[QuerySet[Any], Any], QuerySet[Any]]
    sort: str
    cells: Callable[[list[Any], Any], dict[int, str]]
    export: Callable[[list[Any], Any], dict[int, dict[str, str]]]
    panel: str
    panel_context: Callable[[Any, Any], dict[str, Any]]
    own_only: bool = True
    check: Callable[[Any], list[str]] = field(default=lambda holding: [])
    to_do: Callable[[Any], list[ToDo]] = field(default=lambda viewer: [])
    life: Callable[[Any, Any], list[Happening]] = field(default=lambda holding, viewer: [])


@cache
def holding_extensions() -> tuple[HoldingExtension, ...]:
    return tuple(import_string(path) for path in settings.HOLDING_EXTENSIONS)
