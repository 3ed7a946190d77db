"""The pages of one-time links, and of asking for one by mail."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import SetPasswordForm
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from catalogue.members.door.network import client_address
from catalogue.members.door.signing_in import sign_in
from catalogue.members.door.slowing import ASKED_FOR, ASKED_FROM, HeldBack, held_words, take
from catalogue.members.door.views import too_early
from catalogue.members.forms import ForgotForm, JoinForm
from catalogue.members.links import LinkUsedUp, find_link, join, mail_resets, set_new_password
from catalogue.members.models import HandedLink, Member
from catalogue.site.secret_pages import secret_page


@login_not_required
@secret_page
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def handed_link(request: HttpRequest, token: str) -> HttpResponse:
    """Join by an invitation, or set a new password; signs the person in."""
    link = find_link(token)
    if link is None:
        return _ended(request)
    joins = link.kind == HandedLink.Kind.INVITATION
    form = _form(link, request.POST or None)
    if request.method == "POST" and form.is_valid():
        member: Member = form.save(commit=False)
        try:
            (join if joins else set_new_password)(link, member)
        except LinkUsedUp:
            return _ended(request)
        welcome = _("Welcome. This is your front page.")
        messages.success(request, welcome if joins else _("Your new password is set."))
        return sign_in(request, member, reverse("home"))
    page = "members/join.html" if joins else "members/new_password.html"
    return render(request, page, {"form": form, "link": link, "who": link.member})


def _form(link: HandedLink, sent: QueryDict | None) -> JoinForm | SetPasswordForm[Any]:
    if link.kind == HandedLink.Kind.INVITATION:
        return JoinForm(sent, initial={"email": link.email})
    return SetPasswordForm(link.member, sent)


def _ended(request: HttpRequest) -> HttpResponse:
    return render(request, "members/link_ended.html", status=404)


@login_not_required
@require_http_methods(["GET", "POST"])
def forgot(request: HttpRequest) -> HttpResponse:
    """Ask for a link by mail; the answer is the same whether the address is known or not."""
    form = ForgotForm(request.POST or None)
    held = None
    asked = settings.MAIL_GIVEN and request.method == "POST" and form.is_valid()
    if asked:
        try:
            take(ASKED_FROM, client_address(request))
            take(ASKED_FOR, form.cleaned_data["email"])
            mail_resets.enqueue(form.cleaned_data["email"])
        except HeldBack as error:
            held, asked = error, False
            form.add_error(None, held_words(error))
    context = {"form": form, "asked": asked, "mail_given": settings.MAIL_GIVEN}
    return too_early(render(request, "members/forgot.html", context), held)
