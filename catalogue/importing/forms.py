"""Bringing a list, and saying what its columns are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue.holdings.fields import CurrencyCode
from catalogue.importing.keeping import LIMIT_BYTES
from catalogue.importing.picture_files import check_zip
from catalogue.importing.reading.lists import FIELDS, ListError, Mapping, Proposal
from catalogue.models import Holding, ImportedList, ListMapping

LIMIT_ZIP = 100 * 1024 * 1024
MOST_SKIPPED = 50


class BringForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("The list"),
        help_text=gettext_lazy("CSV, XLSX, XLS or ODS, up to %(n)d MB, with or without headings.")
        % {"n": LIMIT_BYTES // 1024 // 1024},
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx,.xlsm,.xls,.ods"}),
    )
    pictures = forms.FileField(
        label=gettext_lazy("Pictures, as a zip"),
        required=False,
        help_text=gettext_lazy(
            "If you like: JPEG, PNG or WebP, up to %(n)d MB, called by the piece’s number, its "
            "line in the list, or as a column says; A.7-rev.jpg is a reverse."
        )
        % {"n": LIMIT_ZIP // 1024 // 1024},
        widget=forms.ClearableFileInput(attrs={"accept": ".zip,application/zip"}),
    )

    def clean_pictures(self) -> Any:
        file = self.cleaned_data.get("pictures")
        if not file:
            return None
        if file.size > LIMIT_ZIP:
            raise forms.ValidationError(
                _("The archive is larger than %(n)d MB. Bring fewer pictures at a time."),
                params={"n": LIMIT_ZIP // 1024 // 1024},
            )
        try:
            check_zip(file)
        except ListError as refused:
            raise forms.ValidationError(str(refused)) from refused
        return file


def field_choices() -> list[tuple[str, str]]:
    return [(name, field.label) for name, field in FIELDS.items()]


class ColumnsForm(forms.Form):
    """A choice for each column, ``column-0`` and on; then what holds for every row."""

    headed = forms.BooleanField(
        label=gettext_lazy("The first line names the columns"), required=False
    )
    skip = forms.IntegerField(
        label=gettext_lazy("Lines before the table"),
        min_value=0,
        max_value=MOST_SKIPPED,
        widget=forms.NumberInput(attrs={"size": 3}),
    )
    currency = CurrencyCode(
        label=gettext_lazy("Prices without a currency are in"),
        help_text=gettext_lazy(
            "Three letters, such as EUR. Left empty, such a price is kept as text."
        ),
    )
    visibility = forms.ChoiceField(
        label=gettext_lazy("Who may see the pieces"), choices=Holding.Visibility.choices
    )
    save_as = forms.CharField(
        label=gettext_lazy("Remember these columns as"),
        required=False,
        max_length=80,
        help_text=gettext_lazy("A name, for the next list of this kind."),
    )

    def __init__(self, brought: ImportedList, proposal: Proposal, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.brought = brought
        self.guesses = proposal.guesses
        kept = brought.mapping.get("fields", [])
        for guess in proposal.guesses:
            self.fields[_name(guess.index)] = forms.ChoiceField(
                choices=field_choices(),
                required=False,
                initial=kept[guess.index] if guess.index < len(kept) else guess.field,
                label=brought.headings[guess.index]
                if guess.index < len(brought.headings)
                else guess.heading,
            )

    def columns(self) -> Iterator[dict[str, Any]]:
        """Each column with its choice, what it seems to be and some of its cells."""
        for guess in self.guesses:
            field = self[_name(guess.index)]
            yield {"field": field, "guess": guess, "doubtful": guess.sure < SURE}

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        seen: dict[str, int] = {}
        for guess in self.guesses:
            chosen = cleaned.get(_name(guess.index), "")
            if chosen in _ONCE and chosen in seen:
                self.add_error(
                    _name(guess.index),
                    _("Another column is this already; keep one of them as text."),
                )
            seen.setdefault(chosen, guess.index)
        return cleaned

    def mapping(self) -> dict[str, Any]:
        """What the form says, as a list keeps it."""
        cleaned = self.cleaned_data
        fields = tuple(cleaned.get(_name(guess.index), "") for guess in self.guesses)
        said = Mapping(cleaned["headed"], cleaned["skip"], fields).as_json()
        return {**said, "currency": cleaned["currency"], "visibility": cleaned["visibility"]}


SURE = 0.6
_ONCE = frozenset({"accession", "quantity", "grade", "price", "place", "country", "date"})


def _name(index: int) -> str:
    return f"column-{index}"


def known_mappings(brought: ImportedList) -> list[ListMapping]:
    return list(ListMapping.objects.filter(owner=brought.owner))
