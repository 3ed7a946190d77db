"""What can be done to holdings: number, derive, split, join, copy, dispose of them.

Each function is one transaction; it raises HoldingError with a sentence for the page.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.holdings.changes import note_holdings
from catalogue.holdings.grades import GradeError, grade
from catalogue.members.accession import PatternRefused, accession_number
from catalogue.models import (
    Holding,
    HoldingProblem,
    Member,
    Place,
    Reservation,
    StatusChange,
)
from catalogue.signals import lot_split, lots_joining
from series.parcels import parcels
from series.text.folding import fold


class HoldingError(ValueError):
    """What was asked cannot be done; the message says what to do."""


@dataclass(frozen=True)
class Habits:
    """What a member entered last, offered for the next piece."""

    scale: str
    visibility: str


def habits_of(member: Member) -> Habits:
    """The grading scale and visibility of the newest of a member's holdings. One query."""
    last = (
        Holding.objects.filter(owner=member)
        .order_by("-pk")
        .values_list("grade_scale", "visibility")
        .first()
    )
    return Habits(*(last or (Holding.Scale.BRITISH.value, Holding.Visibility.CLUB.value)))


def derive(holding: Holding) -> None:
    """Set the grade's rank and the folded search text from what the record says."""
    codes = (holding.grade, holding.grade_obverse, holding.grade_reverse)
    try:
        whole, *sides = [grade(holding.grade_scale, code) if code else None for code in codes]
    except GradeError as error:
        raise HoldingError(str(error)) from error
    tidy = [found.code if found else "" for found in (whole, *sides)]
    holding.grade, holding.grade_obverse, holding.grade_reverse = tidy
    ranks = [found.rank for found in ([whole] if whole else sides) if found]
    holding.grade_rank = min(ranks, default=None)
    holding.search_text = search_text(holding)


def search_text(holding: Holding) -> str:
    """The words, folded, by which all who may see the holding find it."""
    issue = holding.issue
    parts = [
        holding.accession,
        holding.title,
        holding.note,
        holding.date_reading,
        issue.label if issue is not None else "",
        str(issue.struck_from) if issue is not None and issue.struck_from else "",
    ]
    return fold(" ".join(part for part in parts if part))


def search_texts_anew(holdings: QuerySet[Holding]) -> None:
    """Make the search texts of holdings what they should be, after dates of types were changed."""
    dated = holdings.exclude(issue=None).select_related("issue")
    for some in parcels(dated.order_by("pk").values_list("pk", flat=True)):
        stale = []
        for holding in dated.filter(pk__in=some):
            text = search_text(holding)
            if text != holding.search_text:
                holding.search_text = text
                stale.append(holding)
        Holding.everything.bulk_update(stale, ["search_text"], batch_size=100)


def next_accessions(owner: Member, count: int = 1) -> list[str]:
    """The next free accession numbers by the owner's pattern; what is in the bin keeps its own."""
    marker = 10**6 + 1
    year = timezone.localdate().year
    try:
        shown = accession_number(owner.accession_pattern, year, marker)
    except PatternRefused as refused:
        raise HoldingError(
            _("Write the pattern with {year} and {n}, such as {year}.{n:03}.")
        ) from refused
    before = shown.split(str(marker))[0]
    shape = re.compile(re.escape(shown).replace(str(marker), r"0*(\d+)"))
    taken = Holding.everything.filter(owner=owner, accession__startswith=before)
    found = map(shape.fullmatch, taken.values_list("accession", flat=True))
    highest = max((int(each[1]) for each in found if each), default=0)
    pattern = owner.accession_pattern
    return [accession_number(pattern, year, highest + k) for k in range(1, count + 1)]


def lock_numbers(owner: Member) -> None:
    """Let nobody else number a piece of this owner before the transaction ends."""
    Member.objects.select_for_update(no_key=True).get(pk=owner.pk)


def take_accessions(owner: Member, count: int = 1) -> list[str]:
    """The next free numbers, for pieces that are saved in the same transaction."""
    lock_numbers(owner)
    return next_accessions(owner, count)


@transaction.atomic
def split(holding: Holding, pieces: int) -> Holding:
    """Take ``pieces`` out of a lot into a new holding with its own number."""
    if not 0 < pieces < holding.quantity:
        raise HoldingError(
            _("The lot has %(n)d pieces; take out from 1 to %(most)d.")
            % {"n": holding.quantity, "most": holding.quantity - 1}
        )
    share = None
    if holding.price is not None:
        share = (holding.price * pieces / holding.quantity).quantize(Decimal("0.01"))
    taken = copy(holding, quantity=pieces, price=share)
    holding.quantity -= pieces
    if share is not None and holding.price is not None:
        holding.price -= share
    holding.save()
    lot_split.send(Holding, holding=holding, taken=taken)
    return taken


@transaction.atomic
def copy(holding: Holding, *, quantity: int | None = None, price: Decimal | None = None) -> Holding:
    """A new holding like this one, with a number of its own; photographs stay with the first."""
    fresh = Holding.objects.get(pk=holding.pk)
    children: list[Any] = [*holding.problems.all(), *holding.provenance.all()]
    fresh.pk = None
    fresh._state.adding = True
    fresh.row_version = 1
    fresh.accession = take_accessions(holding.owner)[0]
    fresh.quantity = holding.quantity if quantity is None else quantity
    fresh.price = price
    derive(fresh)
    fresh.save(force_insert=True)
    for child in children:
        child.pk = None
        child._state.adding = True
        child.holding = fresh
        child.save()
    note_holdings([fresh.pk])
    return fresh


@transaction.atomic
def join(holdings: Iterable[Holding]) -> Holding:
    """Make one lot of several like it; the first keeps its number, the others go to the bin.

    Photographs, papers, provenance and problems of all come along.
    """
    first, *rest = holdings
    if not rest:
        raise HoldingError(_("Choose at least two lots to join."))
    for other in rest:
        if _kind(other) != _kind(first):
            raise HoldingError(
                _("Only lots of one issue, grade and status can be joined; %(a)s differs.")
                % {"a": other.accession}
            )
    if len({lot.price_currency for lot in (first, *rest)} - {""}) > 1:
        raise HoldingError(_("The lots were paid in different currencies."))
    lots_joining.send(Holding, kept=first, others=rest)
    for other in rest:
        first.quantity += other.quantity
        if other.price is not None:
            first.price = (first.price or Decimal(0)) + other.price
            first.price_currency = first.price_currency or other.price_currency
        kinds = set(first.problems.values_list("kind", flat=True))
        other.problems.exclude(kind__in=kinds).update(holding=first)
        for related in ("photos", "receipts", "provenance", "references", "status_changes"):
            getattr(other, related).update(holding=first)
        if other.note and other.note not in first.note:
            first.note = f"{first.note}\n{other.note}".strip()
        other.bin()
    derive(first)
    first.save()
    return first


def _kind(holding: Holding) -> tuple[Any, ...]:
    """What the pieces of one lot have in common; a grade means nothing without its scale."""
    grades = (holding.grade, holding.grade_obverse, holding.grade_reverse)
    scale = holding.grade_scale if any(grades) else ""
    owner = holding.owner_id
    return (owner, holding.coin_type_id, holding.issue_id, grades, scale, holding.status)


@transaction.atomic
def change_status(holding: Holding, status: str, on: datetime.date, **more: Any) -> None:
    """Lend, take back, sell, swap, give away or lose a holding, on a day.

    ``more`` are other fields of ``StatusChange``. With what has gone goes the promise of it to
    another member.
    """
    StatusChange.objects.create(holding=holding, status=status, on=on, **more)
    holding.status = status
    if status not in Holding.IN_HAND:
        holding.spare = False
        holding.place = None
        Reservation.objects.filter(holding=holding).delete()
    holding.save()


def why_promised(holding: Holding) -> str:
    """Why a piece stays a spare and in hand; "" where it is promised to nobody."""
    promise = getattr(holding, "reservation", None)
    if promise is None:
        return ""
    words = _("it is promised to %(member)s; take the promise back first")
    return words % {"member": promise.wanted_by}


@transaction.atomic
def set_problems(holding: Holding, kinds: Iterable[str]) -> None:
    """Make these the problems of a holding; notes of those that stay are kept."""
    wanted = set(kinds)
    had = set(holding.problems.values_list("kind", flat=True))
    holding.problems.exclude(kind__in=wanted).delete()
    for kind in sorted(wanted - had):
        HoldingProblem.objects.create(holding=holding, kind=kind)
    note_holdings([holding.pk])


@transaction.atomic
def settle_place(place: Place) -> None:
    """Save a place with its path, and the paths of all that stands in it."""
    above = place.within
    seen = set()
    while above is not None:
        if above.pk == place.pk or above.pk in seen:
            raise HoldingError(_("A place cannot stand in itself."))
        seen.add(above.pk)
        above = above.within
    place.path = f"{place.within.path}, {place.name}" if place.within else place.name
    if len(place.path) > 400:
        raise HoldingError(_("This is nested too deeply; use shorter names."))
    place.save()
    for inner in Place.objects.filter(within=place):
        settle_place(inner)
    note_holdings(Holding.objects.filter(place=place).values_list("pk", flat=True))
