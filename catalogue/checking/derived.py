"""Columns that are worked out from other columns: compared with what they would be, or made anew.

``settings.DERIVED_COLUMNS`` lists dotted paths of tuples of :class:`Derived`, one for each app.
What a type implies is kept by ``series.types.derived``, with a check of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from django.conf import settings
from django.db.models import Model, Q
from django.utils.module_loading import import_string

from catalogue.checking import words
from catalogue.holdings import own_words
from catalogue.holdings.actions import search_text
from catalogue.holdings.changes import note_everything
from catalogue.holdings.grades import GradeError, rank
from catalogue.models import Aim, Holding, Place, Want
from series.models import Denomination
from series.records import everything_of
from series.text.folding import fold
from series.tracked import unannounced
from series.types.derived import derive_types, differing_types

BATCH = 500
Values = dict[str, Any]


@dataclass(frozen=True)
class Derived:
    """Columns of a model that follow from its record; ``computed`` says what they should be.

    ``computed`` takes rows of ``model``, with what ``related`` names, and returns values by id.
    """

    model: type[Model]
    columns: tuple[str, ...]
    computed: Callable[[Sequence[Any]], dict[int, Values]]
    related: tuple[str, ...] = ()
    only: Q = field(default_factory=Q)

    def differing(self) -> Iterator[tuple[Any, str, Any]]:
        """Each row whose column is not what it should be, with the column and what that is."""
        for rows in self._batches():
            computed = self.computed(rows)
            for row in rows:
                for name in self.columns:
                    if getattr(row, name) != computed[row.pk][name]:
                        yield row, name, computed[row.pk][name]

    def mend(self) -> int:
        """Make the columns what they should be; returns in how many rows they were not."""
        count = 0
        for rows in self._batches():
            computed, stale = self.computed(rows), []
            for row in rows:
                wanted = computed[row.pk]
                if any(getattr(row, name) != wanted[name] for name in self.columns):
                    stale.append(row)
                    for name in self.columns:
                        setattr(row, name, wanted[name])
            with unannounced():  # it follows from what was announced
                everything_of(self.model).bulk_update(stale, self.columns, batch_size=100)
            count += len(stale)
        return count

    def _batches(self) -> Iterator[list[Any]]:
        rows = self.model._base_manager.filter(self.only).select_related(*self.related)
        last = 0
        while batch := list(rows.filter(pk__gt=last).order_by("pk")[:BATCH]):
            last = batch[-1].pk
            yield batch


def rank_or_none(scale: str, code: str) -> int | None:
    try:
        return rank(scale, code) if code else None
    except GradeError:
        return None


def _of_holding(rows: Sequence[Holding]) -> dict[int, Values]:
    return {row.pk: {"grade_rank": _rank(row), "search_text": search_text(row)} for row in rows}


def _rank(row: Holding) -> int | None:
    sides = (row.grade_obverse, row.grade_reverse)
    graded = (row.grade,) if row.grade else sides
    ranks = [rank_or_none(row.grade_scale, code) for code in graded]
    return min((each for each in ranks if each is not None), default=None)


def _own_text(rows: Sequence[Holding]) -> dict[int, Values]:
    said = own_words.parts_of(Holding.everything.filter(pk__in=[row.pk for row in rows]))
    return {row.pk: {"own_text": fold(" ".join(said.get(row.pk, ())))} for row in rows}


def _paths(rows: Sequence[Place]) -> dict[int, Values]:
    """The names of a place and of all it stands in, the outermost first."""
    known = {row.pk: row for row in rows}
    ahead = {row.within_id for row in rows} - {None, *known}
    while ahead:
        found = Place.everything.in_bulk(list(ahead))
        known |= found
        ahead = {place.within_id for place in found.values()} - {None, *known}
    return {row.pk: {"path": _path(row, known)} for row in rows}


def _path(place: Place, known: dict[int, Place]) -> str:
    names, seen = [place.name], {place.pk}
    above = place.within_id
    while above is not None and above not in seen and above in known:
        seen.add(above)
        names.append(known[above].name)
        above = known[above].within_id
    return ", ".join(reversed(names))


def _lowest_rank(rows: Sequence[Any]) -> dict[int, Values]:
    return {
        row.pk: {"lowest_rank": rank_or_none(row.grade_scale, row.lowest_grade)} for row in rows
    }


def _sort_values(rows: Sequence[Denomination]) -> dict[int, Values]:
    return {
        row.pk: {"sort_value": row.value_numerator / (row.value_denominator or 1)} for row in rows
    }


CATALOGUE = (
    Derived(Denomination, ("sort_value",), _sort_values),
    # The path of a place in the bin is made anew when it is taken out.
    Derived(Place, ("path",), _paths, only=Q(deleted_at=None)),
    Derived(Holding, ("grade_rank", "search_text"), _of_holding, ("issue",)),
    Derived(Holding, ("own_text",), _own_text),
    Derived(Aim, ("lowest_rank",), _lowest_rank),
    Derived(Want, ("lowest_rank",), _lowest_rank),
)


@cache
def derived_columns() -> tuple[Derived, ...]:
    return tuple(each for path in settings.DERIVED_COLUMNS for each in import_string(path))


def differences() -> Iterator[str]:
    """Every derived column that is not what its record says, in a sentence with the records."""
    found: dict[tuple[str, str], list[int]] = {}
    for each in differing_types():
        found.setdefault(("CoinType", each.name), []).append(each.coin_type.pk)
    for derived in derived_columns():
        for row, name, _value in derived.differing():
            found.setdefault((derived.model.__name__, name), []).append(row.pk)
    for (kind, name), numbers in found.items():
        yield words.differs(kind, name, numbers)


def made_anew() -> int:
    """Work all of them out anew; within a transaction. Returns how many rows were not right."""
    count = derive_types() + sum(derived.mend() for derived in derived_columns())
    note_everything()
    return count
