"""The browsers in which a member has signed in: known again by a cookie, listed, and ended.

The cookie holds tokens, one for each member who signed in there, so that one who plants a cookie in
another's browser does not make his own a known one.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.conf import settings
from django.contrib.auth import SESSION_KEY, user_logged_in, user_logged_out
from django.contrib.sessions.models import Session
from django.db.models import Q
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone

from catalogue.members.door.models import Device, Notice
from catalogue.members.door.network import client_agent
from catalogue.members.door.notices import tell
from catalogue.members.models import Member, hash_token, new_token

COOKIE = "devices"
LASTS = timedelta(days=400)  # longer keeps no browser a cookie
MEMBERS_ON_ONE = 8
MOST = 50  # devices of a member that are remembered
LOOK_AGAIN_AFTER = 10 * 60  # s
_NOTED = "device"

Answer = Callable[[HttpRequest], HttpResponseBase]


# ---- the cookie ----
def _tokens(request: HttpRequest) -> list[str]:
    kept = request.get_signed_cookie(COOKIE, default="", salt=COOKIE, max_age=LASTS)
    return (kept or "").split()


def known_device(request: HttpRequest, username: str) -> Device | None:
    """The device from which this is asked, if the member of this name has signed in from it."""
    hashes = [hash_token(token) for token in _tokens(request)]
    if not hashes:
        return None
    return Device.objects.filter(owner__username=username, token_hash__in=hashes).first()


def remember_devices(answer: Answer) -> Answer:
    """Note now and then that a device was used, and give a browser its cookie."""

    def answered(request: HttpRequest) -> HttpResponseBase:
        if request.user.is_authenticated and not _noted_lately(request):
            _note(request, request.user)
        response = answer(request)
        tokens = getattr(request, "device_tokens", None)
        if tokens:
            response.set_signed_cookie(  # type: ignore[attr-defined]
                COOKIE,
                " ".join(tokens),
                salt=COOKIE,
                max_age=LASTS,
                secure=settings.SESSION_COOKIE_SECURE,
                httponly=True,
                samesite="Lax",
            )
        return response

    return answered


# ---- noting ----
def connect() -> None:
    """Whoever signs in, by whatever door, is noted."""
    user_logged_in.connect(_signed_in, dispatch_uid="note-device")
    user_logged_out.connect(_signed_out, dispatch_uid="leave-device")


def _signed_in(request: HttpRequest, user: Member, **_: Any) -> None:
    first_ever = user.last_login is None and not user.devices.exists()
    device, known = _note(request, user)
    if not known and not first_ever:
        tell(user, Notice.Kind.DEVICE, agent=device.agent)


def _signed_out(request: HttpRequest, user: Member | None, **_: Any) -> None:
    if user is not None:
        Device.objects.filter(owner=user, session_hash=_session_hash(request)).update(
            session_hash=""
        )


def _session_hash(request: HttpRequest) -> str:
    if request.session.session_key is None:  # it was just emptied
        request.session.save()
    return hash_token(str(request.session.session_key))


def _noted_lately(request: HttpRequest) -> bool:
    _pk, session_hash, at = request.session.get(_NOTED, (0, "", 0))
    return bool(session_hash == _session_hash(request) and time.time() - at < LOOK_AGAIN_AFTER)


def _note(request: HttpRequest, member: Member) -> tuple[Device, bool]:
    """The row of this browser, now with this session; and whether it was known."""
    session_hash = _session_hash(request)
    tokens = _tokens(request)
    noted = request.session.get(_NOTED, (0, "", 0))[0]
    this_one = Q(token_hash__in=[hash_token(token) for token in tokens]) | Q(pk=noted)
    device = member.devices.filter(this_one).first()
    known = device is not None
    now, agent = timezone.now(), client_agent(request)
    if device is None:
        token = new_token()
        tokens = [token, *tokens[: MEMBERS_ON_ONE - 1]]
        _forget_surplus(member)
        device = Device.objects.create(
            owner=member, token_hash=hash_token(token), session_hash=session_hash, agent=agent
        )
        known = False
    else:
        if device.session_hash not in ("", session_hash):
            _end(device.session_hash)  # a browser has one session: the other was lost or copied
        member.devices.filter(pk=device.pk).update(
            session_hash=session_hash, agent=agent, last_at=now
        )
    request.session[_NOTED] = [device.pk, session_hash, int(time.time())]
    request.device_tokens = tokens  # type: ignore[attr-defined]
    return device, known


def _forget_surplus(member: Member) -> None:
    surplus = list(member.devices.all()[MOST - 1 :])
    for device in surplus:
        end_device(device)


# ---- listing and ending ----
def listed(request: HttpRequest, member: Member) -> list[dict[str, Any]]:
    """The member's devices, the last used first: whether signed in now, and which is this one."""
    live = Session.objects.filter(expire_date__gt=timezone.now())
    live_hashes = {hash_token(key) for key in live.values_list("session_key", flat=True)}
    here = _session_hash(request)
    return [
        {
            "device": device,
            "here": device.session_hash == here,
            "signed_in": device.session_hash in live_hashes,
        }
        for device in member.devices.all()
    ]


def end_device(device: Device) -> None:
    """Sign out there and know the device no more."""
    device.delete()
    _end(device.session_hash)


def _end(session_hash: str) -> None:
    for key in Session.objects.values_list("session_key", flat=True):
        if hash_token(key) == session_hash:
            Session.objects.filter(session_key=key).delete()


def end_sessions(member: Member, but: str | None = None) -> None:
    """Sign a member out everywhere, but for the session of this key."""
    theirs = [
        session.pk
        for session in Session.objects.exclude(session_key=but or "").iterator()
        if session.get_decoded().get(SESSION_KEY) == str(member.pk)
    ]
    Session.objects.filter(pk__in=theirs).delete()


def stay_here_only(request: HttpRequest, member: Member) -> None:
    """Sign out and forget every other device of a member."""
    device, _known = _note(request, member)
    end_sessions(member, but=request.session.session_key)
    member.devices.exclude(pk=device.pk).delete()


def forget_everywhere(member: Member) -> None:
    """Sign a member out everywhere and forget every device."""
    end_sessions(member)
    member.devices.all().delete()


def forget_old_devices() -> None:
    """Remove what no cookie names any more."""
    Device.objects.filter(last_at__lt=timezone.now() - LASTS).delete()
