"""What was done to records: by whom, when, and what each row was before and after."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.models import Holding


class Deed(models.Model):
    """All that was changed at one time: by one form, one bulk change, one import.

    Its number is given by the clock before it is stored (catalogue.history.keeping), so that deeds
    stand in their order. ``by`` is empty where the site did it, or whoever did it was erased.
    """

    id = models.BigIntegerField(primary_key=True)
    at = models.DateTimeField(_("when"))
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="deeds",
        verbose_name=_("by"),
    )
    why = models.CharField(_("what was done"), max_length=300, blank=True)
    takes_back = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="taken_back_by"
    )

    back_at = models.CharField(
        _("taken back at"),
        max_length=200,
        blank=True,
        help_text=_("The address of the page where it is taken back, where that is another one."),
    )

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.why or f"{self.at:%Y-%m-%d %H:%M}"


class Alteration(models.Model):
    """What one row was before and after a deed, in plain values of the columns that differ.

    No ``before``: the row was made; no ``after``: it is gone. ``subject`` and ``subject_id`` are
    the label and id of the record of which the row is a part (or which it is). ``holding`` is that
    record where it is a piece, ``owner`` the member whose it is otherwise: with either the history
    goes. Of the reference catalogue both are empty.
    """

    deed = models.ForeignKey(Deed, on_delete=models.CASCADE, related_name="alterations")
    holding = models.ForeignKey(
        Holding, null=True, on_delete=models.CASCADE, related_name="alterations"
    )
    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="+"
    )
    subject = models.CharField(_("record"), max_length=60)
    subject_id = models.BigIntegerField()
    row = models.CharField(_("row of"), max_length=60)
    row_id = models.BigIntegerField()
    before = models.JSONField(_("before"), null=True)
    after = models.JSONField(_("after"), null=True)

    class Meta:
        ordering = ["pk"]
        indexes = [
            models.Index(
                fields=["subject", "subject_id"],
                condition=models.Q(holding__isnull=True),
                name="history_of_record",
            )
        ]

    def __str__(self) -> str:
        return f"{self.row} {self.row_id}"
