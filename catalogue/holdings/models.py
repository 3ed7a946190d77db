"""What members hold, where it is kept, and what happened to it."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from series.dates.words import in_words
from series.models import CoinType, Issue, Variety
from series.records import Record
from series.tracked import Tracked


class Place(Record):
    """A container in a container: cabinet, drawer, album, page, pocket, box, envelope."""

    history_owner = "owner"

    class Kind(models.TextChoices):
        CABINET = "cabinet", _("cabinet")
        DRAWER = "drawer", _("drawer")
        ALBUM = "album", _("album")
        PAGE = "page", _("page")
        POCKET = "pocket", _("pocket")
        BOX = "box", _("box")
        ENVELOPE = "envelope", _("envelope")
        SAFE = "safe", _("safe")
        OTHER = "other", _("other")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="places"
    )
    within = models.ForeignKey(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="contents",
        verbose_name=_("stands in"),
    )
    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=10, choices=Kind, default=Kind.OTHER)
    holder = models.CharField(
        _("holder"), max_length=60, blank=True, help_text=_("Capsule, flip, pocket page …")
    )
    inner_mm = models.DecimalField(
        _("inner size of the holder, mm"), max_digits=6, decimal_places=2, null=True, blank=True
    )
    path = models.CharField(max_length=400, blank=True, editable=False)

    class Meta:
        ordering = ["path", "pk"]

    def __str__(self) -> str:
        return self.path or self.name


class Holding(Record):
    """A piece, or a lot of like pieces, that a member has.

    ``coin_type`` is null while the piece is unidentified. Measures are kept as measured, each
    with how finely (``…_within``, the half-width of the reading, same unit).
    ``imported`` is what a list it came in with says of it, a line each, for its owner alone.
    ``grade_rank`` is derived from scale and grade (catalogue.holdings.grades);
    ``search_text`` (words that all who see the piece find it by) and ``own_text`` (those that its
    owner alone does) are derived too.
    """

    untracked = frozenset({"search_text", "own_text"})

    class Status(models.TextChoices):
        HELD = "held", _("held")
        ON_LOAN = "on_loan", _("on loan")
        SOLD = "sold", _("sold")
        SWAPPED = "swapped", _("swapped")
        GIVEN = "given", _("given")
        LOST = "lost", _("lost")

    IN_HAND = (Status.HELD, Status.ON_LOAN)
    MEASURES: dict[Any, tuple[str, str]] = {
        "mass": ("mass_g", "mass_within"),
        "diameter": ("diameter_mm", "diameter_within"),
        "thickness": ("thickness_mm", "thickness_within"),
    }
    """The fields of each measure, and of how finely it was read."""

    class Visibility(models.TextChoices):
        PRIVATE = "private", _("only me")
        CLUB = "club", _("the club")
        PUBLIC = "public", _("everyone")

    class Scale(models.TextChoices):
        BRITISH = "british", _("British")
        AMERICAN = "american", _("American")
        CONTINENTAL = "continental", _("continental")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="holdings"
    )
    accession = models.CharField(_("accession number"), max_length=60)
    coin_type = models.ForeignKey(
        CoinType, null=True, blank=True, on_delete=models.PROTECT, related_name="holdings"
    )
    issue = models.ForeignKey(
        Issue, null=True, blank=True, on_delete=models.PROTECT, related_name="holdings"
    )
    variety = models.ForeignKey(
        Variety, null=True, blank=True, on_delete=models.SET_NULL, related_name="holdings"
    )
    title = models.CharField(
        _("working title"), max_length=200, blank=True, help_text=_("For an unidentified piece.")
    )
    quantity = models.PositiveIntegerField(_("pieces"), default=1)

    grade_scale = models.CharField(
        _("grading scale"), max_length=11, choices=Scale, default=Scale.BRITISH
    )
    grade = models.CharField(_("grade"), max_length=12, blank=True)
    grade_obverse = models.CharField(_("obverse grade"), max_length=12, blank=True)
    grade_reverse = models.CharField(_("reverse grade"), max_length=12, blank=True)
    graded_by = models.CharField(_("graded by"), max_length=120, blank=True)
    graded_on = models.DateField(_("graded on"), null=True, blank=True)
    grade_rank = models.SmallIntegerField(null=True, blank=True, editable=False, db_index=True)

    date_reading = models.CharField(
        _("date reading"), max_length=60, blank=True, help_text=_("EDTF; ? for an unreadable digit")
    )
    mass_g = models.DecimalField(
        _("mass, g"), max_digits=9, decimal_places=4, null=True, blank=True
    )
    mass_within = models.DecimalField(
        _("mass read to ± g"), max_digits=7, decimal_places=4, null=True, blank=True
    )
    diameter_mm = models.DecimalField(
        _("diameter, mm"), max_digits=7, decimal_places=3, null=True, blank=True
    )
    diameter_within = models.DecimalField(
        _("diameter read to ± mm"), max_digits=6, decimal_places=3, null=True, blank=True
    )
    thickness_mm = models.DecimalField(
        _("thickness, mm"), max_digits=6, decimal_places=3, null=True, blank=True
    )
    thickness_within = models.DecimalField(
        _("thickness read to ± mm"), max_digits=6, decimal_places=3, null=True, blank=True
    )
    alignment = models.DecimalField(
        _("alignment, hours"), max_digits=4, decimal_places=2, null=True, blank=True
    )

    acquired_on = models.DateField(_("acquired on"), null=True, blank=True)
    acquired_from = models.CharField(_("acquired from"), max_length=200, blank=True)
    price = models.DecimalField(
        _("price paid"), max_digits=14, decimal_places=2, null=True, blank=True
    )
    price_currency = models.CharField(_("paid in"), max_length=3, blank=True)

    place = models.ForeignKey(
        Place, null=True, blank=True, on_delete=models.SET_NULL, related_name="holdings"
    )
    spare = models.BooleanField(_("spare"), default=False)
    status = models.CharField(_("status"), max_length=8, choices=Status, default=Status.HELD)
    visibility = models.CharField(
        _("who may see it"), max_length=8, choices=Visibility, default=Visibility.CLUB
    )
    note = models.TextField(_("note"), blank=True)
    imported = models.TextField(_("as in the list"), blank=True)
    search_text = models.TextField(blank=True, editable=False)
    own_text = models.TextField(blank=True, editable=False)

    class Meta:
        ordering = ["owner", "accession"]
        constraints = [
            models.UniqueConstraint(fields=["owner", "accession"], name="accession_once_per_owner"),
            models.CheckConstraint(condition=models.Q(quantity__gte=1), name="at_least_one_piece"),
        ]
        indexes = [models.Index(fields=["coin_type", "issue", "owner", "status"])]

    def __str__(self) -> str:
        return self.accession

    def get_absolute_url(self) -> str:
        return reverse("holding", args=[self.pk])

    @property
    def label(self) -> str:
        """ "25 tinne, 1953", or the working title of an unidentified piece."""
        if self.coin_type is None:
            return self.title or str(_("unidentified"))
        date = self.date_words
        return f"{self.coin_type}, {date}" if date else str(self.coin_type)

    @property
    def date_words(self) -> str:
        """The date that the piece has, or as it was read from it; "" without any."""
        return self.issue.label if self.issue is not None else in_words(self.date_reading)


class HoldingProblem(Tracked):
    """A defect, told apart from wear."""

    history_of = ("holding",)

    class Kind(models.TextChoices):
        CLEANED = "cleaned", _("cleaned")
        HOLED = "holed", _("holed")
        MOUNTED = "mounted", _("mounted")
        CORRODED = "corroded", _("corroded")
        EDGE_KNOCK = "edge_knock", _("edge knock")
        SCRATCHED = "scratched", _("scratched")
        BENT = "bent", _("bent")
        PLUGGED = "plugged", _("plugged")
        TOOLED = "tooled", _("tooled")
        SPOTTED = "spotted", _("spotted")

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="problems")
    kind = models.CharField(_("problem"), max_length=12, choices=Kind)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["holding", "kind"], name="problem_once_on_holding")
        ]

    def __str__(self) -> str:
        return str(self.get_kind_display())


class StatusChange(Tracked):
    """A dated change of status: sold to whom, lent until when."""

    history_of = ("holding",)

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="status_changes")
    status = models.CharField(_("status"), max_length=8, choices=Holding.Status)
    on = models.DateField(_("on"))
    with_whom = models.CharField(_("to or with"), max_length=200, blank=True)
    amount = models.DecimalField(
        _("amount"), max_digits=14, decimal_places=2, null=True, blank=True
    )
    currency = models.CharField(_("in"), max_length=3, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    class Meta:
        ordering = ["on", "pk"]

    def __str__(self) -> str:
        return f"{self.get_status_display()} {self.on}"

    @property
    def paid(self) -> str:
        """The amount with its currency, or "" where none is said."""
        return f"{self.currency} {self.amount}" if self.amount is not None else ""


class ProvenanceLine(Tracked):
    """One earlier owner or event, oldest first."""

    history_of = ("holding",)

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="provenance")
    when = models.CharField(_("when"), max_length=60, blank=True, help_text=_("EDTF"))
    text = models.CharField(_("who, how"), max_length=300)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return self.text


class HoldingReference(Tracked):
    """A free reference: a work and number in which this very piece is described."""

    history_of = ("holding",)

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="references")
    work = models.CharField(_("work"), max_length=200)
    edition = models.CharField(_("edition"), max_length=60, blank=True)
    number = models.CharField(_("number"), max_length=60, blank=True)

    def __str__(self) -> str:
        return f"{self.work} {self.number}".strip()


class Receipt(Tracked):
    """A paper that belongs to a holding (an invoice, an old ticket); the owner alone sees it."""

    history_of = ("holding",)

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="receipts")
    name = models.CharField(_("name"), max_length=200)
    file = models.CharField(max_length=120)
    content_type = models.CharField(max_length=60)
    size = models.PositiveIntegerField(default=0)
    added_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name


class ChangeCounter(models.Model):
    """One row; every change to what is browsed takes the next number under its lock."""

    n = models.BigIntegerField(default=0)

    def __str__(self) -> str:
        return str(self.n)


class Change(models.Model):
    """What changed at a number: one holding, one type, or everything (``ref`` 0).

    ``mark`` is drawn by lot for each number: a database put back from a copy, which goes on to the
    same number another way, has another one.
    """

    class Kind(models.TextChoices):
        HOLDING = "holding", "holding"
        TYPE = "type", "type"
        ALL = "all", "all"

    n = models.BigIntegerField(db_index=True)
    kind = models.CharField(max_length=7, choices=Kind)
    ref = models.BigIntegerField(default=0)
    mark = models.BigIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.n}: {self.kind} {self.ref}"
