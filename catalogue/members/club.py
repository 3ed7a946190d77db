"""The club: who is a member, what each shows, and what an administrator may change."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.members import queries
from catalogue.members.door.models import Notice
from catalogue.members.door.notices import tell
from catalogue.members.door.second_factor import factor_of, switch_off
from catalogue.members.forms import InvitationForm, RoleForm
from catalogue.members.links import (
    LINK_DAYS,
    link_address,
    mail_link,
    make_invitation,
    make_reset,
)
from catalogue.members.models import HandedLink, Member
from catalogue.members.requests import MemberRequest
from catalogue.members.roles import LastAdministrator, change_role, let_sign_in
from catalogue.site.secret_pages import shield

RECENT = 6


def _only_administrators(request: MemberRequest) -> None:
    if not access.may_keep_members(request.user):
        raise PermissionDenied


def _kept_member(request: MemberRequest, pk: int) -> Member:
    """A member whose sign-in and role the viewer keeps (403 else)."""
    _only_administrators(request)
    return get_object_or_404(access.visible_members(request.user), pk=pk)


def _refuse_the_last(request: MemberRequest) -> None:
    words = _(
        "This is the only administrator who can sign in. Make another member administrator first."
    )
    messages.error(request, words)


@require_safe
def club(request: MemberRequest) -> HttpResponse:
    keeps = access.may_keep_members(request.user)
    context = {
        "lines": queries.club(request.user),
        "keeps": keeps,
        "invitations": list(queries.open_invitations()) if keeps else [],
    }
    return render(request, "members/club.html", context)


@require_safe
def member(request: MemberRequest, pk: int) -> HttpResponse:
    """What a member shows to the viewer; for an administrator, also role and sign-in."""
    shown = get_object_or_404(access.visible_members(request.user), pk=pk)
    holdings = queries.shown_holdings(request.user).filter(owner=shown)
    recent = holdings.select_related(
        "coin_type__denomination", "coin_type__series__issuer", "issue"
    ).order_by("-created_at", "-pk")[:RECENT]
    context = {
        "shown": shown,
        "count": holdings.count(),
        "spares": holdings.filter(spare=True, status="held").count(),
        "recent": recent,
        "keeps": access.may_keep_members(request.user),
        "role_form": RoleForm(instance=shown),
        "factor": factor_of(shown),
    }
    return render(request, "members/member.html", context)


@never_cache
@require_http_methods(["GET", "POST"])
def invite(request: MemberRequest) -> HttpResponse:
    """Make an invitation; its link is shown in the answer and never again."""
    _only_administrators(request)
    form = InvitationForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        email = form.cleaned_data["email"]
        token = make_invitation(request.user, form.cleaned_data["role"], email)
        return _show_link(request, HandedLink.Kind.INVITATION, token, email, None)
    return render(request, "members/invite.html", {"form": form})


@require_POST
def withdraw_invitation(request: MemberRequest, pk: int) -> HttpResponse:
    _only_administrators(request)
    get_object_or_404(queries.open_invitations(), pk=pk).delete()
    messages.success(request, _("The invitation is withdrawn; its link no longer works."))
    return redirect("club")


@never_cache
@require_POST
def reset_member(request: MemberRequest, pk: int) -> HttpResponse:
    """Make a link to a new password for a member; shown in the answer and never again."""
    shown = _kept_member(request, pk)
    if not shown.is_active:
        messages.error(request, _("First let this member sign in again."))
        return redirect(shown)
    token = make_reset(shown, request.user)
    tell(shown, Notice.Kind.LINK, by=request.user)
    return _show_link(request, HandedLink.Kind.RESET, token, shown.email, shown)


@require_POST
def remove_second_factor(request: MemberRequest, pk: int) -> HttpResponse:
    """Let a member who lost it sign in by password alone; they are told by whom."""
    shown = _kept_member(request, pk)
    if shown == request.user:
        messages.error(request, _("Switch your own off on your account’s page."))
        return redirect("account-second-factor")
    if switch_off(shown):
        tell(shown, Notice.Kind.FACTOR, by=request.user)
        words = _("%s signs in by password alone now and is told that you did this.")
        messages.success(request, words % shown)
    else:
        messages.error(request, _("%s has no second factor.") % shown)
    return redirect("member", pk)


@require_POST
def member_role(request: MemberRequest, pk: int) -> HttpResponse:
    shown = _kept_member(request, pk)
    form = RoleForm(request.POST, instance=shown)
    if not form.is_valid():
        messages.error(request, _("Choose one of the roles."))
        return redirect("member", pk)
    try:
        change_role(shown, form.cleaned_data["role"])
    except LastAdministrator:
        _refuse_the_last(request)
    else:
        role = shown.get_role_display()
        messages.success(request, _("%(who)s is now %(role)s.") % {"who": shown, "role": role})
    return redirect("member", pk)


@require_POST
def member_sign_in(request: MemberRequest, pk: int) -> HttpResponse:
    """Let a member sign in (``allowed`` is "yes") or stop it."""
    shown = _kept_member(request, pk)
    allowed = request.POST.get("allowed") == "yes"
    try:
        let_sign_in(shown, allowed)
    except LastAdministrator:
        _refuse_the_last(request)
    else:
        words = _("%s may sign in again.") if allowed else _("%s can no longer sign in.")
        messages.success(request, words % shown)
    return redirect("member", pk)


def _show_link(
    request: MemberRequest, kind: str, token: str, email: str, shown: Member | None
) -> HttpResponse:
    context = {
        "kind": kind,
        "address": link_address(token),
        "ends": timezone.now() + timedelta(days=LINK_DAYS),
        "email": email,
        "mailed": mail_link(kind, email, token, shown),
        "mail_given": settings.MAIL_GIVEN,
        "shown": shown,
    }
    response = render(request, "members/link.html", context)
    shield(response)
    return response
