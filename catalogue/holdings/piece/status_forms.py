"""Forms for what happens to a piece or to many: status, and taking some out of a lot."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.fields import AmountField, CurrencyCode, DayField, need_currency
from catalogue.models import Holding, Member
from series.dates.words import day_in_words

DEEDS = {
    Holding.Status.HELD: _("take it back"),
    Holding.Status.ON_LOAN: _("lend it"),
    Holding.Status.SOLD: _("sold"),
    Holding.Status.SWAPPED: _("swapped"),
    Holding.Status.GIVEN: _("given away"),
    Holding.Status.LOST: _("lost"),
}

DEEDS_TO_MANY = DEEDS | {
    Holding.Status.HELD: _("take them back"),
    Holding.Status.ON_LOAN: _("lend them"),
}


class SplitForm(forms.Form):
    pieces = forms.IntegerField(label=_("Pieces to take out of the lot"), min_value=1)


class StatusForm(forms.Form):
    deeds = DEEDS
    status = forms.ChoiceField(label=_("What happens"), widget=forms.RadioSelect)
    on = DayField(label=_("On"), required=True)
    with_whom = forms.CharField(label=_("To or with whom"), required=False, max_length=200)
    amount = AmountField(label=_("For how much, in all"))
    currency = CurrencyCode(label=_("In"))
    note = forms.CharField(label=_("Note"), required=False, max_length=300)

    def __init__(self, *args: Any, owner: Member, now: str = "", **kwargs: Any) -> None:
        """``now`` is the status of today, which is not offered."""
        super().__init__(*args, **kwargs)
        field: Any = self.fields["status"]
        field.choices = [(key, words) for key, words in self.deeds.items() if key != now]
        self.initial = {"on": timezone.localdate(), "currency": owner.currency}

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        on = cleaned.get("on")
        if on is not None and on > timezone.localdate():
            self.add_error("on", _("This day has not come yet."))
        need_currency(self, "amount", "currency")
        if cleaned.get("amount") is None:
            cleaned["currency"] = ""
        return cleaned


class BulkStatusForm(StatusForm):
    """What happens to each of many holdings."""

    deeds = DEEDS_TO_MANY
    amount = AmountField(
        label=_("For how much, each"),
        help_text=_(
            "The same for each number, with all its pieces. Where amounts differ, do the pieces "
            "one by one: an amount cannot be added later."
        ),
    )

    def in_words(self) -> list[str]:
        """What was chosen, a line each; of a form that is valid."""
        given = self.cleaned_data
        day = day_in_words(given["on"])
        words: list[Any] = [Holding.Status(given["status"]).label, _("on %(day)s") % {"day": day}]
        if given["with_whom"]:
            words.append(_("to or with %(whom)s") % {"whom": given["with_whom"]})
        if given["amount"] is not None:
            amount = {"amount": given["amount"], "currency": given["currency"]}
            words.append(_("for %(amount)s %(currency)s each") % amount)
        if given["note"]:
            words.append(_("with the note: %(note)s") % {"note": given["note"]})
        return [str(each) for each in words]
