"""Series, types, their issues and varieties."""

from __future__ import annotations

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from series.entries import choices
from series.faces.models import Mark
from series.issuers.models import Currency, Denomination, Issuer
from series.records import PackedRecord, Record, worded
from series.text.naming import joined
from series.tracked import Tracked


class Series(PackedRecord):
    """A group of types struck to one design plan."""

    issuer = models.ForeignKey(Issuer, on_delete=models.CASCADE, related_name="series")
    currency = models.ForeignKey(Currency, on_delete=models.PROTECT, related_name="series")
    name = models.CharField(_("name"), max_length=120)
    first_year = models.SmallIntegerField(_("from"), null=True, blank=True)
    last_year = models.SmallIntegerField(_("to"), null=True, blank=True)
    story = models.TextField(_("story"), blank=True)
    denominations = models.ManyToManyField(
        Denomination, through="SeriesDenomination", related_name="series"
    )

    class Meta:
        ordering = ["first_year", "last_year", "name"]
        verbose_name_plural = "series"

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("series", args=[self.key])

    @property
    def with_country(self) -> str:
        """ "Halvern, Second series": the series with its country, neither said twice."""
        return joined(self.issuer.name, self.name)


class SeriesDenomination(Tracked):
    """A denomination's own years in a series, or the fact that it was not struck in it."""

    history_of = ("series",)

    series = models.ForeignKey(Series, on_delete=models.CASCADE, related_name="rungs")
    denomination = models.ForeignKey(Denomination, on_delete=models.CASCADE, related_name="rungs")
    first_year = models.SmallIntegerField(_("from"), null=True, blank=True)
    last_year = models.SmallIntegerField(_("to"), null=True, blank=True)
    not_struck = models.BooleanField(_("not struck"), default=False)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["series", "denomination"], name="denomination_once_in_series"
            )
        ]

    def __str__(self) -> str:
        return f"{self.denomination} in {self.series}"


class CoinType(PackedRecord):
    """One design of one denomination in one metal.

    Mass in grams, lengths in millimetres, alignment in hours (12 medal, 6 coin).
    ``diameter_mm`` is the width across for a shape that is not round. ``metal``, ``colour``,
    ``density_low/high`` are derived from ``composition``; ``search_text`` from the whole record
    (see series.types.derived).
    """

    untracked = frozenset({"metal", "colour", "first_year", "last_year", "search_text"})

    Purpose = choices.Purpose
    Outline = choices.Outline

    class Standing(models.TextChoices):
        ACCEPTED = "accepted", _("accepted")
        PROVISIONAL = "provisional", _("provisional")
        PROPOSED = "proposed", _("proposed")
        JOINED = "joined", _("joined to another type")

    IN_CATALOGUE = (Standing.ACCEPTED, Standing.PROVISIONAL)

    series = models.ForeignKey(Series, on_delete=models.CASCADE, related_name="types")
    denomination = models.ForeignKey(Denomination, on_delete=models.PROTECT, related_name="types")
    name = models.CharField(
        _("name"), max_length=160, blank=True, help_text=_("What tells it from its like.")
    )
    purpose = models.CharField(
        _("purpose"), max_length=14, choices=worded(Purpose), default="circulating"
    )
    standing = models.CharField(
        _("standing"), max_length=12, choices=Standing, default=Standing.ACCEPTED, db_index=True
    )
    joined_to = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="joined"
    )
    first_year = models.SmallIntegerField(_("first year"), null=True, blank=True)
    last_year = models.SmallIntegerField(_("last year"), null=True, blank=True)
    composition = models.CharField(
        _("composition"),
        max_length=200,
        blank=True,
        help_text=_("Such as Cu75Ni25, silver 500, bronze, or ring: Cu75Ni25; centre: CuZn20Ni5."),
    )
    outline = models.CharField(
        _("outline"), max_length=10, choices=worded(Outline), default="round"
    )
    sides = models.PositiveSmallIntegerField(
        _("sides, scallops or indentations"), null=True, blank=True
    )
    hole = models.CharField(_("hole"), max_length=8, choices=worded(choices.Hole), blank=True)
    hole_mm = models.DecimalField(
        _("hole, mm"), max_digits=5, decimal_places=2, null=True, blank=True
    )
    ring_mm = models.DecimalField(
        _("centre of a ring-and-centre coin, mm across"),
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
    )
    inner_panel = models.CharField(_("inner panel"), max_length=60, blank=True)
    edge = models.CharField(_("edge"), max_length=160, blank=True)
    mass_g = models.DecimalField(
        _("mass, g"), max_digits=8, decimal_places=4, null=True, blank=True
    )
    remedy_g = models.DecimalField(
        _("remedy, g"), max_digits=7, decimal_places=4, null=True, blank=True
    )
    diameter_mm = models.DecimalField(
        _("diameter, mm"), max_digits=7, decimal_places=4, null=True, blank=True
    )
    thickness_mm = models.DecimalField(
        _("thickness, mm"), max_digits=5, decimal_places=3, null=True, blank=True
    )
    alignment = models.PositiveSmallIntegerField(
        _("alignment, hours"), null=True, blank=True, help_text=_("12 is medal, 6 coin alignment.")
    )
    convention = models.CharField(
        _("whose obverse"), max_length=8, choices=worded(choices.Convention), blank=True
    )
    withdrawn_on = models.CharField(
        _("withdrawn on"), max_length=40, blank=True, help_text=_("EDTF")
    )
    tender_until = models.CharField(
        _("legal tender until"), max_length=40, blank=True, help_text=_("EDTF; .. for still")
    )
    exchange_until = models.CharField(
        _("exchangeable until"), max_length=40, blank=True, help_text=_("EDTF; .. for no end")
    )
    exchange_where = models.CharField(_("exchangeable where"), max_length=200, blank=True)
    exchange_rate = models.CharField(_("exchangeable at"), max_length=120, blank=True)
    remedy_law = models.CharField(
        _("remedy as the law states it"),
        max_length=120,
        blank=True,
        help_text=_("Where it is not of one piece: 42.38 g on 137 pieces, 2 % of a kilogram."),
    )
    size_law = models.CharField(
        _("size as the law measures it"),
        max_length=120,
        blank=True,
        help_text=_("Where it is not plainly across: across corners, at most, in inches."),
    )
    note = models.TextField(_("note"), blank=True)

    metal = models.CharField(_("metal"), max_length=80, blank=True, editable=False, db_index=True)
    colour = models.CharField(_("colour"), max_length=40, blank=True, editable=False)
    search_text = models.TextField(blank=True, editable=False)

    class Meta:
        ordering = ["series__first_year", "denomination__sort_value", "first_year", "key"]

    def __str__(self) -> str:
        return f"{self.denomination.name}, {self.name}" if self.name else self.denomination.name

    def get_absolute_url(self) -> str:
        return reverse("type", args=[self.key])


class Issue(Record):
    """The coins of one type with one date and one set of marks.

    ``key`` is unique within the type. ``struck_from`` and ``struck_to`` are civil years;
    ``shown`` is the date as it stands on the coin, in its own script.
    """

    history_of = ("coin_type",)

    class Purpose(models.TextChoices):
        CIRCULATION = "circulation", _("circulation")
        SETS = "sets", _("sets only")
        PROOF = "proof", _("proof")
        PATTERN = "pattern", _("pattern")
        NOT_RELEASED = "not_released", _("not released")
        MELTED = "melted", _("melted")

    class Fact(models.TextChoices):
        STRUCK = "struck", _("struck")
        NOT_STRUCK = "not_struck", _("not struck")
        NOT_RECORDED = "not_recorded", _("not recorded")

    coin_type = models.ForeignKey(CoinType, on_delete=models.CASCADE, related_name="issues")
    key = models.SlugField(_("key"), max_length=80)
    shown = models.CharField(_("date shown"), max_length=40, blank=True)
    calendar = models.CharField(_("calendar"), max_length=20, default="civil")
    struck_from = models.SmallIntegerField(_("struck from"), null=True, blank=True)
    struck_to = models.SmallIntegerField(_("struck to"), null=True, blank=True)
    marks = models.ManyToManyField(Mark, blank=True, related_name="issues")
    mark_text = models.CharField(
        _("marks"), max_length=60, blank=True, help_text=_("The marks, as written after the date.")
    )
    purpose = models.CharField(
        _("purpose"), max_length=12, choices=Purpose, default=Purpose.CIRCULATION
    )
    fact = models.CharField(_("struck or not"), max_length=12, choices=Fact, default=Fact.STRUCK)
    mintage = models.BigIntegerField(_("mintage"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    position = models.PositiveIntegerField(default=0)
    withdrawn = models.BooleanField(default=False)
    loaded = models.JSONField(default=dict, blank=True, editable=False)

    class Meta:
        ordering = ["coin_type", "struck_from", "position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["coin_type", "key"], name="issue_key_once_in_type")
        ]

    def __str__(self) -> str:
        return self.label

    @property
    def label(self) -> str:
        """The date as shown with its marks: "1947 S"."""
        return " ".join(part for part in (self.shown or str(_("no date")), self.mark_text) if part)


class Variety(Record):
    """An issue told apart by a die or planchet difference."""

    history_of = ("issue__coin_type",)

    issue = models.ForeignKey(Issue, on_delete=models.CASCADE, related_name="varieties")
    key = models.SlugField(_("key"), max_length=80)
    name = models.CharField(_("name"), max_length=160)
    description = models.TextField(_("description"), blank=True)

    class Meta:
        ordering = ["issue", "key"]
        verbose_name_plural = "varieties"
        constraints = [
            models.UniqueConstraint(fields=["issue", "key"], name="variety_key_once_in_issue")
        ]

    def __str__(self) -> str:
        return self.name


class Reference(Tracked):
    """A work, edition and number that names a type or an issue; free text, no scheme of ours."""

    history_of = ("coin_type", "issue__coin_type")

    coin_type = models.ForeignKey(
        CoinType, null=True, blank=True, on_delete=models.CASCADE, related_name="references"
    )
    issue = models.ForeignKey(
        Issue, null=True, blank=True, on_delete=models.CASCADE, related_name="references"
    )
    work = models.CharField(_("work"), max_length=200)
    edition = models.CharField(_("edition"), max_length=60, blank=True)
    number = models.CharField(_("number"), max_length=60)

    class Meta:
        ordering = ["work", "number"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(coin_type__isnull=False) | models.Q(issue__isnull=False),
                name="reference_names_something",
            )
        ]

    def __str__(self) -> str:
        return f"{self.work} {self.number}"
