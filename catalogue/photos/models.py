"""Photographs of holdings, stored under their digest."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.models import Holding
from series.records import Record


class Photo(Record):
    """A photograph of one side of a holding.

    ``digest`` is the SHA-256 of the stored, re-encoded picture, which carries no metadata;
    sizes are stored beside it (catalogue.photos.store). ``trimmed``: the picture is cut to the
    edge of the coin, so that it can be drawn to scale.
    """

    history_of = ("holding",)

    class Side(models.TextChoices):
        OBVERSE = "obverse", _("obverse")
        REVERSE = "reverse", _("reverse")
        EDGE = "edge", _("edge")
        OTHER = "other", _("other")

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="photos")
    side = models.CharField(_("side"), max_length=8, choices=Side, default=Side.OBVERSE)
    digest = models.CharField(max_length=64, db_index=True)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    trimmed = models.BooleanField(_("trimmed to the edge of the coin"), default=False)
    taken_on = models.DateField(_("taken on"), null=True, blank=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["holding", "position", "pk"]

    def __str__(self) -> str:
        return f"{self.holding_id} {self.side}"
