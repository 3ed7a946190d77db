"""What stands on a coin: faces, legends, motifs, marks, and the people behind them."""

from __future__ import annotations

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from series.entries import choices
from series.issuers.models import Mint
from series.records import PackedRecord, Record, worded
from series.tracked import Tracked


class Person(PackedRecord):
    """A designer, engraver, mint master or other person named on or behind coins."""

    name = models.CharField(_("name"), max_length=160)
    born = models.CharField(_("born"), max_length=20, blank=True, help_text=_("EDTF"))
    died = models.CharField(_("died"), max_length=20, blank=True, help_text=_("EDTF"))
    signature = models.CharField(_("signs as"), max_length=40, blank=True)
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("person", args=[self.key])


class Motif(PackedRecord):
    """What is shown; a motif may have broader motifs (herring gull: gull: bird)."""

    name = models.CharField(_("name"), max_length=120)
    broader = models.ManyToManyField("self", symmetrical=False, blank=True, related_name="narrower")
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("motif", args=[self.key])


class Face(Record):
    """One face (or the edge) of a type."""

    history_of = ("coin_type",)

    ValueAs = choices.ValueAs

    coin_type = models.ForeignKey("series.CoinType", on_delete=models.CASCADE, related_name="faces")
    side = models.CharField(_("face"), max_length=8, choices=worded(choices.Side))
    role = models.CharField(
        _("named in law"), max_length=8, choices=worded(choices.Role), blank=True
    )
    description = models.TextField(_("description"), blank=True)
    value_as = models.CharField(
        _("value shown in"), max_length=8, choices=worded(choices.ValueAs), blank=True
    )
    bust = models.CharField(_("bust"), max_length=8, choices=worded(choices.Bust), blank=True)
    border = models.CharField(
        _("inner border"), max_length=8, choices=worded(choices.Border), blank=True
    )
    motifs = models.ManyToManyField(Motif, through="FaceMotif", related_name="faces")
    people = models.ManyToManyField(Person, through="FacePerson", related_name="faces")
    picture = models.CharField(
        _("picture"), max_length=120, blank=True, help_text=_("Name in the picture store.")
    )
    picture_credit = models.CharField(_("picture by"), max_length=200, blank=True)

    class Meta:
        ordering = ["coin_type", "side"]
        constraints = [
            models.UniqueConstraint(fields=["coin_type", "side"], name="face_once_on_type")
        ]

    def __str__(self) -> str:
        return self.get_side_display()


class Legend(Tracked):
    """Text as struck, in its script, with transliteration and translation."""

    history_of = ("face__coin_type",)

    face = models.ForeignKey(Face, on_delete=models.CASCADE, related_name="legends")
    text = models.CharField(_("as struck"), max_length=300)
    script = models.CharField(
        _("script"), max_length=4, default="Latn", help_text=_("ISO 15924 code, such as Arab.")
    )
    transliteration = models.CharField(_("transliteration"), max_length=300, blank=True)
    translation = models.CharField(_("translation"), max_length=300, blank=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return self.text


class FaceMotif(Tracked):
    history_of = ("face__coin_type",)

    face = models.ForeignKey(Face, on_delete=models.CASCADE, related_name="shown")
    motif = models.ForeignKey(Motif, on_delete=models.CASCADE, related_name="shown")
    note = models.CharField(_("note"), max_length=300, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["face", "motif"], name="motif_once_on_face")]

    def __str__(self) -> str:
        return str(self.motif)


class FacePerson(Tracked):
    history_of = ("face__coin_type",)

    class Role(models.TextChoices):
        DESIGNER = "designer", _("designer")
        ENGRAVER = "engraver", _("engraver")

    face = models.ForeignKey(Face, on_delete=models.CASCADE, related_name="credits")
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="credits")
    role = models.CharField(_("role"), max_length=10, choices=Role)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["face", "person", "role"], name="credit_once_on_face")
        ]

    def __str__(self) -> str:
        return f"{self.person}, {self.get_role_display()}"


class Mark(Tracked):
    """Something small on a face; an issue may carry a set of its type's marks.

    ``clock`` is the place by the clock, 1 to 12 hours in quarters (6.25 is a quarter past six).
    """

    history_of = ("coin_type",)

    Kind = choices.MarkKind

    coin_type = models.ForeignKey("series.CoinType", on_delete=models.CASCADE, related_name="marks")
    kind = models.CharField(_("kind"), max_length=12, choices=worded(Kind))
    text = models.CharField(_("what it is"), max_length=60, help_text=_("S, a star, M.V."))
    side = models.CharField(_("face"), max_length=8, choices=worded(choices.Side))
    clock = models.DecimalField(
        _("place by the clock"), max_digits=4, decimal_places=2, null=True, blank=True
    )
    near = models.CharField(_("near what"), max_length=120, blank=True)
    mint = models.ForeignKey(Mint, null=True, blank=True, on_delete=models.SET_NULL)
    person = models.ForeignKey(Person, null=True, blank=True, on_delete=models.SET_NULL)
    on_all = models.BooleanField(
        _("on every issue"), default=False, help_text=_("Such as an engraver's signature.")
    )

    class Meta:
        ordering = ["coin_type", "kind", "text"]
        constraints = [
            models.UniqueConstraint(
                fields=["coin_type", "kind", "text", "side"], name="mark_once_on_type"
            )
        ]

    def __str__(self) -> str:
        return self.text
