"""The second factor on a member's account: set up, confirmed, given new codes, switched off."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from catalogue.members.door.forms import FactorChangeForm, FirstCodeForm, OwnPasswordForm
from catalogue.members.door.models import SecondFactor
from catalogue.members.door.sealing import KeyLost
from catalogue.members.door.second_factor import (
    accept,
    begin,
    begun_by,
    can_be_checked,
    confirm,
    factor_of,
    key_address,
    key_letters,
    new_recovery_codes,
    recovery_left,
    switch_off,
)
from catalogue.members.door.slowing import CODE, HeldBack, held_words, let_go, take
from catalogue.members.door.views import key_lost_words
from catalogue.members.models import Member
from catalogue.members.requests import MemberRequest
from catalogue.printing.codes import qr_markup
from catalogue.site.secret_pages import shield

QR_SIDE = 100  # units of the drawing


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def second_factor(request: MemberRequest) -> HttpResponse:
    """One page in three states: off, waiting for its first code, on."""
    member = Member.objects.get(pk=request.user.pk)
    factor, begun = factor_of(member), begun_by(member)
    if factor is not None:
        response = _on(request, member, factor)
    elif begun is not None and can_be_checked(begun):
        response = _begun(request, member, begun)
    else:
        response = _off(request, member)
    shield(response)
    return response


def _off(request: MemberRequest, member: Member) -> HttpResponse:
    form = OwnPasswordForm(request.POST or None, member=member)
    if request.method == "POST" and form.is_valid():
        begin(member)
        return redirect("account-second-factor")
    return render(request, "members/second_factor_off.html", {"form": form})


def _begun(request: MemberRequest, member: Member, factor: SecondFactor) -> HttpResponse:
    if request.POST.get("do") == "leave":
        switch_off(member)
        return redirect("account")
    form = FirstCodeForm(request.POST if "code" in request.POST else None)  # else sent twice
    if form.is_valid():
        codes = confirm(factor, form.cleaned_data["code"])
        if codes:
            return _show_codes(request, codes)
        form.add_error("code", _("This is not the code it shows. Wait for the next and try again."))
    letters = key_letters(factor)
    context = {
        "form": form,
        "letters": [letters[at : at + 4] for at in range(0, len(letters), 4)],
        "address": key_address(factor),
        "qr": qr_markup(key_address(factor), QR_SIDE),
    }
    return render(request, "members/second_factor_begun.html", context)


def _on(request: MemberRequest, member: Member, factor: SecondFactor) -> HttpResponse:
    sent = request.POST if "do" in request.POST else None  # else a first code sent twice
    form = FactorChangeForm(sent, member=member)
    if form.is_valid() and _code_is_right(form, factor):
        if request.POST.get("do") == "codes":
            return _show_codes(request, new_recovery_codes(factor))
        switch_off(member)
        messages.success(request, _("No code is asked for any more when you sign in."))
        return redirect("account")
    context = {
        "form": form,
        "factor": factor,
        "left": recovery_left(factor),
        "key_lost": "" if can_be_checked(factor) else key_lost_words(),
    }
    return render(request, "members/second_factor_on.html", context)


def _code_is_right(form: FactorChangeForm, factor: SecondFactor) -> bool:
    whose = f"{factor.owner_id} inside"
    try:
        take(CODE, whose)
        if accept(factor, form.cleaned_data["code"]):
            let_go(CODE, whose)
            return True
        form.add_error("code", _("This code is not right, or was used already."))
    except HeldBack as held:
        form.add_error("code", held_words(held))
    except KeyLost:
        form.add_error("code", key_lost_words())
    return False


def _show_codes(request: MemberRequest, codes: list[str]) -> HttpResponse:
    return render(request, "members/recovery_codes.html", {"codes": codes})
