"""Archives that members bring back, from the file to what came of it."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _


class BroughtArchive(models.Model):
    """A member's archive; the owner's alone.

    ``file`` names the stored zip until it is brought back. ``report``: under "made" how many rows
    of each table, under "here" of how many pieces the numbers are in use, under "left_out" why
    others don't come (the first ones), of "left" in all.
    """

    class State(models.TextChoices):
        LOOKING = "looking", _("is being looked through")
        REHEARSAL = "rehearsal", _("is to be looked over")
        BRINGING = "bringing", _("is being brought back")
        DONE = "done", _("brought back")
        FAILED = "failed", _("could not be brought back")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="brought_archives"
    )
    name = models.CharField(_("file"), max_length=200)
    file = models.CharField(max_length=120, blank=True)
    state = models.CharField(max_length=9, choices=State, default=State.LOOKING)
    report = models.JSONField(default=dict, blank=True)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    message = models.TextField(blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("archive", args=[self.pk])
