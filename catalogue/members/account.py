"""A member's own account: settings, password, everything as a file, leaving."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import logout, update_session_auth_hash
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from catalogue.members.door.devices import listed, stay_here_only
from catalogue.members.door.forms import NewPasswordForm
from catalogue.members.door.second_factor import factor_of
from catalogue.members.erase import erase_member, remains_of
from catalogue.members.forms import AccountForm, EraseForm
from catalogue.members.models import Member
from catalogue.members.requests import MemberRequest
from catalogue.members.roles import LastAdministrator
from catalogue.site.overwriting import is_due


def _me(request: MemberRequest) -> Member:
    """The signed-in member, apart from ``request.user``, which pages show while a form is wrong."""
    return Member.objects.get(pk=request.user.pk)


@require_http_methods(["GET", "POST"])
def account(request: MemberRequest) -> HttpResponse:
    me = _me(request)
    form = AccountForm(request.POST or None, instance=me)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Your account is saved."))
        return redirect("account")
    context = {
        "form": form,
        "devices": listed(request, me),
        "factor": factor_of(me),
    }
    return render(request, "members/account.html", context)


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def account_password(request: MemberRequest) -> HttpResponse:
    form = NewPasswordForm(_me(request), request.POST or None)
    if request.method == "POST" and form.is_valid():
        me = form.save()
        update_session_auth_hash(request, me)
        stay_here_only(request, me)
        messages.success(request, _("Your password is changed; you stay signed in here only."))
        return redirect("account")
    return render(request, "members/password.html", {"form": form})


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def account_erase(request: MemberRequest) -> HttpResponse:
    me = _me(request)
    form = EraseForm(request.POST or None, member=me)
    if request.method == "POST" and form.is_valid():
        try:
            erase_member(me)
        except LastAdministrator:
            form.add_error(
                None,
                _(
                    "You are the only administrator who can sign in. Make another member "
                    "administrator before you leave. Nothing was erased."
                ),
            )
        else:
            logout(request)
            messages.success(request, _("Everything of yours is erased. Farewell."))
            if is_due():
                messages.info(
                    request,
                    _(
                        "The places in the database’s file where it stood could not be "
                        "overwritten just now; that is done within a day."
                    ),
                )
            return redirect("sign-in")
    return render(request, "members/erase.html", {"form": form, "remains": remains_of(me)})
