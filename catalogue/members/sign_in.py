"""What a person is told who has tried too often to sign in."""

from __future__ import annotations

import math
from datetime import timedelta
from typing import Any

from axes.helpers import get_client_username, get_cool_off
from axes.models import AccessAttempt
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from catalogue.members.models import Member


class SignInView(LoginView):
    template_name = "members/sign_in.html"
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(nobody_yet=not Member.objects.exists(), **kwargs)


def locked(
    request: HttpRequest, response: HttpResponse | None, credentials: dict[str, Any] | None
) -> HttpResponse:
    """The page shown instead of the sign-in page: how long to wait, in whole minutes."""
    wait = get_cool_off(request)
    username = get_client_username(request, credentials) or ""
    last = (
        AccessAttempt.objects.filter(username=username, ip_address=request.axes_ip_address)  # type: ignore[attr-defined]
        .order_by("-attempt_time")
        .values_list("attempt_time", flat=True)
        .first()
    )
    left = wait if last is None else max(last + wait - timezone.now(), timedelta(0))
    minutes = max(1, math.ceil(left.total_seconds() / 60))
    page = render(request, "members/locked.html", {"minutes": minutes}, status=429)
    page["Retry-After"] = str(minutes * 60)
    return page
