"""Who asks: what the type checker knows of a request and of a viewer."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from catalogue.members.models import Member

Viewer = Member | AnonymousUser
"""A member, or a visitor who has not signed in."""


class MemberRequest(HttpRequest):
    """The request of a view that asks for a sign-in, as every view does that says nothing else."""

    user: Member
    htmx: HtmxDetails
