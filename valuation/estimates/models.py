"""Values: who said what a coin is worth, on which day, in which currency, on which basis."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from catalogue.models import Holding
from series.models import CoinType, Issue
from series.records import Record


class PriceSource(Record):
    """Where values come from: a printed list, a sale, a dealer, a person."""

    history_owner = "owner"

    class Kind(models.TextChoices):
        LIST = "list", _("price list")
        SALE = "sale", _("sale record")
        DEALER = "dealer", _("dealer")
        PERSON = "person", _("named person")
        OWN = "own", _("own estimate")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.CASCADE,
        related_name="price_sources",
        help_text=_("Empty: shared by the club."),
    )
    name = models.CharField(_("name"), max_length=160)
    kind = models.CharField(_("kind"), max_length=6, choices=Kind, default=Kind.LIST)
    url = models.URLField(_("address"), blank=True)
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


def _what(model: type[models.Model]) -> models.ForeignKey[Any, Any]:
    """What a value may be of; found by the indexes of ``Valuation.Meta``."""
    return models.ForeignKey(
        model,
        null=True,
        blank=True,
        on_delete=models.CASCADE,
        related_name="valuations",
        db_index=False,
    )


def _found_by(name: str, of: str, *more: str) -> models.Index:
    return models.Index(fields=[of, *more], condition=_is_given(of), name=name)


def _is_given(field: str) -> models.Q:
    return models.Q(**{f"{field}__isnull": False})


class Valuation(Record):
    """A value of one holding, or of a type or issue at a grade.

    ``single`` or ``low`` and ``high``: per piece, in ``currency``; ``on`` is the day the value was
    recorded or published. An appraisal is stated by a named person for one piece; an estimate
    is worked out from a source. Neither is an offer.
    """

    history_of = ("holding",)
    history_owner = "source__owner"

    class Basis(models.TextChoices):
        RETAIL = "retail", _("retail asking")
        HAMMER = "hammer", _("hammer")
        HAMMER_PREMIUM = "hammer_premium", _("hammer with premium")
        BUYING = "buying", _("dealer's buying")
        BULK = "bulk", _("bulk")
        FACE = "face", _("face")
        METAL = "metal", _("metal")

    holding = _what(Holding)
    coin_type = _what(CoinType)
    issue = _what(Issue)
    grade_scale = models.CharField(max_length=11, choices=Holding.Scale, default="british")
    grade = models.CharField(_("grade"), max_length=12, blank=True)
    grade_rank = models.SmallIntegerField(null=True, blank=True, editable=False)
    single = models.DecimalField(
        _("amount"), max_digits=14, decimal_places=2, null=True, blank=True
    )
    low = models.DecimalField(_("from"), max_digits=14, decimal_places=2, null=True, blank=True)
    high = models.DecimalField(_("to"), max_digits=14, decimal_places=2, null=True, blank=True)
    currency = models.CharField(_("currency"), max_length=3, default="EUR")
    on = models.DateField(_("on"))
    basis = models.CharField(_("price basis"), max_length=14, choices=Basis, default=Basis.RETAIL)
    source = models.ForeignKey(
        PriceSource, on_delete=models.CASCADE, related_name="valuations", verbose_name=_("source")
    )
    appraiser = models.CharField(
        _("appraised by"), max_length=160, blank=True, help_text=_("A named person, one piece.")
    )
    note = models.CharField(_("note"), max_length=300, blank=True)
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["-on", "-pk"]
        # A value is of a holding, a type or an issue; the other two columns are null. Nulls are
        # left out: else ANALYZE on SQLite counts them as one value that most rows have, takes the
        # index for a bad one, and reads the whole table for each holding.
        indexes = [
            _found_by("value_of_holding", "holding", "on"),
            _found_by("value_of_type", "coin_type", "grade_rank", "on"),
            _found_by("value_of_issue", "issue", "grade_rank", "on"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=_is_given("single") | models.Q(low__isnull=False, high__isnull=False),
                name="value_has_an_amount",
            ),
            models.CheckConstraint(
                condition=_is_given("holding") | _is_given("coin_type") | _is_given("issue"),
                name="value_is_of_something",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.single or self.low} {self.currency} {self.on}"
