"""Pages on which a member shows pieces to others, and what such a page says of single pieces."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.models import Holding
from catalogue.site.secret_links import SecretlyShared
from series.records import Record


class Showing(SecretlyShared, Record):
    """A page that shows pieces of its owner to whoever has its secret link, or to all.

    Which pieces: those picked by hand and, when it ``follows`` a choice, all that ``query`` (the
    checked parameters of browsing) finds on the day. Who may see which: catalogue/access.py.
    """

    history_owner = "owner"

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="showings"
    )
    title = models.CharField(_("title"), max_length=120)
    shown_by = models.CharField(
        _("who shows it"),
        max_length=120,
        blank=True,
        help_text=_("The name strangers see. Left empty, the page names nobody."),
    )
    intro = models.TextField(
        _("a few words about it"), max_length=3000, blank=True, help_text=_("Shown on the page.")
    )
    follows = models.BooleanField(default=False, editable=False)
    query = models.CharField(max_length=1000, blank=True, editable=False)
    open_to_all = models.BooleanField(
        _("anybody may open it, without a secret link"),
        default=False,
        help_text=_("It is then listed to everyone who comes to this site, signed in or not."),
    )
    indexed = models.BooleanField(
        _("search engines may list it"),
        default=False,
        help_text=_("Only where anybody may open it. What was listed once may be kept elsewhere."),
    )

    class Meta:
        ordering = ["owner", "title", "pk"]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("showing", args=[self.pk])


class ShownPiece(models.Model):
    """What a page for others has of one piece: whether it was picked by hand, and its caption."""

    showing = models.ForeignKey(Showing, on_delete=models.CASCADE, related_name="pieces")
    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="shown_on")
    picked = models.BooleanField(default=False)
    though_private = models.BooleanField(
        default=False, help_text=_("Shown on this page although it is kept to its owner.")
    )
    caption = models.CharField(_("caption"), max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["showing", "holding"], name="piece_once_on_showing")
        ]

    def __str__(self) -> str:
        return f"{self.holding} on {self.showing}"
