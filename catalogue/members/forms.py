"""Forms of signing in, joining, the account and the club."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import BaseUserCreationForm
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.html import escape
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from catalogue.members.accession import PatternRefused, accession_number
from catalogue.members.currency_codes import currency_codes
from catalogue.members.door.forms import OwnPasswordForm
from catalogue.members.models import Member
from series.text.direction import without_turns

PATTERN_REFUSED = {
    "braces": _("A brace is missing. Write {year} and {n}, each with both braces."),
    "field": _("Only {year} and {n} can stand in braces."),
    "width": _("After the colon write how many digits, such as {n:03} for 007."),
    "no-count": _("Add {n}, so that no two pieces get the same number."),
    "long": _("The numbers would be longer than 60 characters. Write a shorter pattern."),
}


class JoinForm(BaseUserCreationForm):  # type: ignore[type-arg]
    """What a person who was invited says: sign-in name, name, e-mail, password twice."""

    class Meta:
        model = Member
        fields = ("username", "name", "email")
        help_texts = {"username": _("What you type to sign in. Letters, digits and @ . + - _")}

    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        if Member.objects.filter(username__iexact=username).exists():
            raise ValidationError(_("This sign-in name is taken. Choose another."))
        return username

    def clean_name(self) -> str:
        return without_turns(self.cleaned_data["name"])


class ForgotForm(forms.Form):
    email = forms.EmailField(
        label=_("Your e-mail address"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )


class InvitationForm(forms.Form):
    role = forms.ChoiceField(label=_("Role"), choices=Member.Role.choices)
    email = forms.EmailField(
        label=_("E-mail"),
        required=False,
        help_text=_("May stay empty: the link is shown to you to hand over."),
    )


class RoleForm(forms.ModelForm):  # type: ignore[type-arg]
    class Meta:
        model = Member
        fields = ("role",)


class AccountForm(forms.ModelForm):  # type: ignore[type-arg]
    """What a member says about themselves and how the site serves them."""

    currency = forms.ChoiceField(
        label=_("Values shown in"),
        help_text=_("Currencies that have a European Central Bank reference rate."),
    )

    class Meta:
        model = Member
        fields = ("name", "email", "currency", "paper", "accession_pattern", "lists_to_club")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = [  # type: ignore[attr-defined]
            (code, code) for code in currency_codes()
        ]
        pattern = self.data.get("accession_pattern", self.instance.accession_pattern)
        self.fields["accession_pattern"].help_text = _pattern_help(pattern)

    def clean_name(self) -> str:
        return without_turns(self.cleaned_data["name"])

    def clean_accession_pattern(self) -> str:
        pattern: str = self.cleaned_data["accession_pattern"]
        try:
            accession_number(pattern, timezone.localdate().year, 999_999)
        except PatternRefused as refused:
            raise ValidationError(PATTERN_REFUSED[str(refused)]) from refused
        return pattern


def _pattern_help(pattern: str) -> str:
    """The help under the pattern, with what it makes of the seventh piece of this year."""
    words = gettext("{year} is this year, {n} counts within it; {n:03} makes 007.")
    try:
        example = accession_number(pattern, timezone.localdate().year, 7)
    except PatternRefused:
        return words
    return words + " " + gettext("Your seventh piece this year would be %s.") % escape(example)


class EraseForm(OwnPasswordForm):
    """Asks for the password and the word before a member is erased."""

    word = forms.CharField(
        label=_("Write the word erase"),
        max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def clean_word(self) -> str:
        word: str = self.cleaned_data["word"]
        if word.strip().casefold() != gettext("erase"):
            raise ValidationError(_("Write the word as shown. Nothing was erased."))
        return word
