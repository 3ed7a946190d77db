"""Ending the sessions of one's own devices, and putting away what one was told."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from catalogue import access
from catalogue.members.door.devices import end_device, stay_here_only
from catalogue.members.door.models import Device, Notice
from catalogue.members.requests import MemberRequest


@require_POST
def device_end(request: MemberRequest, pk: int) -> HttpResponse:
    """End a device of one's own; one that is gone already, or another's, is left alone."""
    device = access.owned(Device.objects.all(), request.user).filter(pk=pk).first()
    if device is None:
        messages.info(request, _("That device is not among yours any more."))
    else:
        end_device(device)
        messages.success(request, _("%s is signed out and is a new device from now on.") % device)
    return redirect("account")


@require_POST
def devices_end(request: MemberRequest) -> HttpResponse:
    stay_here_only(request, request.user)
    messages.success(request, _("You are signed in here only."))
    return redirect("account")


@require_POST
def notices_put_away(request: MemberRequest) -> HttpResponse:
    """Put away the notices whose ids are sent; what is not the member's stays."""
    sent = [pk for pk in request.POST.getlist("notice") if pk.isdecimal() and len(pk) < 18]
    access.owned(Notice.objects.all(), request.user).filter(pk__in=sent).delete()
    return redirect("home")
