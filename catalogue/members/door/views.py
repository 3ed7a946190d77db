"""The pages of the door: name and password, then the code of who has a second factor."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any, cast

from axes.helpers import get_cool_off
from axes.models import AccessAttempt
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from catalogue.members.door.forms import CodeForm, SignInForm
from catalogue.members.door.sealing import KeyLost
from catalogue.members.door.signing_in import finish, half_way, sign_in
from catalogue.members.door.slowing import HeldBack, held_words
from catalogue.members.models import Member

TOO_MANY = 429


class SignInView(LoginView):
    template_name = "members/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(nobody_yet=not Member.objects.exists(), **kwargs)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        return sign_in(self.request, form.get_user(), self.get_success_url())

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        response = super().form_invalid(form)
        return too_early(response, cast(SignInForm, form).held)


def too_early(response: HttpResponse, held: HeldBack | None) -> HttpResponse:
    """Say to programs, too, that it was tried too often."""
    if held is not None:
        response.status_code = TOO_MANY
        response["Retry-After"] = str(held.seconds)
    return response


@login_not_required
@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def sign_in_code(request: HttpRequest) -> HttpResponse:
    if request.user.is_authenticated:
        return redirect("home")
    half = half_way(request)
    if half is None:
        messages.info(request, _("Sign in with your name and password first."))
        return redirect("sign-in")
    form = CodeForm(request.POST or None)
    held: HeldBack | None = None
    if request.method == "POST" and form.is_valid():
        try:
            done = finish(request, half, form.cleaned_data["code"])
        except HeldBack as error:
            held, done = error, None
        except KeyLost:
            form.add_error("code", key_lost_words())
            done = None
        if done is not None:
            return done
        if not form.errors:
            form.add_error("code", held_words(held) if held else _wrong_code())
    page = render(request, "members/sign_in_code.html", {"form": form, "half": half})
    return too_early(page, held)


def _wrong_code() -> str:
    return _(
        "This code is not right, or was used already. Wait for the next one; if it is "
        "refused too, look whether the clock of your device is right."
    )


def key_lost_words() -> str:
    return _(
        "This site’s secret key is not the one with which your second factor was set up, so codes "
        "cannot be checked. Use a recovery code, or ask an administrator to remove the second "
        "factor; then set it up again."
    )


def locked(
    request: HttpRequest, response: HttpResponse | None, credentials: dict[str, Any] | None
) -> HttpResponse:
    """The page shown to a network address from which there were too many wrong passwords."""
    left = max(_lock_ends(request) - timezone.now(), timedelta(0))
    minutes = max(1, math.ceil(left.total_seconds() / 60))
    page = render(request, "members/locked.html", {"minutes": minutes}, status=TOO_MANY)
    page["Retry-After"] = str(minutes * 60)
    return page


def _lock_ends(request: HttpRequest) -> datetime:
    """When so many attempts are old that fewer than the limit count."""
    wait = cast(timedelta, get_cool_off(request))
    counted = 0
    attempts = AccessAttempt.objects.filter(ip_address=request.axes_ip_address)  # type: ignore[attr-defined]
    for at, failures in attempts.order_by("-attempt_time").values_list(
        "attempt_time", "failures_since_start"
    ):
        counted += failures
        if counted >= settings.AXES_FAILURE_LIMIT:
            return cast(datetime, at + wait)
    return timezone.now() + wait
