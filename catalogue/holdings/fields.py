"""Form fields that several forms of holdings share."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.grades import GradeError, grade
from catalogue.models import Member, Place
from series.text.stored_numbers import record_number

_CODE = re.compile(r"[A-Z]{3}")


class CurrencyCode(forms.CharField):
    """A currency by its three letters (ISO 4217, or one's own for an older one)."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        widget = forms.TextInput(attrs={"list": "currency-codes", "autocomplete": "off", "size": 4})
        super().__init__(widget=widget, **kwargs)

    def clean(self, value: Any) -> str:
        code = str(super().clean(value)).upper()
        if code and not _CODE.fullmatch(code):
            raise forms.ValidationError(_("Write the currency in three letters, such as EUR."))
        return code


class GradeField(forms.CharField):
    """A grade as written, which ``read_grades`` reads on the form's scale."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        kwargs.setdefault("max_length", 12)
        suggested = forms.TextInput(attrs={"list": "grade-codes", "autocomplete": "off"})
        super().__init__(**{"widget": suggested, **kwargs})


def read_grades(form: forms.BaseForm) -> dict[str, int]:
    """Write each grade of a form as its scale does, or say what is wrong; the ranks by field."""
    ranks: dict[str, int] = {}
    given = form.cleaned_data
    for name, field in form.fields.items():
        if isinstance(field, GradeField) and given.get(name) and "grade_scale" in given:
            try:
                found = grade(given["grade_scale"], given[name])
            except GradeError as error:
                form.add_error(name, str(error))
            else:
                given[name], ranks[name] = found.code, found.rank
    return ranks


class AmountField(forms.DecimalField):
    """An amount of money, nought or more."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, min_value=0, max_digits=14, decimal_places=2, **kwargs)


def need_currency(form: forms.BaseForm, amount: str, code: str) -> None:
    """Ask in which currency an amount is that was given."""
    said = form.cleaned_data.get(code) or code in form.errors
    if form.cleaned_data.get(amount) is not None and not said:
        form.add_error(code, _("Say in which currency, such as EUR."))


class DayField(forms.DateField):
    """A day, chosen or typed as year-month-day."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        super().__init__(widget=widget, **kwargs)


def place_field(owner: Member, **kwargs: Any) -> forms.ModelChoiceField[Place]:
    """One of the owner's places, by its path."""
    kwargs.setdefault("empty_label", _("no place"))
    places = Place.objects.filter(owner=owner).order_by("path", "pk")
    return forms.ModelChoiceField(places, label=_("Place"), required=False, **kwargs)


def ids_from(texts: Iterable[str]) -> set[int]:
    """The ids among what a form sent; what can be none is left out."""
    return {number for number in map(record_number, texts) if number is not None}
