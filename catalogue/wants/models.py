"""Aims, wants, want lists and promised spares."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.models import Holding
from catalogue.site.secret_links import SecretlyShared
from series.models import CoinType, Currency, Denomination, Issue, Issuer, Series
from series.records import Record
from series.tracked import Tracked


def _circulation_only() -> list[str]:
    return [Issue.Purpose.CIRCULATION.value]


class Aim(Record):
    """What a member sets out to complete."""

    history_owner = "owner"

    class Unit(models.TextChoices):
        DENOMINATION = "denomination", _("each denomination")
        TYPE = "type", _("each type")
        DATE = "date", _("each date")
        DATE_MINT = "date_mint", _("each date and mint")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="aims"
    )
    name = models.CharField(_("name"), max_length=120)
    unit = models.CharField(_("complete"), max_length=12, choices=Unit, default=Unit.DATE)
    issuer = models.ForeignKey(
        Issuer, null=True, blank=True, on_delete=models.CASCADE, verbose_name=_("country")
    )
    currency = models.ForeignKey(Currency, null=True, blank=True, on_delete=models.CASCADE)
    series = models.ForeignKey(Series, null=True, blank=True, on_delete=models.CASCADE)
    denomination = models.ForeignKey(Denomination, null=True, blank=True, on_delete=models.CASCADE)
    coin_type = models.ForeignKey(
        CoinType, null=True, blank=True, on_delete=models.CASCADE, verbose_name=_("type")
    )
    first_year = models.SmallIntegerField(_("from"), null=True, blank=True)
    last_year = models.SmallIntegerField(_("to"), null=True, blank=True)
    purposes = models.JSONField(_("purposes that count"), default=_circulation_only)
    commemoratives = models.BooleanField(_("commemoratives count"), default=True)
    grade_scale = models.CharField(max_length=11, choices=Holding.Scale, default="british")
    lowest_grade = models.CharField(_("lowest grade"), max_length=12, blank=True)
    lowest_rank = models.SmallIntegerField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["owner", "name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("aim", args=[self.pk])


class Want(Record):
    """Something asked for by hand."""

    history_owner = "owner"

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="wants"
    )
    coin_type = models.ForeignKey(CoinType, null=True, blank=True, on_delete=models.CASCADE)
    issue = models.ForeignKey(Issue, null=True, blank=True, on_delete=models.CASCADE)
    text = models.CharField(
        _("in words"), max_length=200, blank=True, help_text=_("When no record fits.")
    )
    grade_scale = models.CharField(max_length=11, choices=Holding.Scale, default="british")
    lowest_grade = models.CharField(_("lowest grade"), max_length=12, blank=True)
    lowest_rank = models.SmallIntegerField(null=True, blank=True, editable=False)
    highest_price = models.DecimalField(
        _("highest price"), max_digits=12, decimal_places=2, null=True, blank=True
    )
    price_currency = models.CharField(_("in"), max_length=3, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    asked_of = models.ForeignKey(
        Holding,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="asked_for",
        verbose_name=_("the spare that was asked for"),
    )

    class Meta:
        ordering = ["owner", "coin_type", "issue", "pk"]

    def __str__(self) -> str:
        return self.text or str(self.issue or self.coin_type)


class WantList(SecretlyShared, Record):
    """A list of wants that its owner may share by a secret link."""

    history_owner = "owner"

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="want_lists"
    )
    title = models.CharField(_("title"), max_length=120)
    aims = models.ManyToManyField(Aim, blank=True, related_name="lists")
    with_hand_wants = models.BooleanField(_("with wants asked for by hand"), default=True)
    with_upgrades = models.BooleanField(_("with better pieces looked for"), default=True)
    greeting = models.CharField(
        _("a line for the reader"), max_length=300, blank=True, help_text=_("Shown on the list.")
    )
    asked_by = models.CharField(
        _("who asks"),
        max_length=120,
        blank=True,
        help_text=_("The name strangers see. Left empty, the list names nobody."),
    )
    answer_to = models.CharField(
        _("how to answer"),
        max_length=300,
        blank=True,
        help_text=_(
            "Shown to whoever has the link, such as “At the club on Tuesdays” or an address "
            "to write to. Give only what strangers may know."
        ),
    )

    class Meta:
        ordering = ["owner", "title", "pk"]

    def __str__(self) -> str:
        return self.title


class Reservation(Tracked):
    """A spare promised to one member for one want; a holding can be promised only once."""

    history_of = ("holding",)

    holding = models.OneToOneField(Holding, on_delete=models.CASCADE, related_name="reservation")
    wanted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="promised"
    )
    coin_type = models.ForeignKey(CoinType, on_delete=models.CASCADE)
    issue = models.ForeignKey(Issue, null=True, blank=True, on_delete=models.CASCADE)
    note = models.CharField(_("note"), max_length=300, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.holding} for {self.wanted_by}"
