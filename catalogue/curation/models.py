"""Types that members propose and a curator decides on."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from series.models import CoinType


class Proposal(models.Model):
    """A member's proposed type (the type itself stands as "proposed") and what became of it."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting for a curator")
        ACCEPTED = "accepted", _("accepted")
        JOINED = "joined", _("joined to another type")
        REFUSED = "refused", _("sent back")

    coin_type = models.OneToOneField(CoinType, on_delete=models.CASCADE, related_name="proposal")
    proposed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="proposals"
    )
    proposed_at = models.DateTimeField(auto_now_add=True)
    note = models.TextField(_("note for the curator"), blank=True)
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    answer = models.TextField(_("answer"), blank=True)

    class Meta:
        ordering = ["-proposed_at", "-pk"]

    def __str__(self) -> str:
        return str(self.coin_type)
