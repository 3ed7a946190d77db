"""Which dates and varieties members hold, want or were promised: those stay part of a type.

A curator is told why. Who is none is told so of what they may see; that others have something
that they keep to themselves is a reason that may not be given, so none is. That a date stays at
all may still be taken for a sign that somebody has it: a date that nobody has is left out when its
type's maker leaves it out, and the two could only be answered alike if no maker could mend a date.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django.db.models import QuerySet

from catalogue import access
from catalogue.members.requests import Viewer
from catalogue.models import Holding, Reservation, Want
from series.models import Issue, Variety

Part = Issue | Variety


def why_they_stay(parts: Sequence[Part], viewer: Viewer, *, told: str, untold: str) -> str:
    """What is said of those of these parts that are used, or "" where none is.

    ``told`` gives the reason and ``untold`` gives none; each has a place for the ``%(names)s``.
    """
    used = _used(parts, (Holding.objects.all(), Want.objects.all(), Reservation.objects.all()))
    known = used
    if used and not access.may_curate(viewer):
        seen = (access.visible_holdings, access.visible_wants, access.reservations_of)
        known = _used(parts, [rule(viewer) for rule in seen])
    said = ((told, used & known), (untold, used - known))
    return " ".join(
        words % {"names": ", ".join(str(part) for part in parts if part.pk in some)}
        for words, some in said
        if some
    )


def _used(parts: Sequence[Part], records: Iterable[QuerySet[Any]]) -> set[int]:
    """The ids of the parts that any of these records name."""
    issues = [part.pk for part in parts if isinstance(part, Issue)]
    varieties = [part.pk for part in parts if isinstance(part, Variety)]
    used: set[int] = set()
    for rows in records:
        used |= set(rows.filter(issue__in=issues).values_list("issue", flat=True))
        if rows.model is Holding:
            used |= set(rows.filter(variety__in=varieties).values_list("variety", flat=True))
    return used
