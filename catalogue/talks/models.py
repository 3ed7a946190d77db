"""Talks: an ordered walk along stops, each with notes for the speaker and a caption."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.models import Holding
from catalogue.photos.models import Photo
from catalogue.site.secret_links import SecretlyShared
from series.models import CoinType, Currency, Issuer, Series
from series.records import Record


class Talk(SecretlyShared, Record):
    """A walk through coins that its owner shows to others, with what is said at each.

    ``minutes`` is the time there is; ``pace`` the words a minute that a rehearsal measured, None
    before one. Whoever has its secret link sees the stops that ``Stop.shown`` names and their
    captions, never the notes.
    """

    history_owner = "owner"

    class Hall(models.TextChoices):
        DARK = "dark", _("dark hall")
        LIGHT = "light", _("light hall")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="talks"
    )
    title = models.CharField(_("title"), max_length=120)
    given_by = models.CharField(
        _("who gives it"),
        max_length=120,
        blank=True,
        help_text=_("The name that listeners read. Left empty, nobody is named."),
    )
    hall = models.CharField(_("hall"), max_length=5, choices=Hall, default=Hall.DARK)
    minutes = models.PositiveSmallIntegerField(
        _("minutes there are"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(600)],
    )
    look_seconds = models.PositiveSmallIntegerField(
        _("seconds to look at each coin"), default=8, validators=[MaxValueValidator(600)]
    )
    pace = models.PositiveSmallIntegerField(null=True, blank=True, editable=False)
    says_worth = models.BooleanField(
        _("the notes say what a coin is worth"),
        default=False,
        help_text=_("One plain sentence for the speaker; no listener reads it."),
    )

    class Meta:
        ordering = ["owner", "title", "pk"]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("talk", args=[self.pk])


class Stop(Record):
    """One halt of a talk: a piece, a type that is missing, an opening page, or a line of text.

    ``notes`` is what the speaker says, paragraphs parted by an empty line. ``drafted`` keeps the
    sentences as they were drafted (``series.telling.sentences.Sentence`` as plain values): one
    that still stands in ``notes`` word for word is a draft that may be drafted again, all else is
    the speaker's own and is never overwritten. ``heading`` and ``caption`` left empty are taken
    from the record. ``light_…`` is the place the notes point at: a side, hours by the clock, and
    the way from the middle (0) to the rim (100). What a stop shows may go for good: the stop stays
    with all that is said at it.
    """

    history_of = ("talk",)
    history_owner = "talk__owner"

    class Kind(models.TextChoices):
        PIECE = "piece", _("a piece")
        TYPE = "type", _("a type, not held")
        COUNTRY = "country", _("a country")
        CURRENCY = "currency", _("a currency")
        SERIES = "series", _("a series")
        TEXT = "text", _("a line of text")

    RECORD: dict[str, str] = {
        "piece": "holding",
        "type": "coin_type",
        "country": "issuer",
        "currency": "currency",
        "series": "series",
    }
    """The field that names the record of each kind; a text has none."""
    COINS = (Kind.PIECE, Kind.TYPE)
    OPENINGS = (Kind.COUNTRY, Kind.CURRENCY, Kind.SERIES)

    talk = models.ForeignKey(Talk, on_delete=models.CASCADE, related_name="stops")
    position = models.PositiveIntegerField(default=0)
    kind = models.CharField(max_length=8, choices=Kind)
    holding = models.ForeignKey(
        Holding, null=True, blank=True, on_delete=models.SET_NULL, related_name="stops"
    )
    coin_type = models.ForeignKey(
        CoinType, null=True, blank=True, on_delete=models.SET_NULL, related_name="stops"
    )
    issuer = models.ForeignKey(
        Issuer, null=True, blank=True, on_delete=models.SET_NULL, related_name="stops"
    )
    currency = models.ForeignKey(
        Currency, null=True, blank=True, on_delete=models.SET_NULL, related_name="stops"
    )
    series = models.ForeignKey(
        Series, null=True, blank=True, on_delete=models.SET_NULL, related_name="stops"
    )
    photo = models.ForeignKey(
        Photo, null=True, blank=True, on_delete=models.SET_NULL, related_name="stops"
    )
    heading = models.CharField(_("heading"), max_length=120, blank=True)
    caption = models.CharField(_("caption"), max_length=300, blank=True)
    notes = models.TextField(_("notes"), max_length=10_000, blank=True)
    drafted = models.JSONField(default=list, blank=True, editable=False)
    look_seconds = models.PositiveSmallIntegerField(
        _("seconds to look"), null=True, blank=True, validators=[MaxValueValidator(600)]
    )
    rehearsed_seconds = models.PositiveSmallIntegerField(null=True, blank=True, editable=False)
    light_side = models.CharField(
        _("light on"),
        max_length=8,
        blank=True,
        choices=[("obverse", _("obverse")), ("reverse", _("reverse"))],
    )
    light_clock = models.DecimalField(
        _("at, by the clock"),
        max_digits=4,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(12)],
    )
    light_radius = models.PositiveSmallIntegerField(
        _("from the middle, %"), default=80, validators=[MaxValueValidator(100)]
    )
    shown = models.BooleanField(
        _("also behind the secret link"),
        default=True,
        help_text=_("Unticked, whoever has the link does not see this stop."),
    )
    though_private = models.BooleanField(_("even though I keep the piece to myself"), default=False)

    class Meta:
        ordering = ["talk", "position", "pk"]

    def __str__(self) -> str:
        return self.heading or str(self.record or self.get_kind_display())

    @property
    def record(self) -> Any:
        """The record that the stop shows, or None."""
        name = self.RECORD.get(self.kind)
        return getattr(self, name) if name else None
