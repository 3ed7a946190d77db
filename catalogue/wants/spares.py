"""Spares against wants: which piece of one member would fill a want of another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.models import Aim, Holding, Member, Reservation, Want
from catalogue.wants.remembered import Filling, kept_fillings
from series.types.queries import shown_types


class ReservationRefused(ValueError):
    """The spare cannot be promised; the message says why."""


@dataclass(frozen=True)
class Offer:
    """A spare that would fill a want; ``better`` when it would only better a piece.

    ``asked``: the one who wants it asked its owner for this very piece.
    """

    holding: Holding
    better: bool
    asked: bool = False


def free_spares(pieces: QuerySet[Holding]) -> QuerySet[Holding]:
    """Those of ``pieces`` that are held, spare and promised to nobody."""
    return pieces.filter(spare=True, status=Holding.Status.HELD, reservation__isnull=True)


_Useful = dict[int, bool]
"""Spares by id, and whether each fills a want or only betters a piece."""


class _Wanted:
    """What one member wants, by aims and by hand, to hold spares against."""

    def __init__(
        self, member: Member, fillings: list[Filling], wants: list[Want], shown: bool
    ) -> None:
        self.owner = member.pk
        self.fills = frozenset[int]().union(*(each.fills for each in fillings))
        self.betters = frozenset[int]().union(*(each.betters for each in fillings))
        self.by_hand = [want for want in wants if shown and (want.issue_id or want.coin_type_id)]
        self.asked = {want.asked_of_id for want in wants if want.asked_of_id}
        if not shown:  # what was asked for is known to its owner all the same
            self.fills = frozenset(self.asked)

    def is_filled_by(self, spare: Any) -> bool | None:
        """Whether a spare fills a want (True) or only betters a piece (False); None: neither."""
        if spare.owner_id == self.owner:
            return None
        if spare.pk in self.fills or any(_answers(want, spare) for want in self.by_hand):
            return True
        return False if spare.pk in self.betters else None


def _answers(want: Want, spare: Any) -> bool:
    """Whether a spare is what was asked for by hand, in the grade asked for."""
    if want.lowest_rank is not None and (spare.grade_rank or 0) < want.lowest_rank:
        return False
    if want.issue_id:
        return bool(spare.issue_id == want.issue_id)
    return bool(spare.coin_type_id == want.coin_type_id)


def _useful(wanted: dict[Member, _Wanted], pieces: QuerySet[Holding]) -> dict[Member, _Useful]:
    """Which of the free spares among ``pieces`` each of these members could use; one query."""
    columns = ("pk", "owner_id", "coin_type_id", "issue_id", "grade_rank")
    spares = list(free_spares(pieces).order_by().values_list(*columns, named=True))
    useful = {}
    for member, theirs in wanted.items():
        judged = {spare.pk: theirs.is_filled_by(spare) for spare in spares}
        useful[member] = {pk: fills for pk, fills in judged.items() if fills is not None}
    return {member: some for member, some in useful.items() if some}


def _offers(
    wanted: dict[Member, _Wanted], useful: dict[Member, _Useful], most: int | None = None
) -> dict[Member, list[Offer]]:
    """The spares that are useful as offers, in the order of a list, the first ``most`` of all."""
    offers: dict[Member, list[Offer]] = {member: [] for member in useful}
    for holding in _in_order({pk for some in useful.values() for pk in some})[:most]:
        for member, some in useful.items():
            if holding.pk in some:
                asked = holding.pk in wanted[member].asked
                offers[member].append(Offer(holding, better=not some[holding.pk], asked=asked))
    return offers


def _in_order(ids: Iterable[int]) -> QuerySet[Holding]:
    """Spares as they are listed, with what is said of them."""
    return (
        Holding.objects.filter(pk__in=ids)
        .defer("search_text", "own_text")
        .prefetch_related("owner", "issue", Prefetch("coin_type", shown_types()))
        .order_by("coin_type__series__issuer__name", "coin_type", "issue__struck_from", "pk")
    )


def _wanted_by(members: Iterable[Member], viewer: Member) -> dict[Member, _Wanted]:
    """What each of these members wants, as far as the viewer may know it. Four queries."""
    members = list(members)
    showing = [each for each in members if access.may_see_wants(viewer, each)]
    aims = list(Aim.objects.filter(owner__in=showing))
    fillings: dict[int, list[Filling]] = defaultdict(list)
    for aim, filling in zip(aims, kept_fillings(aims), strict=True):
        fillings[aim.owner_id].append(filling)
    wants: dict[int, list[Want]] = defaultdict(list)
    for want in Want.objects.filter(owner__in=members):
        wants[want.owner_id].append(want)
    return {
        each: _Wanted(each, fillings[each.pk], wants[each.pk], each in showing)
        for each in members
        if fillings[each.pk] or wants[each.pk]
    }


def asked_by(wanting: Member) -> set[int]:
    """The spares (their ids) that a member asked their owners for."""
    asked = Want.objects.filter(owner=wanting, asked_of__isnull=False)
    return set(asked.values_list("asked_of", flat=True))


def ask_for(wanting: Member, spare: Holding) -> bool:
    """Ask for a spare: a want by hand that names it; False when it was asked for already."""
    if spare.pk in asked_by(wanting):
        return False
    Want.objects.create(owner=wanting, coin_type=spare.coin_type, issue=spare.issue, asked_of=spare)
    return True


def offers_to(member: Member, most: int | None = None) -> tuple[list[Offer], int]:
    """Spares of others, shown to the club, that would fill this member's wants: how many, and
    the first ``most`` of them."""
    wanted = _wanted_by([member], member)
    useful = _useful(wanted, access.visible_holdings(member)) if wanted else {}
    return _offers(wanted, useful, most).get(member, []), len(useful.get(member, {}))


def offers_by(member: Member, wanting: Member) -> list[Offer]:
    """This member's own spares that would fill the other's wants, if shown to the club.

    What the other keeps from the club but asked this member for is there all the same.
    """
    wanted = _wanted_by([wanting], member)
    useful = _useful(wanted, access.own_holdings(member)) if wanted else {}
    return _offers(wanted, useful).get(wanting, [])


def offers_by_member(member: Member) -> dict[Member, list[Offer]]:
    """For each other member who shows wants: which of my spares they could use.

    As many queries for a hundred members as for one, where no record has changed since another
    page asked for the same.
    """
    own = access.own_holdings(member)
    if not free_spares(own).exists():
        return {}
    wanted = _wanted_by(access.members_to_promise_to(member), member)
    return _offers(wanted, _useful(wanted, own))


@transaction.atomic
def reserve(holding: Holding, wanting: Member, note: str = "") -> Reservation:
    """Promise a spare to a member for one want; ReservationRefused when it is promised already."""
    locked = Holding.objects.select_for_update().get(pk=holding.pk)
    if not locked.spare or locked.status != Holding.Status.HELD or locked.coin_type is None:
        raise ReservationRefused(_("This piece is no spare any more."))
    if locked.owner_id == wanting.pk:
        raise ReservationRefused(_("A spare is promised to somebody else, not to its owner."))
    try:
        with transaction.atomic():
            return Reservation.objects.create(
                holding=locked,
                wanted_by=wanting,
                coin_type=locked.coin_type,
                issue=locked.issue,
                note=note,
            )
    except IntegrityError as error:
        raise ReservationRefused(_("This spare is already promised to somebody.")) from error
