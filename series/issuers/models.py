"""Who issued, in which money, in which denominations, and where it was struck."""

from __future__ import annotations

from fractions import Fraction

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from series.records import PackedRecord
from series.tracked import Tracked


class Issuer(PackedRecord):
    """The state or authority that issued; "country" on screens."""

    name = models.CharField(_("name"), max_length=120)
    code = models.CharField(
        _("country code"), max_length=2, blank=True, help_text=_("ISO 3166-1, where one exists.")
    )
    first_year = models.SmallIntegerField(_("from"), null=True, blank=True)
    last_year = models.SmallIntegerField(_("to"), null=True, blank=True)
    predecessors = models.ManyToManyField(
        "self", symmetrical=False, blank=True, related_name="successors"
    )
    story = models.TextField(_("story"), blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("country", args=[self.key])


class Currency(PackedRecord):
    """A unit system with exact ratios, its years, its successor and the legal rate of change."""

    issuers = models.ManyToManyField(Issuer, related_name="currencies")
    name = models.CharField(_("name"), max_length=80)
    plural = models.CharField(_("plural"), max_length=80, blank=True)
    symbol = models.CharField(_("symbol"), max_length=12, blank=True)
    code = models.CharField(
        _("currency code"), max_length=3, blank=True, help_text=_("ISO 4217, where one exists.")
    )
    first_year = models.SmallIntegerField(_("from"), null=True, blank=True)
    last_year = models.SmallIntegerField(_("to"), null=True, blank=True)
    successor = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="replaced"
    )
    rate = models.CharField(
        _("legal rate"),
        max_length=40,
        blank=True,
        help_text=_("How many units of this currency make one of its successor, exactly."),
    )
    rate_from = models.DateField(_("rate in force from"), null=True, blank=True)
    subunit_in_use = models.BooleanField(_("a sub-unit is still in use"), default=True)
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["first_year", "name"]
        verbose_name_plural = "currencies"

    def __str__(self) -> str:
        return self.name


class CurrencyUnit(Tracked):
    """A named unit of a currency; one main unit is ``per_main`` of these (exact)."""

    history_of = ("currency",)

    currency = models.ForeignKey(Currency, on_delete=models.CASCADE, related_name="units")
    name = models.CharField(_("name"), max_length=60)
    plural = models.CharField(_("plural"), max_length=60, blank=True)
    symbol = models.CharField(_("symbol"), max_length=12, blank=True)
    per_main = models.CharField(
        _("how many make one main unit"), max_length=20, help_text=_("A whole number or a/b.")
    )
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["currency", "name"], name="unit_once_in_currency")
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def ratio(self) -> Fraction:
        return Fraction(self.per_main)


class Denomination(PackedRecord):
    """A named value of a currency, an entity of its own; ``value`` is exact, in main units."""

    currency = models.ForeignKey(Currency, on_delete=models.CASCADE, related_name="denominations")
    name = models.CharField(_("name"), max_length=80)
    value_numerator = models.BigIntegerField(_("value, numerator"))
    value_denominator = models.BigIntegerField(_("value, denominator"), default=1)
    sort_value = models.FloatField(editable=False, default=0.0)
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["sort_value", "name"]

    def save(self, *args: object, **kwargs: object) -> None:
        self.sort_value = self.value_numerator / self.value_denominator
        super().save(*args, **kwargs)

    def __str__(self) -> str:
        return self.name

    @property
    def value(self) -> Fraction:
        return Fraction(self.value_numerator, self.value_denominator)

    def get_absolute_url(self) -> str:
        return reverse("denomination", args=[self.key])


class PriceNote(Tracked):
    """What an amount bought in a year ("4 loaves"), or a price index for that year."""

    history_of = ("currency",)

    currency = models.ForeignKey(Currency, on_delete=models.CASCADE, related_name="price_notes")
    year = models.SmallIntegerField(_("year"))
    amount = models.CharField(_("amount"), max_length=60, blank=True)
    bought = models.CharField(_("what it bought"), max_length=200, blank=True)
    index = models.DecimalField(
        _("price index"), max_digits=16, decimal_places=4, null=True, blank=True
    )
    source = models.CharField(_("source"), max_length=200, blank=True)

    class Meta:
        ordering = ["year", "pk"]

    def __str__(self) -> str:
        return f"{self.year}: {self.bought or self.index}"


class Mint(PackedRecord):
    """A place where coins were struck."""

    name = models.CharField(_("name"), max_length=120)
    town = models.CharField(_("town"), max_length=120, blank=True)
    issuer = models.ForeignKey(
        Issuer, null=True, blank=True, on_delete=models.SET_NULL, related_name="mints"
    )
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name
