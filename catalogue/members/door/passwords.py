"""Trying a password, at the door and of somebody inside; nowhere else is one looked at."""

from __future__ import annotations

from django.contrib.auth import authenticate
from django.contrib.auth.backends import ModelBackend
from django.core.exceptions import ValidationError
from django.http import HttpRequest
from django.utils.translation import gettext as _

from catalogue.members.door.devices import known_device
from catalogue.members.door.slowing import (
    DEVICE,
    NAME,
    OWN_PASSWORD,
    HeldBack,
    held_words,
    let_go,
    take,
)
from catalogue.members.models import Member


def try_password(request: HttpRequest, name: str, password: str) -> Member | None:
    """The member whose name and password these are; raises HeldBack.

    On a device that the member has used, only its own wrong passwords count. On all others
    together they count for the name, whether anybody has it or not, and for the network address.
    """
    device = known_device(request, name)
    if device is not None:
        take(DEVICE, device.pk)
        return ModelBackend().authenticate(request, name, password)
    take(NAME, name)
    return authenticate(request, username=name, password=password)


def password_was_right(request: HttpRequest, member: Member) -> None:
    """Somebody signed in altogether: nothing is held against where they did."""
    device = known_device(request, member.username)
    if device is None:
        let_go(NAME, member.username)
    else:
        let_go(DEVICE, device.pk)


def confirm_password(member: Member, password: str) -> None:
    """Raise ValidationError unless it is the password of this member, who is signed in."""
    try:
        take(OWN_PASSWORD, member.pk)
    except HeldBack as held:
        raise ValidationError(held_words(held)) from held
    if not member.check_password(password):
        raise ValidationError(_("This is not your password. Nothing was changed."))
    let_go(OWN_PASSWORD, member.pk)
