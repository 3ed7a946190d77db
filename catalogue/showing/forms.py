"""Forms for a page for others: what it says, which pieces are on it, what is said of them."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.models import Holding, Showing, ShownPiece
from series.forms import RecordForm

MOST_NUMBERS = 200


class ShowingForm(RecordForm):
    class Meta:
        model = Showing
        fields = ["title", "shown_by", "intro", "open_to_all", "indexed"]
        widgets = {"intro": forms.Textarea(attrs={"rows": 5})}

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if not cleaned.get("open_to_all"):
            cleaned["indexed"] = False
        return cleaned


class NewShowingForm(ShowingForm):
    """Also asks whether the page keeps to these pieces or follows the choice."""

    which = forms.ChoiceField(
        label=gettext_lazy("Which pieces"),
        widget=forms.RadioSelect,
        choices=[
            ("follow", gettext_lazy("All that fit this choice, also those entered later")),
            ("these", gettext_lazy("Just these; others are added by hand")),
        ],
        initial="follow",
    )

    field_order = ("title", "shown_by", "intro", "which")

    def __init__(self, *args: Any, followable: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["shown_by"] = self.instance.owner.name
        if not followable:
            del self.fields["which"]

    @property
    def follows(self) -> bool:
        return bool(self.cleaned_data.get("which") == "follow")


class AddPiecesForm(forms.Form):
    """Accession numbers of one's own pieces, to be picked by hand."""

    numbers = forms.CharField(
        label=gettext_lazy("Add pieces by accession number"),
        required=False,
        max_length=4000,
        widget=forms.TextInput(attrs={"autocomplete": "off", "placeholder": "2026.001, 2026.004"}),
        help_text=gettext_lazy("Several with commas between them."),
    )

    def __init__(self, *args: Any, showing: Showing, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.showing = showing

    def clean_numbers(self) -> list[int]:
        asked = {text.strip() for text in self.cleaned_data["numbers"].split(",")} - {""}
        if len(asked) > MOST_NUMBERS:
            raise forms.ValidationError(
                _("Give at most %(n)d numbers at once.") % {"n": MOST_NUMBERS}
            )
        own = access.own_holdings(self.showing.owner).filter(accession__in=asked)
        found = dict(own.values_list("accession", "pk"))
        unknown = sorted(asked - set(found))
        if unknown:
            said = _("You have no piece with the number %(numbers)s.")
            raise forms.ValidationError(said % {"numbers": ", ".join(unknown)})
        return list(found.values())


class PieceForm(forms.ModelForm):  # type: ignore[type-arg]
    """One piece on a page: its caption, whether it stays, whether it is shown though private."""

    stays = forms.BooleanField(label=gettext_lazy("on the page"), required=False)

    class Meta:
        model = ShownPiece
        fields = ["caption", "though_private"]
        labels = {"though_private": gettext_lazy("show it here although I keep it to myself")}
        widgets = {
            "caption": forms.TextInput(
                attrs={"autocomplete": "off", "placeholder": gettext_lazy("Caption")}
            )
        }
        help_texts = {"though_private": ""}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.picked:
            self.initial["stays"] = True
        else:
            del self.fields["stays"]
        private = self.instance.holding.visibility == Holding.Visibility.PRIVATE
        if not (private and self.instance.picked):
            del self.fields["though_private"]

    def keep(self) -> None:
        """Save what was said; a row that says nothing goes."""
        piece = self.instance
        if "stays" in self.fields:
            piece.picked = self.cleaned_data["stays"]
        if not piece.picked:
            piece.though_private = False
        if piece.picked or piece.caption:
            self.save()
        elif piece.pk:
            piece.delete()
