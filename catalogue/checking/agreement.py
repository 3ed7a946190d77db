"""Whether records that speak of each other agree, and what upper floors say of holdings."""

from __future__ import annotations

from collections.abc import Iterator

from django.db.models import F, Max

from catalogue.checking import words
from catalogue.extensions import HoldingExtension, holding_extensions
from catalogue.models import Change, ChangeCounter, Holding, Place


def disagreements() -> Iterator[str]:
    every = Holding.everything.order_by("pk")
    for pk in _ids(every.exclude(issue=None).exclude(issue__coin_type=F("coin_type"))):
        yield words.issue_of_another_type(pk)
    for pk in _ids(every.exclude(variety=None).exclude(variety__issue=F("issue"))):
        yield words.variety_of_another_issue(pk)
    for pk in _ids(every.exclude(place=None).exclude(place__owner=F("owner"))):
        yield words.place_of_another("Holding", pk)
    places = Place.everything.order_by("pk")
    for pk in _ids(places.exclude(within=None).exclude(within__owner=F("owner"))):
        yield words.place_of_another("Place", pk)
    yield from _circles()
    last = Change.objects.aggregate(last=Max("n"))["last"]
    if last is not None and ChangeCounter.objects.filter(pk=1, n=last).count() != 1:
        yield words.counted_wrongly()
    yield from _of_extensions()


def _ids(rows: object) -> list[int]:
    return list(rows.values_list("pk", flat=True))  # type: ignore[attr-defined]


def _circles() -> Iterator[str]:
    within = dict(Place.everything.exclude(within=None).values_list("pk", "within"))
    for pk in within:
        above, steps = within.get(pk), 0
        while above is not None and above != pk and steps <= len(within):
            above, steps = within.get(above), steps + 1
        if above == pk:
            yield words.place_in_itself(pk)


def _of_extensions() -> Iterator[str]:
    usual = HoldingExtension.__dataclass_fields__["check"].default
    checks = [each.check for each in holding_extensions() if each.check is not usual]
    for holding in Holding.everything.order_by("pk").iterator() if checks else ():
        for check in checks:
            yield from (f"Holding {holding.pk}: {said}" for said in check(holding))
