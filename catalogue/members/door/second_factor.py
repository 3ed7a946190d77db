"""The second factor: codes by the clock (RFC 6238), and recovery codes in their place."""

from __future__ import annotations

import secrets
import time
from base64 import b32encode
from datetime import timedelta
from urllib.parse import quote, urlencode, urlsplit

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django_otp.oath import hotp

from catalogue.members.door.models import RecoveryCode, SecondFactor
from catalogue.members.door.sealing import KeyLost, seal, unseal
from catalogue.members.models import Member, hash_token

KEY_BYTES = 20  # RFC 4226, section 4, R6
STEP = 30  # s, RFC 6238, section 5.2
DIGITS = 6
CLOCKS_DIFFER = 1  # steps, likewise
BEGUN_LASTS = timedelta(minutes=30)
RECOVERY_CODES = 10
RECOVERY_LETTERS = "23456789abcdefghjkmnpqrstvwxyz"  # none that is taken for another
RECOVERY_LENGTH = 16  # 78 bits


# ---- switching it on and off ----
def factor_of(member: Member) -> SecondFactor | None:
    """The member's second factor, where it is asked for."""
    return SecondFactor.objects.filter(owner=member, confirmed_at__isnull=False).first()


def begun_by(member: Member) -> SecondFactor | None:
    """One that still waits for its first code."""
    since = timezone.now() - BEGUN_LASTS
    return SecondFactor.objects.filter(owner=member, confirmed_at=None, begun_at__gt=since).first()


@transaction.atomic
def begin(member: Member) -> SecondFactor:
    """A new key; one that waits for its first code is forgotten, one in use stays."""
    SecondFactor.objects.filter(owner=member, confirmed_at=None).delete()
    sealed = seal(secrets.token_bytes(KEY_BYTES), member.pk)
    factor, _made = SecondFactor.objects.get_or_create(
        owner=member, defaults={"sealed_key": sealed}
    )
    return factor


@transaction.atomic
def confirm(factor: SecondFactor, code: str) -> list[str]:
    """Switch it on by a first code; returns its recovery codes, or none when the code is wrong."""
    if not accept_code(factor, code):
        return []
    waiting = SecondFactor.objects.filter(pk=factor.pk, confirmed_at=None)
    if not waiting.update(confirmed_at=timezone.now()):
        return []
    return new_recovery_codes(factor)


@transaction.atomic
def new_recovery_codes(factor: SecondFactor) -> list[str]:
    """Ten codes, of which only hashes are kept; earlier ones end."""
    codes = [_random_code() for _ in range(RECOVERY_CODES)]
    factor.recovery.all().delete()
    RecoveryCode.objects.bulk_create(
        RecoveryCode(factor=factor, code_hash=hash_token(code)) for code in codes
    )
    return ["-".join(code[at : at + 4] for at in range(0, RECOVERY_LENGTH, 4)) for code in codes]


def switch_off(member: Member) -> bool:
    """Ask for no second factor any more; whether there was one."""
    gone, _each = SecondFactor.objects.filter(owner=member).delete()
    return bool(gone)


def _random_code() -> str:
    return "".join(secrets.choice(RECOVERY_LETTERS) for _ in range(RECOVERY_LENGTH))


# ---- checking ----
def code_at(key: bytes, seconds: float) -> str:
    """The code of a key at a time of the clock (seconds since 1970)."""
    return f"{hotp(key, int(seconds) // STEP, DIGITS):0{DIGITS}}"


def accept(factor: SecondFactor, text: str) -> bool:
    """Take a code or a recovery code, each once; raises KeyLost for a code nobody can check."""
    return accept_recovery(factor, text) or accept_code(factor, text)


def accept_code(factor: SecondFactor, text: str) -> bool:
    """Take a code by the clock; none of a step up to the last one taken."""
    code = "".join(text.split())
    if len(code) != DIGITS or not code.isdecimal():
        return False
    key = unseal(factor.sealed_key, factor.owner_id)
    now = time.time()
    for off in range(-CLOCKS_DIFFER, CLOCKS_DIFFER + 1):
        at = now + off * STEP
        if constant_time_compare(code_at(key, at), f"{int(code):0{DIGITS}}"):
            step = int(at) // STEP
            fresh = SecondFactor.objects.filter(pk=factor.pk, last_step__lt=step)
            # Sealed anew, so that a former key of the site is needed no more.
            return bool(fresh.update(last_step=step, sealed_key=seal(key, factor.owner_id)))
    return False


def accept_recovery(factor: SecondFactor, text: str) -> bool:
    code = "".join(letter for letter in text.lower() if letter.isalnum())
    if len(code) != RECOVERY_LENGTH:
        return False
    unused = factor.recovery.filter(code_hash=hash_token(code), used_at=None)
    return bool(unused.update(used_at=timezone.now()))


def recovery_left(factor: SecondFactor) -> int:
    return factor.recovery.filter(used_at=None).count()


def can_be_checked(factor: SecondFactor) -> bool:
    """Whether the site's key still opens it."""
    try:
        unseal(factor.sealed_key, factor.owner_id)
    except KeyLost:
        return False
    return True


# ---- handing the key over ----
def key_letters(factor: SecondFactor) -> str:
    """The key as letters to type (base 32, RFC 4648)."""
    return b32encode(unseal(factor.sealed_key, factor.owner_id)).decode()


def key_address(factor: SecondFactor) -> str:
    """The address that a QR code hands to the app which makes the codes."""
    site = f"Exergue {urlsplit(settings.SITE_ADDRESS).hostname or ''}".strip()
    asked = urlencode({"secret": key_letters(factor), "issuer": site}, quote_via=quote)
    return f"otpauth://totp/{quote(site)}:{quote(factor.owner.username)}?{asked}"
