"""Making and changing types: new, like another, from a piece at hand, proposed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from catalogue import access
from catalogue.curation.belonging import find_issuer
from catalogue.curation.models import Proposal
from catalogue.curation.type_form import TypeForm
from catalogue.curation.understood import Understood
from catalogue.holdings.actions import derive
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding, Member
from series.metal.alloys import NAMED
from series.models import CoinType, Denomination, Issue, Issuer, Mint, Motif, Person, Series
from series.records import StaleEdit
from series.text.keys import free_key
from series.types.dates_editing import dates_text, stored_type

KNOWN_NAMES = 150
Standing = CoinType.Standing


@dataclass(frozen=True)
class Asked:
    """What a page asks for: a type that is there, or one in a series, like another, of a piece."""

    heading: str
    series: Series | None = None
    coin_type: CoinType | None = None
    like: CoinType | None = None
    holding: Holding | None = None
    becomes: CoinType.Standing | None = None
    """How a new type is to stand; None for as its country is closed or open."""

    @property
    def back(self) -> str:
        """The page of the first record there is, or the countries."""
        records = (self.coin_type, self.like, self.holding, self.series)
        record: Any = next(filter(None, records), None)
        return record.get_absolute_url() if record else reverse("countries")


@require_http_methods(["GET", "POST"])
def type_new(request: MemberRequest) -> HttpResponse:
    """A type from nothing; ``?series=``, ``?denomination=`` or ``?issuer=`` (keys) start it."""
    initial: dict[str, Any] = {}
    started = Series.objects.filter(key=request.GET.get("series", "")).first()
    issuer = Issuer.objects.filter(key=request.GET.get("issuer", "")).first()
    of = Denomination.objects.filter(key=request.GET.get("denomination", "")).first()
    if of is not None:
        initial["value"] = of.name
        issuer = issuer or of.currency.issuers.order_by("name").first()
    if started is not None:
        initial["series"] = started.pk
    elif issuer is not None:
        initial["country"] = issuer.name
    else:
        initial["country"] = request.GET.get("country", "")[:120]
    form = _new_form(request, initial=initial)
    return _make(request, form, Asked(_("Add a type"), started))


@require_http_methods(["GET", "POST"])
def type_like(request: MemberRequest, key: str) -> HttpResponse:
    """A type that starts from another: all is copied but its dates; change what differs."""
    like = _type(request, key)
    form = _new_form(request, like=like)
    heading = _("A type like %(name)s") % {"name": like}
    return _make(request, form, Asked(heading, like.series, like=like))


@require_http_methods(["GET", "POST"])
def type_propose(request: MemberRequest, key: str) -> HttpResponse:
    """A change to a type of the catalogue, written as a type beside it, for a curator."""
    like = _type(request, key)
    form = _new_form(request, like=like, ask_note=True, initial={"dates": _dates_of(like)})
    heading = _("Propose a change to %(name)s") % {"name": like}
    asked = Asked(heading, like.series, like=like, becomes=Standing.PROPOSED)
    return _make(request, form, asked)


@require_http_methods(["GET", "POST"])
def type_from_holding(request: MemberRequest, pk: int) -> HttpResponse:
    """A provisional type made from a piece that its owner could not find in the catalogue."""
    holding = get_object_or_404(access.visible_holdings(request.user), pk=pk)
    if not access.may_edit_holding(request.user, holding):
        raise PermissionDenied
    if holding.coin_type_id is not None:
        messages.info(request, _("This piece has a type already."))
        return redirect("holding", pk=holding.pk)
    initial = {
        "name": holding.title[:160],
        "diameter_mm": holding.diameter_mm,
        "thickness_mm": holding.thickness_mm,
        "mass_g": holding.mass_g,
        "alignment": _whole_hours(holding),
        "dates": holding.date_reading if holding.date_reading.isdigit() else "",
    }
    form = _new_form(request, initial={k: v for k, v in initial.items() if v not in (None, "")})
    heading = _("A type from the piece %(number)s") % {"number": holding.accession}
    return _make(request, form, Asked(heading, holding=holding, becomes=Standing.PROVISIONAL))


def _whole_hours(holding: Holding) -> int | None:
    hours = holding.alignment
    return int(hours) if hours is not None and hours == int(hours) and hours >= 1 else None


@require_http_methods(["GET", "POST"])
def type_edit(request: MemberRequest, key: str) -> HttpResponse:
    found = _type(request, key)
    if not access.may_edit_type(request.user, found):
        raise PermissionDenied
    asked = Asked(_("Change %(name)s") % {"name": found}, found.series, coin_type=found)
    form = TypeForm(request.POST or None, instance=found, viewer=request.user)
    if _is_typing(request):
        return _say_back(request, form)
    if request.method == "POST" and form.is_valid() and form.save_checked():
        # What was sent back is sent in again by being changed.
        Proposal.objects.filter(
            coin_type=found, state=Proposal.State.REFUSED, proposed_by=request.user.pk
        ).update(state=Proposal.State.WAITING)
        messages.success(request, _("The type is saved."))
        return redirect(found)
    return _page(request, form, asked)


# ---- common ----
def _type(request: MemberRequest, key: str) -> CoinType:
    types = access.visible_types(request.user).select_related(
        "series__issuer", "series__currency", "denomination__currency", "proposal"
    )
    return get_object_or_404(types, key=key)


def _dates_of(coin_type: CoinType) -> str:
    return dates_text(stored_type(coin_type))


def _new_form(
    request: MemberRequest,
    *,
    initial: dict[str, Any] | None = None,
    like: CoinType | None = None,
    ask_note: bool = False,
) -> TypeForm:
    ask = ask_note or not access.may_curate(request.user)
    return TypeForm(
        request.POST or None, initial=initial or {}, like=like, ask_note=ask, viewer=request.user
    )


def _is_typing(request: MemberRequest) -> bool:
    """Whether the page asks what is understood so far; nothing is saved then."""
    return request.method == "POST" and "HX-Request" in request.headers


def _say_back(request: MemberRequest, form: TypeForm) -> HttpResponse:
    understood = Understood(form)
    form.is_valid()
    issuer = form.belongs.issuer if form.belongs else find_issuer(form["country"].value() or "")
    context = {
        "form": form,
        "understood": understood,
        "slots": understood.slots(typing=True),
        "values": _known_values(issuer),
        "oob": True,
    }
    return render(request, "curation/_understood.html", context)


def _make(request: MemberRequest, form: TypeForm, asked: Asked) -> HttpResponse:
    """Show the form of a new type, or save it with its proposal and the piece it is of."""
    if _is_typing(request):
        return _say_back(request, form)
    if request.method == "POST" and form.is_valid():
        try:
            with transaction.atomic():
                made = _save_new(request.user, form, asked.becomes)
                if asked.holding is not None:
                    _attach(asked.holding, made)
        except StaleEdit:
            form.add_error(
                None, _("The piece was changed meanwhile. Look at it, then save the type again.")
            )
        else:
            messages.success(request, _SAID[CoinType.Standing(made.standing)]())
            if asked.holding is not None:
                return redirect(asked.holding)
            if asked.becomes == Standing.PROPOSED:
                return redirect(made)
            return redirect(_next(request.POST.get("then", ""), made))
    return _page(request, form, asked)


def _next(then: str, made: CoinType) -> str:
    """Where to go from a new type: on to another, to its dates, or to its page."""
    places = {"like": "type-like", "dates": "date-run"}
    if then in places:
        return reverse(places[then], args=[made.key])
    return f"{made.get_absolute_url()}?new"


_SAID = {
    Standing.ACCEPTED: lambda: _("The type stands in the catalogue."),
    Standing.PROVISIONAL: lambda: _(
        "The type is there to use at once, as provisional; a curator will look at it."
    ),
    Standing.PROPOSED: lambda: _("The type is proposed; a curator will decide on it."),
}


def _save_new(member: Member, form: TypeForm, standing: CoinType.Standing | None) -> CoinType:
    coin_type: CoinType = form.instance
    form.take_place()
    coin_type.standing = standing or access.standing_of_new(member, coin_type.series.issuer)
    named = [coin_type.series.key, coin_type.denomination.name, coin_type.name]
    coin_type.key = free_key(CoinType, *named)
    form.save_checked()
    if coin_type.standing != Standing.ACCEPTED:
        note = form.cleaned_data.get("proposal_note", "")
        Proposal.objects.create(coin_type=coin_type, proposed_by=member, note=note)
    return coin_type


def _attach(holding: Holding, coin_type: CoinType) -> None:
    """The piece becomes one of the type, of its date if there is only one that fits."""
    seen = holding.row_version
    issues = list(Issue.objects.filter(coin_type=coin_type, fact=Issue.Fact.STRUCK)[:50])
    fitting = [i for i in issues if holding.date_reading in ("", i.shown, str(i.struck_from))]
    holding.coin_type = coin_type
    holding.issue = fitting[0] if len(fitting) == 1 else None
    derive(holding)
    holding.save_over(seen)


def _page(request: MemberRequest, form: TypeForm, asked: Asked) -> HttpResponse:
    issuer = asked.series.issuer if asked.series else None
    told = None if asked.holding or asked.coin_type else issuer
    known = _known_names(issuer)
    understood = Understood(form)
    understood.put_slots()
    context = {
        **vars(asked),
        "back": asked.back,
        "form": form,
        "understood": understood,
        "countries": Issuer.objects.values_list("name", flat=True),
        "values": _known_values(issuer or find_issuer(str(form["country"].value() or ""))),
        "metals": sorted(NAMED),
        "standing": access.standing_of_new(request.user, told) if told else None,
        "known": [(title, names) for title, names in known if names],
        "people": known[1][1],
    }
    return render(request, "curation/type_form.html", context)


def _known_values(issuer: Issuer | None) -> list[str]:
    """The denominations of a country, the smallest first."""
    if issuer is None:
        return []
    values = Denomination.objects.filter(currency__issuers=issuer).order_by("sort_value", "name")
    return list(dict.fromkeys(values.values_list("name", flat=True)[:KNOWN_NAMES]))


def _known_names(issuer: Issuer | None) -> list[tuple[str, list[str]]]:
    """Motifs, people and mints one may write again, of a country or of all. Three queries."""
    motifs, people, mints = Motif.objects.all(), Person.objects.all(), Mint.objects.all()
    if issuer is not None:
        motifs = motifs.filter(faces__coin_type__series__issuer=issuer)
        people = people.filter(faces__coin_type__series__issuer=issuer)
        mints = mints.filter(issuer=issuer)
    kinds = ((_("Motifs"), motifs), (_("People"), people), (_("Mints"), mints))
    found = []
    for title, records in kinds:
        names = records.order_by("name").values_list("name", flat=True).distinct()
        found.append((title, list(names[:KNOWN_NAMES])))
    return found
