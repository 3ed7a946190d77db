"""Lists that members bring in, row by row, and what became of each row."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.models import Holding
from series.models import CoinType, Issue


class ImportedList(models.Model):
    """A member's list, from the file to the pieces made of it; the owner's alone.

    ``file`` and ``pictures`` (a zip) name stored files, ``digest`` is the SHA-256 of the first.
    ``mapping`` says what each column is, and what holds for every row. ``counts``: rows by
    outcome; ``left_aside``: pictures that are of no row; ``made``: ids of types, places and what
    else was made beside the pieces, by kind.
    """

    class State(models.TextChoices):
        COLUMNS = "columns", _("its columns are to be checked")
        READING = "reading", _("its rows are being read")
        REHEARSAL = "rehearsal", _("its rows are to be looked over")
        TAKING = "taking", _("its rows are being taken in")
        DONE = "done", _("taken in")
        BACK = "back", _("taken back")
        FAILED = "failed", _("could not be read")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="imported_lists"
    )
    name = models.CharField(_("file"), max_length=200)
    file = models.CharField(max_length=120)
    digest = models.CharField(max_length=64)
    pictures = models.CharField(max_length=120, blank=True)
    sheet = models.CharField(_("sheet"), max_length=200, blank=True)
    headings = models.JSONField(default=list, blank=True)
    mapping = models.JSONField(default=dict, blank=True)
    state = models.CharField(max_length=9, choices=State, default=State.COLUMNS)
    counts = models.JSONField(default=dict, blank=True)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    message = models.TextField(blank=True)
    left_aside = models.JSONField(default=list, blank=True)
    made = models.JSONField(default=dict, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    taken_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("import", args=[self.pk])


class ImportedRow(models.Model):
    """One row of a list: its cells as they were, what was read, and what is to become of it.

    ``alike`` is the same for rows that are settled as one, ``fingerprint`` for rows with the same
    cells (of which ``nth`` tells one from the next). ``choice`` is what the member settled,
    ``outcome`` what follows, with its ``reason`` in words.
    """

    class Choice(models.TextChoices):
        TYPE = "type", _("this type")
        PROVISIONAL = "provisional", _("a provisional type")
        UNIDENTIFIED = "unidentified", _("an unidentified piece")
        LEAVE = "leave", _("left out")

    class Outcome(models.TextChoices):
        MAKE = "make", _("to be made")
        CHANGE = "change", _("to be changed")
        DOUBTFUL = "doubtful", _("doubtful")
        REFUSED = "refused", _("refused")
        SAME = "same", _("in already")
        LEFT = "left", _("left out")
        MADE = "made", _("made")
        CHANGED = "changed", _("changed")

    TO_TAKE = (Outcome.MAKE, Outcome.CHANGE)
    TAKEN = (Outcome.MADE, Outcome.CHANGED)

    of = models.ForeignKey(ImportedList, on_delete=models.CASCADE, related_name="rows")
    line = models.PositiveIntegerField()
    cells = models.JSONField(default=list, blank=True)
    reading = models.JSONField(default=dict, blank=True)
    candidates = models.JSONField(default=list, blank=True)
    alike = models.CharField(max_length=64, blank=True)
    fingerprint = models.CharField(max_length=64)
    nth = models.PositiveIntegerField(default=1)
    choice = models.CharField(max_length=12, choices=Choice, blank=True)
    by_hand = models.BooleanField(default=False)
    coin_type = models.ForeignKey(
        CoinType, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    issue = models.ForeignKey(
        Issue, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    outcome = models.CharField(max_length=8, choices=Outcome, default=Outcome.DOUBTFUL)
    reason = models.TextField(blank=True)
    pictures = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["of", "line"]
        constraints = [models.UniqueConstraint(fields=["of", "line"], name="line_once_in_list")]
        indexes = [models.Index(fields=["of", "outcome"]), models.Index(fields=["fingerprint"])]

    def __str__(self) -> str:
        return f"{self.of}, {self.line}"


class ImportedPiece(models.Model):
    """A holding that a row made or changed: its version then, and what it was before a change.

    ``photos`` are the ids of those that came along.
    """

    row = models.OneToOneField(ImportedRow, on_delete=models.CASCADE, related_name="piece")
    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="imported_from")
    version = models.PositiveIntegerField()
    before = models.JSONField(null=True, blank=True)
    photos = models.JSONField(default=list, blank=True)

    def __str__(self) -> str:
        return str(self.holding)


class ListMapping(models.Model):
    """What the columns of a member's lists are, remembered under a name."""

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="list_mappings"
    )
    name = models.CharField(_("name"), max_length=80)
    mapping = models.JSONField(default=dict, blank=True)
    headings = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["owner", "name"], name="mapping_name_once_per_owner")
        ]

    def __str__(self) -> str:
        return self.name
