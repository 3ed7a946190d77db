"""Which dates members hold, want or were promised: those cannot be left out of a type."""

from __future__ import annotations

from django.db.models import Q

from catalogue.models import Holding, Reservation, Want


def used_issues(ids: list[int]) -> set[int]:
    """Those of these issues that a member holds, wants or was promised."""
    used: set[int] = set()
    for records in (Holding.objects, Want.objects, Reservation.objects):
        found = records.filter(Q(issue__in=ids)).values_list("issue", flat=True)
        used |= set(found)
    return used
