"""Keeping a member's key for codes so that the database alone gives it to nobody.

It is encrypted (Fernet) under a key derived by HKDF (RFC 5869) from the site's secret key, for that
member alone. Former keys in ``SECRET_KEY_FALLBACKS`` open what they sealed.
"""

from __future__ import annotations

from base64 import urlsafe_b64encode

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings


class KeyLost(Exception):
    """The site's key is another one than that with which it was sealed."""


def seal(data: bytes, member_pk: int) -> str:
    return _seals(member_pk).encrypt(data).decode()


def unseal(sealed: str, member_pk: int) -> bytes:
    try:
        return _seals(member_pk).decrypt(sealed)
    except InvalidToken as error:
        raise KeyLost from error


def _seals(member_pk: int) -> MultiFernet:
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return MultiFernet([Fernet(_derived(key, member_pk)) for key in keys])


def _derived(key: str, member_pk: int) -> bytes:
    purpose = f"exergue second factor {member_pk}".encode()
    derivation = HKDF(algorithm=SHA256(), length=32, salt=None, info=purpose)
    return urlsafe_b64encode(derivation.derive(key.encode()))
