"""Who may see or change what. Every view, file, sheet and command asks here and nowhere else.

Rules in words:

* the site asks for a sign-in, except for what an owner made public or shared by a link;
* a holding is seen by its owner, by members when it is shown to the club, by all when public;
* where a piece is kept, what it cost, its receipts and its worth are its owner's alone;
* on a page for others (a showing) whoever has its secret link, or all where its owner opened it,
  see of the owner's pieces in hand: those picked by hand or found by its saved choice, and never
  one that is kept to its owner, unless it was picked and said to be shown there all the same;
  they see its sides, what it is, its date, grade and caption, and nothing else: no place, price,
  worth, provenance, source, note, paper, working title or accession number;
* a talk is its owner's alone; whoever has its secret link sees the stops that its owner left
  ticked for it, of pieces in hand and in no bin, and of a piece kept to its owner only where that
  was said of the stop: its sides, heading and caption, and never what the speaker says;
* a holding, place, aim, want list, showing, talk, sheet or schedule is changed by its owner alone;
* curators and administrators edit the reference catalogue, and what they make is accepted;
* members add countries, and to any country that no reference pack describes: its money, series
  and types. A type they make there, or from a piece they hold, is provisional: the club uses it
  at once, and a curator looks at it later. Elsewhere it is proposed: they and the curators see
  it, until a curator accepts it or joins it to another;
* members change the types they made until a curator has decided, and no other record of the
  catalogue; mints, people and motifs they may add;
* an estimate of a type is seen by members, unless its source is one member's own; it is changed
  by whoever entered it and by curators;
* the history of a piece, a place or whatever else has an owner is shown to its owner alone, that
  of a record of the catalogue to members who see the record; what it names is named to those who
  may see that now; a change is taken back by the owner of all that it changed, and the last
  one of a record of the catalogue by curators;
* where a member signed in and what they were told of it is shown to them alone;
* administrators keep members and the site; they see no more of a collection than a member does.
  They may take away another's second factor or make a link to a new password, and are then named
  to that member.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django.db.models import Exists, Model, OuterRef, Q, QuerySet

from catalogue.members.requests import Viewer
from catalogue.models import (
    Alteration,
    Deed,
    Holding,
    Member,
    Photo,
    Place,
    Proposal,
    Receipt,
    Reservation,
    Showing,
    ShownPiece,
    Stop,
    Talk,
    Want,
    WantList,
)
from catalogue.site.secret_links import behind_link
from series.models import CoinType, Currency, Face, Issue, Issuer, Variety
from series.records import PackedRecord

M = TypeVar("M", bound=Model)


def is_member(viewer: Viewer) -> bool:
    return viewer.is_authenticated and viewer.is_active


def _for_members(viewer: Viewer, rows: QuerySet[M]) -> QuerySet[M]:
    """Rows that are for members alone; a visitor gets none."""
    return rows if is_member(viewer) else rows.none()


def is_administrator(viewer: Viewer | None) -> bool:
    return isinstance(viewer, Member) and viewer.role == Member.Role.ADMINISTRATOR


def may_curate(viewer: Viewer) -> bool:
    """May edit the reference catalogue and decide on proposals."""
    return isinstance(viewer, Member) and viewer.role in {
        Member.Role.CURATOR,
        Member.Role.ADMINISTRATOR,
    }


def may_keep_members(viewer: Viewer) -> bool:
    return is_administrator(viewer)


def visible_members(viewer: Viewer) -> QuerySet[Member]:
    """Members see who may sign in; who keeps members sees all."""
    if may_keep_members(viewer):
        return Member.objects.all()
    return _for_members(viewer, Member.objects.filter(is_active=True))


def named_records(model: type[M], viewer: Viewer) -> QuerySet[M]:
    """The records of a kind whose names the viewer may read because an address names them.

    Places are their owner's alone, members those the viewer sees; the reference catalogue is for
    all.
    """
    rows: QuerySet[Any] = model._default_manager.all()
    if model is Place:
        rows = owned(rows, viewer)
    elif model is Member:
        rows = visible_members(viewer)
    return rows


# ---- holdings ----
def _seen(viewer: Viewer, prefix: str = "") -> Q:
    public = Q(**{f"{prefix}visibility": Holding.Visibility.PUBLIC})
    if not is_member(viewer):
        return public
    return (
        public
        | Q(**{f"{prefix}visibility": Holding.Visibility.CLUB})
        | Q(**{f"{prefix}owner": viewer})
    )


def visible_holdings(viewer: Viewer) -> QuerySet[Holding]:
    return Holding.objects.filter(_seen(viewer))


def own_holdings(viewer: Viewer) -> QuerySet[Holding]:
    return owned(Holding.objects.all(), viewer)


def own_in_hand(viewer: Viewer) -> QuerySet[Holding]:
    """The viewer's own holdings that are held or on loan."""
    return own_holdings(viewer).filter(status__in=Holding.IN_HAND)


def visible_row(viewer: Viewer) -> Callable[[int, str], bool]:
    """The rule of ``visible_holdings`` for an owner's id and a visibility, without a query."""
    own = viewer.pk if is_member(viewer) else None

    def seen(owner: int, visibility: str) -> bool:
        if visibility == Holding.Visibility.PUBLIC or (own is not None and owner == own):
            return True
        return own is not None and visibility == Holding.Visibility.CLUB

    return seen


def may_edit_holding(viewer: Viewer, holding: Holding) -> bool:
    return is_member(viewer) and holding.owner_id == viewer.pk


def may_see_private(viewer: Viewer, holding: Holding) -> bool:
    """Where it is kept, what it cost, its receipts, what it is worth."""
    return may_edit_holding(viewer, holding)


def visible_photos(viewer: Viewer) -> QuerySet[Photo]:
    return Photo.objects.filter(_seen(viewer, "holding__"), holding__deleted_at__isnull=True)


def own_receipts(viewer: Viewer) -> QuerySet[Receipt]:
    """Papers of the viewer's own holdings; nobody else sees them."""
    return Receipt.objects.filter(holding__in=own_holdings(viewer))


def own_bin(model: type[M], viewer: Viewer) -> QuerySet[M]:
    """What of a model of records lies in the viewer's own bin.

    A photograph lies there by itself only while its holding does not.
    """
    binned = model._default_manager.none()
    if is_member(viewer):
        mine = {"holding__owner": viewer, "holding__deleted_at": None}
        mine = mine if model is Photo else {"owner": viewer}
        rows = getattr(model, "everything")  # noqa: B009
        binned = rows.filter(deleted_at__isnull=False, **mine)
    return binned


# ---- whatever has an owner: places, aims, want lists, sheets, schedules, label stocks ----
def owned(queryset: QuerySet[M], viewer: Viewer) -> QuerySet[M]:
    """The part of a queryset (of a model with an ``owner``) that belongs to the viewer."""
    return _for_members(viewer, queryset.filter(owner=viewer.pk))


# ---- what a member enters for all: values of types, and where they come from ----
def shared_or_owned(queryset: QuerySet[M], viewer: Viewer) -> QuerySet[M]:
    """Of a model whose ``owner`` may be empty (the club's): the club's and the viewer's own."""
    return _for_members(viewer, queryset.filter(Q(owner__isnull=True) | Q(owner=viewer.pk)))


def may_edit_entry(viewer: Viewer, entered_by_id: int | None) -> bool:
    """Of entries the viewer sees: whoever made one may change it, and curators all of them."""
    return may_curate(viewer) or (is_member(viewer) and entered_by_id == viewer.pk)


# ---- wants ----
def members_showing_wants(viewer: Viewer) -> QuerySet[Member]:
    """Other members whose wants the viewer may see."""
    showing = Member.objects.filter(lists_to_club=True, is_active=True)
    return _for_members(viewer, showing.exclude(pk=viewer.pk or 0))


def members_to_promise_to(viewer: Viewer) -> QuerySet[Member]:
    """Members to whom the viewer may promise a spare: who show their wants, or asked for one."""
    asking = Member.objects.filter(
        is_active=True, wants__asked_of__owner=viewer.pk, wants__deleted_at__isnull=True
    )
    shown = members_showing_wants(viewer)
    either = Q(pk__in=shown.order_by().values("pk")) | Q(pk__in=asking.order_by().values("pk"))
    return _for_members(viewer, Member.objects.filter(either))


def spares_to_ask_for(viewer: Viewer) -> QuerySet[Holding]:
    """Spares of other members that the viewer sees, still held and promised to nobody."""
    free = Q(
        spare=True,
        status=Holding.Status.HELD,
        reservation__isnull=True,
        coin_type__isnull=False,
        owner__is_active=True,
    )
    return _for_members(viewer, visible_holdings(viewer).exclude(owner=viewer.pk).filter(free))


def may_see_wants(viewer: Viewer, owner: Member) -> bool:
    if not is_member(viewer):
        return False
    return viewer.pk == owner.pk or (owner.lists_to_club and owner.is_active)


def visible_wants(viewer: Viewer) -> QuerySet[Want]:
    """The viewer's own wants, and those of members who show theirs."""
    shown = members_showing_wants(viewer).order_by().values("pk")
    return _for_members(viewer, Want.objects.filter(Q(owner=viewer.pk) | Q(owner__in=shown)))


def shared_lists(token_hash: str) -> QuerySet[WantList]:
    """The want list behind a secret link, while the link lasts."""
    return behind_link(WantList.objects.all(), token_hash)


def reservations_of(viewer: Viewer) -> QuerySet[Reservation]:
    """What the viewer promised or was promised; each of the two may take it back."""
    theirs = Q(holding__owner=viewer.pk) | Q(wanted_by=viewer.pk)
    return _for_members(viewer, Reservation.objects.filter(theirs))


# ---- pages for others ----
def shared_showings(token_hash: str) -> QuerySet[Showing]:
    """The page for others behind a secret link, while the link lasts."""
    return behind_link(Showing.objects.all(), token_hash)


def open_showings() -> QuerySet[Showing]:
    """The pages that anybody may open."""
    return Showing.objects.filter(open_to_all=True, owner__is_active=True)


def pieces_shown(showing: Showing, matching: QuerySet[Holding]) -> QuerySet[Holding]:
    """What others see on a page, where ``matching`` is what its saved choice finds."""
    picked = ShownPiece.objects.filter(showing=showing, picked=True)
    chosen = Q(pk__in=picked.values("holding")) | Q(pk__in=matching.order_by().values("pk"))
    kept_to_owner = Q(visibility=Holding.Visibility.PRIVATE)
    all_the_same = Q(pk__in=picked.filter(though_private=True).values("holding"))
    return Holding.objects.filter(
        chosen,
        ~kept_to_owner | all_the_same,
        owner=showing.owner_id,
        status__in=Holding.IN_HAND,
    )


# ---- talks ----
def shared_talks(token_hash: str) -> QuerySet[Talk]:
    """The talk behind a secret link, while the link lasts."""
    return behind_link(Talk.objects.all(), token_hash)


def stops_shown(talk: Talk) -> QuerySet[Stop]:
    """The stops that whoever has the talk's secret link sees."""
    kept = Holding.Visibility.PRIVATE
    open_piece = Q(holding__isnull=True) | ~Q(holding__visibility=kept)
    open_photo = Q(photo__isnull=True) | ~Q(photo__holding__visibility=kept)
    there = ~Q(kind=Stop.Kind.PIECE) | Q(
        holding__owner=talk.owner_id,
        holding__deleted_at__isnull=True,
        holding__status__in=Holding.IN_HAND,
    )
    return Stop.objects.filter(
        there, Q(though_private=True) | (open_piece & open_photo), talk=talk, shown=True
    )


def photos_of_stops(talk: Talk, stops: QuerySet[Stop]) -> QuerySet[Photo]:
    """Photographs of both sides of the pieces at these stops of a talk, and those chosen there."""
    some = stops.order_by()
    of_pieces = Q(holding__in=some.filter(holding__isnull=False).values("holding"))
    sides = Q(side__in=(Photo.Side.OBVERSE, Photo.Side.REVERSE))
    chosen = Q(pk__in=some.filter(photo__isnull=False).values("photo"))
    return Photo.objects.filter(
        (of_pieces & sides) | chosen,
        holding__owner=talk.owner_id,
        holding__deleted_at__isnull=True,
    )


# ---- the reference catalogue ----
def visible_types(viewer: Viewer) -> QuerySet[CoinType]:
    """Types that stand in the catalogue, and those the viewer proposed or may decide on."""
    if may_curate(viewer):
        return CoinType.objects.exclude(standing=CoinType.Standing.JOINED)
    return enterable_types(viewer)


def enterable_types(viewer: Viewer) -> QuerySet[CoinType]:
    """The types a holding can be entered as: what stands in the catalogue, and own proposals."""
    entered = Q(standing__in=CoinType.IN_CATALOGUE)
    if is_member(viewer):
        entered |= Q(standing=CoinType.Standing.PROPOSED, proposal__proposed_by=viewer)
    return CoinType.objects.filter(entered)


def visible_proposals(viewer: Viewer) -> QuerySet[Proposal]:
    """Curators see every proposal, a member their own."""
    if may_curate(viewer):
        return Proposal.objects.all()
    return _for_members(viewer, Proposal.objects.filter(proposed_by=viewer.pk))


def may_edit_type(viewer: Viewer, coin_type: CoinType) -> bool:
    """Curators edit every type; a member edits what they made until it is decided."""
    if may_curate(viewer):
        return True
    open_to_change = (CoinType.Standing.PROPOSED, CoinType.Standing.PROVISIONAL)
    if not is_member(viewer) or coin_type.standing not in open_to_change:
        return False
    proposal: Any = getattr(coin_type, "proposal", None)
    return proposal is not None and proposal.proposed_by_id == viewer.pk


def standing_of_new(viewer: Viewer, issuer: Issuer) -> CoinType.Standing:
    """How a type that the viewer makes for a country stands at first."""
    if may_curate(viewer):
        return CoinType.Standing.ACCEPTED
    if issuer.pack_id is None:
        return CoinType.Standing.PROVISIONAL
    return CoinType.Standing.PROPOSED


def issuers_to_add_to(viewer: Viewer) -> QuerySet[Issuer]:
    """Countries to which the viewer may add money, series and mints of their own."""
    if may_curate(viewer):
        return Issuer.objects.all()
    return _for_members(viewer, Issuer.objects.filter(pack__isnull=True))


def currencies_to_add_to(viewer: Viewer) -> QuerySet[Currency]:
    """Currencies to which the viewer may add denominations."""
    if may_curate(viewer):
        return Currency.objects.all()
    return _for_members(viewer, Currency.objects.filter(pack__isnull=True))


# ---- what was changed ----
def history_of(viewer: Viewer, record: Model) -> QuerySet[Alteration]:
    """What was changed of a record that the viewer sees; of what has an owner, to the owner."""
    rows = Alteration.objects.all()
    if isinstance(record, Holding):
        rows = rows.filter(holding=record)
        return rows if may_see_private(viewer, record) else rows.none()
    owner = getattr(record, "owner_id", None)
    rows = rows.filter(
        holding=None, subject=record._meta.label_lower, subject_id=record.pk, owner=owner
    )
    if owner is not None and owner != viewer.pk:
        return rows.none()
    return _for_members(viewer, rows)


def may_undo(viewer: Viewer, record: Model) -> bool:
    """The last change of a record of the catalogue is taken back by curators."""
    return isinstance(record, PackedRecord) and may_curate(viewer)


def own_deeds(viewer: Viewer) -> QuerySet[Deed]:
    """What the viewer did to records of their own."""
    theirs = Q(owner=viewer.pk) | Q(holding__owner=viewer.pk)
    of_theirs = Alteration.objects.filter(theirs, deed=OuterRef("pk")).order_by()
    return _for_members(viewer, Deed.objects.filter(Exists(of_theirs), by=viewer.pk))


def nameable(model: type[M], viewer: Viewer) -> QuerySet[M]:
    """The records of a kind, also from the bin, whose names a history may say to the viewer."""
    manager = getattr(model, "everything", model._default_manager)
    rows: QuerySet[Any] = manager.all()
    if model is CoinType:
        rows = rows.filter(pk__in=visible_types(viewer).order_by().values("pk"))
    elif model in (Issue, Face):
        rows = rows.filter(coin_type__in=visible_types(viewer).order_by().values("pk"))
    elif model is Variety:
        rows = rows.filter(issue__coin_type__in=visible_types(viewer).order_by().values("pk"))
    elif model is Holding:
        rows = rows.filter(_seen(viewer))
    elif model is Member:
        rows = visible_members(viewer)
    elif any(field.name == "owner" for field in model._meta.concrete_fields):
        rows = shared_or_owned(rows, viewer)
    return rows
