"""Steps at the door that several tests take."""

from __future__ import annotations

import time
from datetime import timedelta
from typing import Any

from django.db.models import F
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from catalogue.members.door.models import SecondFactor, Tally
from catalogue.members.door.sealing import unseal
from catalogue.members.door.second_factor import STEP, begin, code_at, confirm
from catalogue.models import Member

PASSWORD = "a good long password"
BACKEND = "django.contrib.auth.backends.ModelBackend"


def give(client: Client, password: str = PASSWORD, name: str = "ana", **more: Any) -> Any:
    """Send the sign-in page's form."""
    return client.post(reverse("sign-in"), {"username": name, "password": password}, **more)


def guess(client: Client, times: int, **more: Any) -> list[int]:
    return [give(client, f"wrong {n}", **more).status_code for n in range(times)]


def is_in(client: Client) -> bool:
    return client.get(reverse("account")).status_code == 200


def time_passes(**by: int) -> None:
    """Whatever was tried was tried so much earlier."""
    ago = timedelta(**by)
    Tally.objects.update(tried_at=F("tried_at") - ago, free_at=F("free_at") - ago)


def with_factor(member: Member) -> tuple[SecondFactor, list[str]]:
    """A second factor that was confirmed some steps ago, and its recovery codes."""
    factor = begin(member)
    codes = confirm(factor, code_of(factor))
    SecondFactor.objects.update(last_step=F("last_step") - 5)
    return SecondFactor.objects.get(), codes


def code_of(factor: SecondFactor, steps: int = 0) -> str:
    """The code that the member's device shows, now or so many steps from now."""
    key = unseal(factor.sealed_key, factor.owner_id)
    return code_at(key, time.time() + steps * STEP)


def send_code(client: Client, code: str) -> HttpResponse:
    response: Any = client.post(reverse("sign-in-code"), {"code": code})
    return response  # type: ignore[no-any-return]
