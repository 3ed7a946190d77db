"""Insurance schedules: dated, numbered, frozen."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from catalogue.models import Holding


class Schedule(models.Model):
    """A frozen list of holdings and values for an insurer.

    Lines keep what was said when it was made; later edits of holdings do not change it.
    """

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="schedules"
    )
    number = models.CharField(_("number"), max_length=40)
    insured = models.CharField(_("owner as named to the insurer"), max_length=200)
    insurer = models.CharField(_("insurer"), max_length=200, blank=True)
    policy = models.CharField(_("policy"), max_length=80, blank=True)
    as_of = models.DateField(_("as of"))
    currency = models.CharField(_("currency"), max_length=3)
    threshold = models.DecimalField(_("itemised from"), max_digits=14, decimal_places=2)
    bulk_rate = models.DecimalField(
        _("rate for each small piece without a value"), max_digits=10, decimal_places=2, default=0
    )
    rates_note = models.TextField(blank=True)
    total = models.DecimalField(max_digits=16, decimal_places=2, default=0)
    pieces = models.PositiveIntegerField(default=0)
    digest = models.CharField(max_length=64, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-as_of", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["owner", "number"], name="schedule_number_once")
        ]

    def __str__(self) -> str:
        return self.number

    def get_absolute_url(self) -> str:
        return reverse("schedule", args=[self.pk])


class ScheduleNumbers(models.Model):
    """The highest number given to a schedule of an owner in a year: none is given again.

    A paper that an insurer holds keeps its number, also when the schedule is deleted here.
    """

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="schedule_numbers"
    )
    year = models.PositiveSmallIntegerField()
    highest = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["owner", "year"], name="schedule_numbers_once")
        ]

    def __str__(self) -> str:
        return f"{self.owner} {self.year}: {self.highest}"


class SchedulePhoto(models.Model):
    """A photograph that a schedule shows: kept as long as the schedule, whatever its piece does."""

    schedule = models.ForeignKey(Schedule, on_delete=models.CASCADE, related_name="photographs")
    digest = models.CharField(max_length=64, db_index=True)

    def __str__(self) -> str:
        return f"{self.schedule} {self.digest[:12]}"


class ScheduleLine(models.Model):
    """One itemised piece or one group of small ones, with the words and figures as frozen."""

    schedule = models.ForeignKey(Schedule, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveIntegerField()
    holding = models.ForeignKey(Holding, null=True, on_delete=models.SET_NULL, related_name="+")
    grouped = models.BooleanField(default=False)
    pieces = models.PositiveIntegerField(default=1)
    amount = models.DecimalField(max_digits=16, decimal_places=2)
    facts = models.JSONField(default=dict)

    class Meta:
        ordering = ["schedule", "position"]

    def __str__(self) -> str:
        return f"{self.schedule} line {self.position}"
