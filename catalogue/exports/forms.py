"""Bringing an archive."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue.exports.opening import ArchiveRefused, open_archive

LIMIT_BYTES = 120 * 1024 * 1024
"""The server takes no more at a time than 125 MB; larger ones go in by the command."""


class ArchiveForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("The archive"),
        help_text=gettext_lazy(
            "The zip file as it was made, up to %(n)d MB. A larger one your administrator brings "
            "back, by manage.py bring_back."
        )
        % {"n": LIMIT_BYTES // 1024 // 1024},
        widget=forms.ClearableFileInput(attrs={"accept": ".zip,application/zip"}),
    )

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > LIMIT_BYTES:
            raise forms.ValidationError(
                _(
                    "The archive is larger than %(n)d MB. Ask your administrator to bring it back, "
                    "by manage.py bring_back."
                ),
                params={"n": LIMIT_BYTES // 1024 // 1024},
            )
        try:
            open_archive(file)
        except ArchiveRefused as refused:
            raise forms.ValidationError(str(refused)) from refused
        return file
