"""Proposals as curators and proposers read them, and what a curator decides."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.db.models import Case, IntegerField, Prefetch, QuerySet, Value, When
from django.forms.models import model_to_dict
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.curation.models import Proposal
from catalogue.curation.type_fields import LAW, MEASURES
from catalogue.curation.type_form import TypeForm
from catalogue.models import Member
from series.differences.changes import changes
from series.differences.facts import Change
from series.models import CoinType
from series.types.editing import settle, type_texts
from series.types.joining import JoinRefused, join_types
from series.types.queries import standing_types, with_design
from series.types.recorded import type_facts

State = Proposal.State
MOST_COMPARED = 60


class Decided(Exception):
    """Someone decided on the proposal already."""


def seen_by(viewer: Member) -> QuerySet[Proposal]:
    """Those that wait first, then the newest; a type that one was joined to only if it is seen."""
    waiting = Case(
        When(state=State.WAITING, then=Value(0)), default=Value(1), output_field=IntegerField()
    )
    kept = access.visible_types(viewer).select_related("denomination")
    return (
        access.visible_proposals(viewer)
        .select_related("coin_type__denomination", "coin_type__series__issuer", "proposed_by")
        .prefetch_related(Prefetch("coin_type__joined_to", queryset=kept))
        .order_by(waiting, "-proposed_at", "-pk")
    )


@dataclass(frozen=True)
class Likeness:
    """A type of the catalogue beside a proposed one, and what differs, said in words."""

    coin_type: CoinType
    changes: tuple[Change, ...]


def likenesses(coin_type: CoinType) -> list[Likeness]:
    """The types of the same denomination and country, the most alike first. Seven queries."""
    types = with_design(standing_types()).filter(
        denomination=coin_type.denomination_id, series__issuer=coin_type.series.issuer_id
    )
    own = with_design(CoinType.objects.filter(pk=coin_type.pk)).get()
    facts = type_facts(own)
    found = [
        Likeness(other, changes(type_facts(other), facts))
        for other in types.exclude(pk=coin_type.pk)[:MOST_COMPARED]
    ]

    def unlike(one: Likeness) -> tuple[int, bool, int, int]:
        other = one.coin_type
        years = abs((other.first_year or 0) - (own.first_year or other.first_year or 0))
        same_series = other.series_id == own.series_id
        named_otherwise = other.name != own.name
        return len(one.changes) + 2 * (not same_series), named_otherwise, years, other.pk

    return sorted(found, key=unlike)


def _take(proposal: Proposal) -> Proposal:
    """The proposal, locked; Decided if it waits no more."""
    locked = Proposal.objects.select_for_update().select_related("coin_type").get(pk=proposal.pk)
    if locked.state != State.WAITING:
        raise Decided
    return locked


def _note(proposal: Proposal, state: Proposal.State, curator: Member, answer: str) -> None:
    proposal.state, proposal.decided_by = state, curator
    proposal.decided_at, proposal.answer = timezone.now(), answer
    proposal.save()


def accept(proposal: Proposal, curator: Member, answer: str = "") -> None:
    """The type stands in the catalogue from now on."""
    with transaction.atomic():
        taken = _take(proposal)
        taken.coin_type.standing = CoinType.Standing.ACCEPTED
        taken.coin_type.save()
        _note(taken, State.ACCEPTED, curator, answer)
        settle([taken.coin_type_id])


def send_back(proposal: Proposal, curator: Member, answer: str) -> None:
    """The type stays as it stands, for its proposer to mend; changing it sends it in again."""
    with transaction.atomic():
        _note(_take(proposal), State.REFUSED, curator, answer)


def take_over(gone: CoinType, kept: CoinType) -> bool:
    """Put what ``gone`` says of measures, faces, law and literature onto ``kept``.

    What it leaves empty stays as it is, and so do marks, dates and name. False if the two do not
    go together: nothing is changed then.
    """
    names = [*MEASURES, *LAW, "note"]
    texts = type_texts(gone)
    said = model_to_dict(gone, fields=names) | {
        name: text for name, text in texts.items() if name not in ("marks", "dates")
    }
    shown = TypeForm(instance=kept)
    values = {bound.name: bound.value() for bound in shown}
    values |= {name: value for name, value in said.items() if value not in (None, "")}
    data = {name: "" if value is None else value for name, value in values.items()}
    form = TypeForm(data, instance=kept)
    return form.is_valid() and form.save_checked()


def join(
    gone: CoinType, kept: CoinType, curator: Member, answer: str = "", *, take: bool = False
) -> None:
    """Join a double to the type to keep; its proposal, if it has one, says so.

    With ``take`` the kept type is changed to what the double says first.
    """
    with transaction.atomic():
        if take and not take_over(gone, kept):
            raise JoinRefused(_("What it says does not fit the type to keep: change that by hand."))
        join_types(gone, kept)
        proposal = Proposal.objects.filter(coin_type=gone).first()
        if proposal is not None:
            _note(proposal, State.JOINED, curator, answer)
