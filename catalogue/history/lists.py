"""What pages of the history show: the deeds done to one record, and what a member did lately."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.db.models import Count, Min, Q, QuerySet

from catalogue.history import words
from catalogue.history.life import named_doer
from catalogue.history.steps import Names, Step, model_of, steps_of
from catalogue.members.requests import Viewer
from catalogue.models import Alteration, Deed

_FEW = 40
"""A deed with more alterations than this is told by one of its records."""


@dataclass(frozen=True)
class Done:
    """A deed and what it did, in steps; ``made``: it made the record itself."""

    deed: Deed
    by: str
    steps: list[Step]
    made: bool = False


@dataclass(frozen=True)
class Told:
    """A deed in one sentence; ``records``: of how many records."""

    deed: Deed
    words: str
    records: int
    taken_back: bool


def done_to(rows: Iterable[Alteration], viewer: Viewer) -> list[Done]:
    """The deeds of these alterations, the newest first; ``rows`` come in that order."""
    found = list(rows)
    names = Names(found, viewer)
    done = []
    for deed, some in groupby(found, lambda row: row.deed):
        of_deed = list(some)[::-1]
        made = any(row.before is None and row.row == row.subject for row in of_deed)
        steps = steps_of(of_deed, names)
        if steps or made:
            done.append(Done(deed, named_doer(deed, viewer), steps, made))
    return done


def told(deeds: Sequence[Deed], viewer: Viewer) -> list[Told]:
    """These deeds in a sentence each, as far as they concern the viewer's own records."""
    own = Q(owner=viewer.pk) | Q(holding__owner=viewer.pk)
    rows = Alteration.objects.filter(own, deed__in=[deed.pk for deed in deeds]).order_by()
    counts = {each["deed"]: each for each in _counted(rows)}
    few = [pk for pk, each in counts.items() if each["rows"] <= _FEW]
    first = [each["first"] for each in counts.values()]
    samples = list(rows.filter(Q(deed__in=few) | Q(pk__in=first)).order_by("deed", "pk"))
    names, subjects = Names(samples, viewer), _names_of_subjects(samples)
    back = Deed.objects.filter(takes_back__in=deeds).values_list("takes_back_id", flat=True)
    taken_back = set(back)
    found = []
    for deed in deeds:
        if (each := counts.get(deed.pk)) is None:
            continue
        records = each["pieces"] + each["others"]
        of_deed = [row for row in samples if row.deed_id == deed.pk]
        sentence = _sentence(deed, of_deed, records, names, subjects)
        found.append(Told(deed, sentence, records, deed.pk in taken_back))
    return found


def _counted(rows: QuerySet[Alteration]) -> Any:
    return rows.values("deed").annotate(
        rows=Count("pk"),
        pieces=Count("holding", distinct=True),
        others=Count("subject_id", filter=Q(holding=None), distinct=True),
        first=Min("pk"),
    )


def _sentence(
    deed: Deed,
    rows: Sequence[Alteration],
    records: int,
    names: Names,
    subjects: dict[tuple[str, int], str],
) -> str:
    first = (rows[0].subject, rows[0].subject_id)
    of_first = [row for row in rows if (row.subject, row.subject_id) == first]
    lines = [step.words for step in steps_of(of_first, names)]
    if any(row.before is None and row.row == row.subject for row in of_first):
        lines.insert(0, words.entered(deed.why))
    elif deed.why:
        lines.insert(0, deed.why)
    return words.summed_up(records, subjects.get(first, words.NO_LONGER_SHOWN), lines, deed.why)


def _names_of_subjects(rows: Iterable[Alteration]) -> dict[tuple[str, int], str]:
    """What the records are called; one query for each kind."""
    of_label: dict[str, set[int]] = {}
    for row in rows:
        of_label.setdefault(row.subject, set()).add(row.subject_id)
    found = {}
    for label, ids in of_label.items():
        model: Any = model_of(label)
        if model is None:
            continue
        for record in getattr(model, "everything", model._base_manager).filter(pk__in=ids):
            found[(label, record.pk)] = str(record)
    return found
