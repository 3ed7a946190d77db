"""Spares against wants: which piece of one member would fill a want of another."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.models import Aim, Holding, Member, Reservation, Want
from catalogue.wants.gaps import GAP, UPGRADE, filling, live_aims


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


def offers(wanting: Member, pieces: QuerySet[Holding]) -> list[Offer]:
    """Which of ``pieces`` would fill what a member wants; two queries an aim and one more."""
    spares = free_spares(pieces).exclude(owner=wanting)
    fills: set[int] = set()
    betters: set[int] = set()
    for aim in live_aims(wanting):
        fills |= set(filling(aim, GAP, spares).values_list("pk", flat=True))
        if aim.lowest_rank is not None:  # else nothing held is below it
            betters |= set(filling(aim, UPGRADE, spares).values_list("pk", flat=True))
    fills |= set(spares.filter(_wanted_by_hand(wanting)).values_list("pk", flat=True))
    return _as_offers(wanting, fills, betters)


def _as_offers(wanting: Member, fills: set[int], betters: set[int]) -> list[Offer]:
    asked = asked_by(wanting)
    found = (
        Holding.objects.filter(pk__in=fills | betters)
        .select_related("coin_type__denomination", "coin_type__series__issuer", "issue", "owner")
        .order_by("coin_type__series__issuer__name", "coin_type", "issue__struck_from", "pk")
    )
    return [Offer(holding, holding.pk not in fills, holding.pk in asked) for holding in found]


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


def _wanted_by_hand(wanting: Member) -> Q:
    condition = Q(pk__in=[])
    for want in Want.objects.filter(owner=wanting):
        if want.issue_id is None and want.coin_type_id is None:
            continue
        one = Q(issue=want.issue_id) if want.issue_id else Q(coin_type=want.coin_type_id)
        if want.lowest_rank is not None:
            one &= Q(grade_rank__gte=want.lowest_rank)
        condition |= one
    return condition


def offers_to(member: Member) -> list[Offer]:
    """Spares of others, shown to the club, that would fill this member's wants."""
    return offers(member, access.visible_holdings(member))


def offers_by(member: Member, wanting: Member) -> list[Offer]:
    """This member's own spares that would fill the other's wants, if shown to the club.

    What the other keeps from the club but asked this member for is there all the same.
    """
    own = access.own_holdings(member)
    if access.may_see_wants(member, wanting):
        return offers(wanting, own)
    asked = free_spares(own).filter(pk__in=asked_by(wanting))
    return _as_offers(wanting, set(asked.values_list("pk", flat=True)), set())


def offers_by_member(member: Member) -> dict[Member, list[Offer]]:
    """For each other member who shows wants: which of my spares they could use."""
    if not free_spares(access.own_holdings(member)).exists():
        return {}
    found: dict[Member, list[Offer]] = defaultdict(list)
    wanting = Exists(Aim.objects.filter(owner=OuterRef("pk"))) | Exists(
        Want.objects.filter(owner=OuterRef("pk"))
    )
    for other in access.members_to_promise_to(member).filter(wanting):
        for offer in offers_by(member, other):
            found[other].append(offer)
    return dict(found)


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
