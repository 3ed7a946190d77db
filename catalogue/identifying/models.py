"""What was seen of a piece, kept with it."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from catalogue.holdings.models import Holding
from catalogue.identifying import chances
from series.models import CoinType


class Observation(models.Model):
    """The evidence on one piece, and what it was likely to be when it was last ranked.

    ``texts`` are those of ``series.identifying.evidence.Evidence``; ``kept_at`` says when they
    were put down. ``likely_type`` and ``probability`` (0 to 1) are the first of the ranking, for a
    piece that is not identified. ``told_type`` is the type of which its owner knows that it is
    likely: it was when they kept the piece, or they took note of it at ``told_at``.
    """

    holding = models.OneToOneField(Holding, on_delete=models.CASCADE, related_name="observation")
    texts = models.JSONField(default=dict)
    kept_at = models.DateTimeField(default=timezone.now)
    likely_type = models.ForeignKey(
        CoinType, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    probability = models.FloatField(null=True, blank=True)
    ranked_at = models.DateTimeField(null=True, blank=True)
    told_type = models.ForeignKey(
        CoinType, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    told_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"observation of {self.holding_id}"

    @property
    def chance(self) -> str:
        """ "very likely, 93 %"."""
        return chances.said(self.probability or 0)
