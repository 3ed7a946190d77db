"""The form every editable record uses: it refuses an edit made on an older version."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator
from django.utils.translation import gettext as _

from series.records import Record, StaleEdit
from series.text.direction import without_turns
from series.text.stored_numbers import MOST_FIGURES, record_number
from series.text.words import plain

LONGEST_TEXT = 50_000
MONEY_PLACES = 2
"""Figures kept finer than money are measures: they are shown without trailing zeros."""


@dataclass(frozen=True)
class Difference:
    """A field that someone else changed meanwhile: what is stored now, and what you entered."""

    label: str
    stored: str
    yours: str


class ManyRecords(forms.ModelMultipleChoiceField):
    """Several records to choose; a number that no database can hold is no choice."""

    def clean(self, value: Any) -> Any:
        for chosen in value or ():
            if record_number(chosen) is None:
                raise forms.ValidationError(
                    self.error_messages["invalid_pk_value"],
                    code="invalid_pk_value",
                    params={"pk": str(chosen)[:MOST_FIGURES]},
                )
        return super().clean(value)


class RecordForm(forms.ModelForm):  # type: ignore[type-arg]
    """A model form that carries the row version it was shown with.

    ``save_checked`` returns False, fills ``stale`` and keeps what was typed when the record was
    changed by someone else since; sending the form again then overwrites knowingly.
    Render it with ``partials/form.html``, which shows ``stale``.
    """

    row_version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    stale: list[Difference]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stale = []
        for name, value in self.initial.items():
            if isinstance(value, Decimal) and -value.as_tuple().exponent > MONEY_PLACES:  # type: ignore[operator]
                self.initial[name] = plain(value)
        if self.instance.pk:
            self.initial["row_version"] = self.instance.row_version

    def full_clean(self) -> None:
        """A text without a bound of its own is a long page at most, and turns nothing around."""
        for field in self.fields.values():
            if isinstance(field, forms.CharField) and field.max_length is None:
                field.max_length = LONGEST_TEXT
                field.validators = [*field.validators, MaxLengthValidator(LONGEST_TEXT)]
        super().full_clean()

    def clean(self) -> dict[str, Any] | None:
        super().clean()
        for name, value in self.cleaned_data.items():
            if isinstance(value, str):
                self.cleaned_data[name] = without_turns(value)
        return self.cleaned_data

    def save(self, commit: bool = True) -> Any:
        if not commit or self.instance._state.adding:
            return super().save(commit)
        if self.errors:
            raise ValueError("the form has errors")
        seen = self.cleaned_data.get("row_version")
        self.instance.save_over(self.instance.row_version if seen is None else seen)
        self._save_m2m()  # type: ignore[attr-defined]
        return self.instance

    def save_checked(self) -> bool:
        """Save; on a stale edit note both versions on the form and return False."""
        try:
            self.save()
        except StaleEdit as stale:
            self._show_both(stale.current)
            return False
        return True

    def _show_both(self, current: Record) -> None:
        for name, field in self.fields.items():
            if name == "row_version" or not hasattr(current, name):
                continue
            stored = forms.models.model_to_dict(current, fields=[name]).get(name)
            yours = forms.models.model_to_dict(self.instance, fields=[name]).get(name)
            if stored != yours:
                self.stale.append(
                    Difference(
                        str(field.label or name),
                        _display(current, name, stored),
                        _display(self.instance, name, yours),
                    )
                )
        self.add_error(
            None,
            _(
                "Someone changed this record while you were editing it. Both versions are shown "
                "below; save again to keep yours."
            ),
        )
        data = self.data.copy()  # type: ignore[attr-defined]
        data[self.add_prefix("row_version")] = str(current.row_version)
        self.data = data


def _display(record: Record, name: str, value: Any) -> str:
    shown = getattr(record, f"get_{name}_display", None)
    if callable(shown):
        return str(shown())
    related = getattr(record, name, None)
    if isinstance(related, Record):
        return str(related)
    return "" if value is None else str(value)
