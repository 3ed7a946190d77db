"""What has been worked out of an aim, kept in memory until a record changes.

Every member's front page and page of wants asks for it, and it changes only with the aim itself
or with a holding or type, which the running number of changes tells
(``catalogue/holdings/changes.py``). Within a transaction nothing is kept, since what it changed
may yet be undone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from catalogue.holdings.changes import current_number, may_be_undone
from catalogue.models import Aim, Holding
from catalogue.wants.gaps import GAP, UPGRADE, Completion, completion, filling

_AIMS = 1_000


@dataclass(frozen=True)
class Filling:
    """The spares of others, by id, that would fill a gap of an aim, or only better a piece."""

    fills: frozenset[int]
    betters: frozenset[int]


def kept_completion(aim: Aim) -> Completion:
    """As :func:`catalogue.wants.gaps.completion`; one query where nothing has changed."""
    if may_be_undone():
        return completion(aim)
    return _completion(aim, _said_of(aim), current_number())


def kept_fillings(aims: list[Aim]) -> list[Filling]:
    """Of each aim, which spares of the whole site would fill it; who may see them is not asked.

    One query where nothing has changed, else two more at most for each aim.
    """
    if may_be_undone():
        return [_work_out_filling(aim) for aim in aims]
    number = current_number() if aims else 0
    return [_filling(aim, _said_of(aim), number) for aim in aims]


def forget() -> None:
    """Drop what is kept."""
    _completion.cache_clear()
    _filling.cache_clear()


def _said_of(aim: Aim) -> str:
    """All that the record of an aim says: with another, another answer is kept."""
    return repr([getattr(aim, field.attname) for field in Aim._meta.concrete_fields])


@lru_cache(maxsize=_AIMS)
def _completion(aim: Aim, said: str, number: int) -> Completion:
    return completion(aim)


@lru_cache(maxsize=_AIMS)
def _filling(aim: Aim, said: str, number: int) -> Filling:
    return _work_out_filling(aim)


def _work_out_filling(aim: Aim) -> Filling:
    spares = Holding.objects.filter(spare=True, status=Holding.Status.HELD)
    spares = spares.exclude(owner=aim.owner_id)

    def ids(state: str) -> frozenset[Any]:
        return frozenset(filling(aim, state, spares).order_by().values_list("pk", flat=True))

    # Without a wanted grade nothing held is below it.
    return Filling(ids(GAP), frozenset() if aim.lowest_rank is None else ids(UPGRADE))
