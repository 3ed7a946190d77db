"""Members (the user model) and the links an administrator or the site hands out."""

from __future__ import annotations

import hashlib
import secrets
from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class MemberManager(BaseUserManager["Member"]):
    def create_user(self, username: str, password: str | None = None, **fields: Any) -> Member:
        member = self.model(username=self.model.normalize_username(username), **fields)
        member.set_password(password)
        member.save(using=self._db)
        return member


class Member(AbstractBaseUser):
    """A person who signs in. Rights follow from ``role`` through catalogue/access.py alone."""

    class Role(models.TextChoices):
        MEMBER = "member", _("member")
        CURATOR = "curator", _("curator")
        ADMINISTRATOR = "administrator", _("administrator")

    class Paper(models.TextChoices):
        A4 = "A4", "A4"
        LETTER = "Letter", "US Letter"

    class PlateSize(models.IntegerChoices):
        """How large plates show their coins, in hundredths of the plain size."""

        PLAIN = 100, "1×"
        LARGER = 150, "1.5×"
        LARGEST = 200, "2×"

    username = models.CharField(
        _("sign-in name"), max_length=60, unique=True, validators=[UnicodeUsernameValidator()]
    )
    name = models.CharField(_("name"), max_length=120, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    role = models.CharField(_("role"), max_length=13, choices=Role, default=Role.MEMBER)
    is_active = models.BooleanField(_("may sign in"), default=True)  # type: ignore[misc]
    joined_at = models.DateTimeField(default=timezone.now, editable=False)
    currency = models.CharField(_("values shown in"), max_length=3, default="EUR")
    paper = models.CharField(_("paper"), max_length=6, choices=Paper, default=Paper.A4)
    accession_pattern = models.CharField(
        _("accession numbers"),
        max_length=60,
        default="{year}.{n:03}",
        help_text=_("{year} is this year, {n} counts within it; {n:03} makes 007."),
    )
    plate_size = models.PositiveSmallIntegerField(
        _("size of the coins on plates"), choices=PlateSize, default=PlateSize.PLAIN
    )
    lists_to_club = models.BooleanField(
        _("show my wants to the club"),
        default=True,
        help_text=_("Other members see what you look for and which of their spares would fill it."),
    )

    objects = MemberManager()

    USERNAME_FIELD = "username"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        ordering = ["name", "username"]

    def __str__(self) -> str:
        return self.name or self.username

    def get_absolute_url(self) -> str:
        return reverse("member", args=[self.pk])


def hash_token(token: str) -> str:
    """The form in which a secret link is stored: SHA-256 in hexadecimal."""
    return hashlib.sha256(token.encode()).hexdigest()


def new_token() -> str:
    """A fresh secret for a link: 256 random bits, safe in an address."""
    return secrets.token_urlsafe(32)


class HandedLinks(models.QuerySet["HandedLink"]):
    def usable(self) -> HandedLinks:
        """Not used yet, and not ended."""
        return self.filter(used_at=None, expires_at__gt=timezone.now())


class HandedLink(models.Model):
    """A one-time link to join or to set a new password; only the token's hash is stored."""

    class Kind(models.TextChoices):
        INVITATION = "invitation", _("invitation")
        RESET = "reset", _("new password")

    kind = models.CharField(max_length=10, choices=Kind)
    token_hash = models.CharField(max_length=64, unique=True)
    member = models.ForeignKey(
        Member, null=True, blank=True, on_delete=models.CASCADE, related_name="links"
    )
    email = models.EmailField(_("e-mail"), blank=True)
    role = models.CharField(_("role"), max_length=13, choices=Member.Role, default="member")
    made_by = models.ForeignKey(
        Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    objects = HandedLinks.as_manager()

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.pk}"


class SiteFact(models.Model):
    """A fact about this installation (such as: it holds the demo scenario)."""

    key = models.CharField(max_length=60, primary_key=True)
    value = models.TextField(blank=True)

    def __str__(self) -> str:
        return self.key
