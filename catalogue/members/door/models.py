"""What the site keeps of signing in: devices, tries, the second factor, what members are told."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from catalogue.members.door.device_words import device_words


class Device(models.Model):
    """A browser in which a member has signed in.

    Its cookie holds a token, its session a key; of both only the hash is stored.
    """

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="devices"
    )
    token_hash = models.CharField(max_length=64, unique=True)
    session_hash = models.CharField(max_length=64, blank=True, db_index=True)
    agent = models.CharField(max_length=300, blank=True)
    first_at = models.DateTimeField(default=timezone.now)
    last_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-last_at", "-pk")

    def __str__(self) -> str:
        return device_words(self.agent)


class Tally(models.Model):
    """How often something was tried that is slowed down; ``key`` is a keyed hash of by whom."""

    key = models.CharField(max_length=64, unique=True)
    tries = models.PositiveIntegerField(default=0)
    tried_at = models.DateTimeField(db_index=True)
    free_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.tries} until {self.tried_at}"


class SecondFactor(models.Model):
    """A member's key for codes by the clock (RFC 6238), sealed with the site's key.

    ``confirmed_at`` is empty until a first code was right; until then no code is asked for.
    ``last_step`` is the step of the clock of the last code taken: none is taken twice.
    """

    owner = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="second_factor"
    )
    sealed_key = models.TextField()
    begun_at = models.DateTimeField(default=timezone.now)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    last_step = models.BigIntegerField(default=0)

    def __str__(self) -> str:
        return str(self.owner)


class RecoveryCode(models.Model):
    """One of ten codes that stand in for the device that makes codes, each once."""

    factor = models.ForeignKey(SecondFactor, on_delete=models.CASCADE, related_name="recovery")
    code_hash = models.CharField(max_length=64)
    used_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return str(self.factor)


class Notice(models.Model):
    """Something a member is told about their sign-in until they put it away.

    ``by`` is the administrator who did it; on the command line nobody is named.
    """

    class Kind(models.TextChoices):
        DEVICE = "device", _("a new device signed in")
        CODES = "codes", _("wrong codes were given after the right password")
        LINK = "link", _("a link to a new password was made")
        FACTOR = "factor", _("the second factor was removed")

    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="notices"
    )
    kind = models.CharField(max_length=10, choices=Kind)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="+",
    )
    on_machine = models.BooleanField(default=False)
    agent = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")

    def __str__(self) -> str:
        return str(self.get_kind_display())

    @property
    def device(self) -> str:
        return device_words(self.agent)
