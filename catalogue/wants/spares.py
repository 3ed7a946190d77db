"""Spares against wants: which piece of one member would fill a want of another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef, Q, QuerySet, Value
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.models import Aim, Holding, Member, Reservation, Want
from catalogue.wants.gaps import GAP, UPGRADE, filling, live_aims

ARMS = 200
"""Wants judged in one query; SQLite puts at most 500 together."""


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
    """Which of ``pieces`` would fill what a member wants."""
    spares = free_spares(pieces).exclude(owner=wanting)
    return _as_offers({wanting.pk: _fitting([wanting], spares)[wanting.pk]}).get(wanting.pk, [])


@dataclass
class _Fitting:
    """Spares (their ids) that fill what one member wants, and those that fit or better it."""

    fills: set[int] = field(default_factory=set)
    all: set[int] = field(default_factory=set)


def _fitting(wanting: Sequence[Member], spares: QuerySet[Holding]) -> dict[int, _Fitting]:
    """What of ``spares`` fits each of these members; a query for every ARMS aims, and two."""
    arms = []
    for aim in live_aims(*wanting):
        arms.append(_arm(filling(aim, GAP, spares), aim.owner_id))
        if aim.lowest_rank is not None:  # else nothing held is below it
            arms.append(_arm(filling(aim, UPGRADE, spares), aim.owner_id, better=True))
    by_hand: dict[int, list[Want]] = defaultdict(list)
    for want in Want.objects.filter(owner__in=wanting).order_by("pk"):
        by_hand[want.owner_id].append(want)
    for owner, wants in by_hand.items():
        arms.append(_arm(spares.filter(_wanted_by_hand(wants)), owner))
    found: dict[int, _Fitting] = defaultdict(_Fitting)
    for start in range(0, len(arms), ARMS):
        first, *others = arms[start : start + ARMS]
        for piece, owner, better in first.union(*others, all=True):
            found[owner].all.add(piece)
            if not better:
                found[owner].fills.add(piece)
    return found


def _arm(fitting: QuerySet[Holding], owner: int, better: bool = False) -> QuerySet[Any]:
    """What fits one want of a member, as a part of one query for many wants."""
    said = {"wanted_by_id": Value(owner), "only_better": Value(better)}
    return fitting.order_by().annotate(**said).values_list("pk", *said)


def _as_offers(found: Mapping[int, _Fitting]) -> dict[int, list[Offer]]:
    """The spares that fit, in order, by the member they would help. Two queries."""
    asked = _asked_by(found)
    holdings = (
        Holding.objects.filter(pk__in=set().union(*(fitting.all for fitting in found.values())))
        .select_related("coin_type__denomination", "coin_type__series__issuer", "issue", "owner")
        .order_by("coin_type__series__issuer__name", "coin_type", "issue__struck_from", "pk")
    )
    offered: dict[int, list[Offer]] = defaultdict(list)
    for holding in holdings:
        for owner, fitting in found.items():
            if holding.pk in fitting.all:
                better = holding.pk not in fitting.fills
                offered[owner].append(Offer(holding, better, holding.pk in asked[owner]))
    return dict(offered)


def _asked_by(members: Iterable[int]) -> dict[int, set[int]]:
    """The spares (their ids) that each member asked their owners for."""
    asked = Want.objects.filter(owner__in=list(members), asked_of__isnull=False)
    found: dict[int, set[int]] = defaultdict(set)
    for owner, spare in asked.values_list("owner", "asked_of"):
        found[owner].add(spare)
    return found


def asked_by(wanting: Member) -> set[int]:
    """The spares (their ids) that a member asked their owners for."""
    return _asked_by([wanting.pk])[wanting.pk]


def ask_for(wanting: Member, spare: Holding) -> bool:
    """Ask for a spare: a want by hand that names it; False when it was asked for already."""
    if spare.pk in asked_by(wanting):
        return False
    Want.objects.create(owner=wanting, coin_type=spare.coin_type, issue=spare.issue, asked_of=spare)
    return True


def _wanted_by_hand(wants: Iterable[Want]) -> Q:
    """Put together by what is asked for and from which grade on, however many wants there are."""
    asked: dict[tuple[str, int | None], set[int]] = defaultdict(set)
    for want in wants:
        if want.issue_id is not None:
            asked["issue__in", want.lowest_rank].add(want.issue_id)
        elif want.coin_type_id is not None:
            asked["coin_type__in", want.lowest_rank].add(want.coin_type_id)
    condition = Q(pk__in=[])
    for (lookup, rank), records in asked.items():
        good = Q() if rank is None else Q(grade_rank__gte=rank)
        condition |= Q(**{lookup: records}) & good
    return condition


def offers_to(member: Member) -> list[Offer]:
    """Spares of others, shown to the club, that would fill this member's wants."""
    return offers(member, access.visible_holdings(member))


def offers_by(member: Member, wanting: Member) -> list[Offer]:
    """This member's own spares that would fill the other's wants, if shown to the club.

    What the other keeps from the club but asked this member for is there all the same.
    """
    return _offers_by(member, [wanting]).get(wanting.pk, [])


def offers_by_member(member: Member) -> dict[Member, list[Offer]]:
    """For each other member who shows wants: which of my spares they could use."""
    if not free_spares(access.own_holdings(member)).exists():
        return {}
    wanting = Exists(Aim.objects.filter(owner=OuterRef("pk"))) | Exists(
        Want.objects.filter(owner=OuterRef("pk"))
    )
    others = list(access.members_to_promise_to(member).filter(wanting))
    offered = _offers_by(member, others)
    return {other: offered[other.pk] for other in others if other.pk in offered}


def _offers_by(member: Member, wanting: Sequence[Member]) -> dict[int, list[Offer]]:
    spares = free_spares(access.own_holdings(member))
    shown = [other for other in wanting if access.may_see_wants(member, other)]
    found = dict(_fitting(shown, spares))
    kept = _asked_by({other.pk for other in wanting} - {other.pk for other in shown})
    asked = spares.filter(pk__in=set().union(*kept.values()))
    free = set(asked.values_list("pk", flat=True))
    found |= {owner: _Fitting(pieces & free, pieces & free) for owner, pieces in kept.items()}
    return _as_offers(found)


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
