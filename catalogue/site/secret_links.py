"""What an owner shares by a secret link: the token stored hashed, its end, and the form for it."""

from __future__ import annotations

import datetime
from typing import Any, TypeVar

from django import forms
from django.conf import settings
from django.contrib import messages
from django.db import models
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from catalogue.members.models import hash_token, new_token

S = TypeVar("S", bound="SecretlyShared")


class SecretlyShared(models.Model):
    """A record that whoever has its link may read until the link ends."""

    token_hash = models.CharField(max_length=64, blank=True, db_index=True)
    expires_at = models.DateTimeField(_("link ends"), null=True, blank=True)

    class Meta:
        abstract = True

    @property
    def is_shared(self) -> bool:
        return bool(self.token_hash) and (
            self.expires_at is None or self.expires_at > timezone.now()
        )

    def new_link(self, expires_at: datetime.datetime) -> str:
        """A new token, of which only the hash is kept; an older one leads nowhere from now on."""
        token = new_token()
        self.token_hash, self.expires_at = hash_token(token), expires_at
        self.save()
        return token

    def end_link(self) -> None:
        self.token_hash, self.expires_at = "", None
        self.save()


def behind_link(records: models.QuerySet[S], token_hash: str) -> models.QuerySet[S]:
    """The record behind a secret link, while the link lasts and its owner is a member."""
    alive = models.Q(expires_at__isnull=True) | models.Q(expires_at__gt=timezone.now())
    return records.filter(alive, token_hash=token_hash, owner__is_active=True).exclude(
        token_hash=""
    )


def _session_key(record: SecretlyShared) -> str:
    return f"{record._meta.model_name}-link-{record.pk}"


class ShareForm(forms.Form):
    """How long a secret link lasts."""

    days = forms.TypedChoiceField(
        label=_("The link lasts"),
        coerce=int,
        choices=[(30, _("30 days")), (90, _("90 days")), (365, _("a year"))],
        initial=90,
    )

    def expires_at(self) -> datetime.datetime:
        days: int = self.cleaned_data["days"]
        return timezone.now() + datetime.timedelta(days=days)


def share(request: HttpRequest, record: SecretlyShared) -> None:
    """Make a new secret link; it is shown once, and an older one leads nowhere from now on."""
    form = ShareForm(request.POST)
    if form.is_valid():
        request.session[_session_key(record)] = record.new_link(form.expires_at())
    else:
        messages.error(request, _("Choose how long the link lasts."))


def unshare(request: HttpRequest, record: SecretlyShared) -> None:
    record.end_link()
    messages.success(request, _("The link leads nowhere now."))


def with_new_link(
    request: HttpRequest, record: SecretlyShared, template: str, name: str, context: dict[str, Any]
) -> HttpResponse:
    """The owner's page of a record; the link just made is on it, and then it is kept by no cache.

    ``name`` is that of the link's address.
    """
    token = str(request.session.pop(_session_key(record), ""))
    address = settings.SITE_ADDRESS + reverse(name, args=[token]) if token else ""
    answer = render(request, template, {"form": ShareForm(), "address": address, **context})
    if token:
        answer["Cache-Control"] = "no-store"
    return answer
