"""Forms for what happens to a piece: its status, and taking some out of a lot."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.fields import CurrencyCode, DayField
from catalogue.models import Holding

DEEDS = {
    Holding.Status.HELD: _("take it back"),
    Holding.Status.ON_LOAN: _("lend it"),
    Holding.Status.SOLD: _("sold"),
    Holding.Status.SWAPPED: _("swapped"),
    Holding.Status.GIVEN: _("given away"),
    Holding.Status.LOST: _("lost"),
}


class SplitForm(forms.Form):
    pieces = forms.IntegerField(label=_("Pieces to take out of the lot"), min_value=1)


class StatusForm(forms.Form):
    status = forms.ChoiceField(label=_("What happens"), widget=forms.RadioSelect)
    on = DayField(label=_("On"), required=True)
    with_whom = forms.CharField(label=_("To or with whom"), required=False, max_length=200)
    amount = forms.DecimalField(
        label=_("For how much, in all"),
        required=False,
        min_value=0,
        max_digits=14,
        decimal_places=2,
    )
    currency = CurrencyCode(label=_("In"))
    note = forms.CharField(label=_("Note"), required=False, max_length=300)

    def __init__(self, *args: Any, holding: Holding, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["status"]
        field.choices = [(key, words) for key, words in DEEDS.items() if key != holding.status]
        self.initial = {"on": timezone.localdate(), "currency": holding.owner.currency}

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        on = cleaned.get("on")
        if on is not None and on > timezone.localdate():
            self.add_error("on", _("This day has not come yet."))
        said = cleaned.get("currency") or "currency" in self.errors
        if cleaned.get("amount") is not None and not said:
            self.add_error("currency", _("Say in which currency, such as EUR."))
        return cleaned
