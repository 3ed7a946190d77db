"""The one way in: after the password, or a link, the second factor; then the session."""

from __future__ import annotations

import time
from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.crypto import constant_time_compare
from django.utils.translation import ngettext

from catalogue.members.door.devices import known_device
from catalogue.members.door.models import Notice, SecondFactor
from catalogue.members.door.network import client_agent
from catalogue.members.door.notices import tell
from catalogue.members.door.passwords import password_was_right
from catalogue.members.door.second_factor import (
    accept_code,
    accept_recovery,
    factor_of,
    recovery_left,
)
from catalogue.members.door.slowing import CODE, let_go, take
from catalogue.members.models import Member

BACKEND = "django.contrib.auth.backends.ModelBackend"
HALF_WAY_LASTS = 10 * 60  # s
_HALF_WAY = "half-way"


@dataclass(frozen=True)
class HalfWay:
    """Somebody whose password was right and who owes a code."""

    member: Member
    to: str


def sign_in(request: HttpRequest, member: Member, to: str) -> HttpResponse:
    """Let a member in whose password or link was right, or ask for the second factor first."""
    if factor_of(member) is None:
        return _let_in(request, member, to)
    request.session.cycle_key()
    request.session[_HALF_WAY] = [member.pk, member.get_session_auth_hash(), time.time(), to]
    return redirect("sign-in-code")


def half_way(request: HttpRequest) -> HalfWay | None:
    """Who owes a code here, unless it is long ago or the password was changed since."""
    pk, auth_hash, at, to = request.session.get(_HALF_WAY, (0, "", 0, ""))
    member = Member.objects.filter(pk=pk, is_active=True).first()
    if member is None or not 0 <= time.time() - at < HALF_WAY_LASTS:
        return None
    if not constant_time_compare(auth_hash, member.get_session_auth_hash()):
        return None
    return HalfWay(member, to)


def finish(request: HttpRequest, half: HalfWay, code: str) -> HttpResponse | None:
    """Let in who gives the right code; None when it is wrong. Raises HeldBack and KeyLost."""
    whose = f"{half.member.pk} {getattr(known_device(request, half.member.username), 'pk', '')}"
    tries = take(CODE, whose)
    factor = factor_of(half.member)
    if factor is not None and accept_recovery(factor, code):
        _say_what_is_left(request, factor)
    elif factor is not None and not accept_code(factor, code):
        if tries == CODE.free:
            tell(half.member, Notice.Kind.CODES, agent=client_agent(request))
        return None
    let_go(CODE, whose)
    return _let_in(request, half.member, half.to)


def _say_what_is_left(request: HttpRequest, factor: SecondFactor) -> None:
    left = recovery_left(factor)
    words = ngettext(
        "That recovery code is used up; %(n)d is left.",
        "That recovery code is used up; %(n)d are left.",
        left,
    )
    messages.warning(request, words % {"n": left})


def _let_in(request: HttpRequest, member: Member, to: str) -> HttpResponse:
    password_was_right(request, member)
    request.session.pop(_HALF_WAY, None)
    login(request, member, backend=BACKEND)
    return redirect(to)
