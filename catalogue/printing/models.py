"""Label stock a member described, and sheets asked for."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from series.records import Record


def _length(name: Any, **more: Any) -> models.DecimalField[Any, Any]:
    return models.DecimalField(name, max_digits=6, decimal_places=2, **more)


class LabelStock(Record):
    """A sheet of labels by its measures, in millimetres."""

    history_owner = "owner"

    class Shape(models.TextChoices):
        RECTANGLE = "rectangle", _("rectangle")
        ROUND = "round", _("round")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="label_stocks"
    )
    name = models.CharField(_("name"), max_length=80)
    paper = models.CharField(_("paper"), max_length=6, default="A4")
    shape = models.CharField(_("shape"), max_length=9, choices=Shape, default=Shape.RECTANGLE)
    rows = models.PositiveSmallIntegerField(_("rows"))
    columns = models.PositiveSmallIntegerField(_("columns"))
    width_mm = _length(_("label width, mm"))
    height_mm = _length(_("label height, mm"))
    left_mm = _length(_("left margin, mm"))
    top_mm = _length(_("top margin, mm"))
    gap_across_mm = _length(_("gap between columns, mm"), default=0)
    gap_down_mm = _length(_("gap between rows, mm"), default=0)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class Sheet(models.Model):
    """A sheet asked for: drawn at once when small, by a task when long; the owner's alone."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        DRAWING = "drawing", _("being drawn")
        READY = "ready", _("ready")
        FAILED = "failed", _("failed")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="sheets"
    )
    kind = models.CharField(max_length=20)
    title = models.CharField(max_length=200)
    parameters = models.JSONField(default=dict)
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    message = models.TextField(blank=True)
    file = models.CharField(max_length=120, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.title
