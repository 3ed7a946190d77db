"""Forms of signing in and of the second factor."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from catalogue.members.door.passwords import confirm_password, try_password
from catalogue.members.door.slowing import HeldBack, wait_words
from catalogue.members.models import Member


class SignInForm(AuthenticationForm):
    """Name and password; ``held`` says how long to wait when it was tried too often."""

    held: HeldBack | None = None

    def clean(self) -> dict[str, Any]:
        name, password = self.cleaned_data.get("username"), self.cleaned_data.get("password")
        if self.request is None or name is None or not password:
            return self.cleaned_data
        try:
            self.user_cache = try_password(self.request, name, password)
        except HeldBack as held:
            self.held = held
            words = _(
                "Too many wrong passwords for this name. Wait %(wait)s, then try again, or use a "
                "device on which you have signed in before."
            )
            raise ValidationError(words, params={"wait": wait_words(held.seconds)}) from held
        if self.user_cache is None:
            raise self.get_invalid_login_error()
        return self.cleaned_data


def _code_field(label: Any, help_text: Any = "") -> forms.CharField:
    attrs = {"autocomplete": "one-time-code", "autocapitalize": "off", "spellcheck": "false"}
    return forms.CharField(
        label=label, help_text=help_text, max_length=40, widget=forms.TextInput(attrs=attrs)
    )


class CodeForm(forms.Form):
    code = _code_field(_("Code"), _("Six figures, or one of your recovery codes."))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["code"].widget.attrs["autofocus"] = True


class FirstCodeForm(forms.Form):
    code = _code_field(_("The code it shows now"))


class OwnPasswordForm(forms.Form):
    """Asks a member who is signed in for their password once more."""

    password = forms.CharField(
        label=_("Your password"),
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, *args: Any, member: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.member = member

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        confirm_password(self.member, password)
        return password


class FactorChangeForm(OwnPasswordForm):
    code = _code_field(_("Code"), _("Six figures, or one of your recovery codes."))


class NewPasswordForm(PasswordChangeForm):  # type: ignore[type-arg]
    """The old password is asked for, and cannot be guessed quickly either."""

    def clean_old_password(self) -> str:
        password: str = self.cleaned_data["old_password"]
        confirm_password(self.user, password)
        return password
