"""Uploading photographs, and saying what they show."""

from __future__ import annotations

from typing import IO, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from catalogue.models import Photo
from series.forms import RecordForm
from series.picture.pictures import PictureRefused, Prepared, prepare_picture


class PictureField(forms.FileField):
    """A file that is taken only when it can be decoded; nothing is stored before ``keep()``."""

    widget = forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"})

    def clean(self, data: Any, initial: Any = None) -> Prepared | None:  # type: ignore[override]
        file: IO[bytes] | None = super().clean(data, initial)
        if not file:
            return None
        try:
            return prepare_picture(file)
        except PictureRefused as refused:
            raise forms.ValidationError(str(refused), code="refused") from refused


class PhotoUpload(forms.Form):
    """Both faces at once, and the edge if wanted; each is optional, one at least is asked for."""

    obverse = PictureField(label=_("Obverse"), required=False)
    reverse = PictureField(label=_("Reverse"), required=False)
    edge = PictureField(label=_("Edge"), required=False)
    trimmed = forms.BooleanField(
        label=_("Trimmed to the edge of the coin"),
        required=False,
        help_text=_("Then the picture is drawn to scale on plates."),
    )
    taken_on = forms.DateField(
        label=_("Taken on"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def pictures(self) -> dict[str, Prepared]:
        """The pictures by side."""
        return {
            side: self.cleaned_data[side]
            for side in ("obverse", "reverse", "edge")
            if self.cleaned_data.get(side)
        }

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if not self.errors and not self.pictures():
            raise forms.ValidationError(_("Choose at least one picture to add."))
        return cleaned


class PhotoForm(RecordForm):
    class Meta:
        model = Photo
        fields = ["side", "trimmed", "taken_on"]
        widgets = {"taken_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}
