"""Odd values in every address and every form are answered, never with a failure of the server.

Each address of ``access_table.txt`` is asked with one odd value in all parameters that pages
read; each form is sent with that value in every field that its page shows.
"""

from __future__ import annotations

import re
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import urlencode

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse

from .access_addresses import ARGUMENTS
from .access_world import World
from .test_access_walk import ROWS, cookies, media, world, world_media

__all__ = ["cookies", "media", "world", "world_media"]

pytestmark = pytest.mark.django_db
VIEWER = "administrator"
FAILED = 500
FORM = "application/x-www-form-urlencoded"
ODD = {
    "beyond 64 bits": str(2**63),
    "below 64 bits": str(-(2**63) - 1),
    "figures without end": "9" * 5000,
    "a path": "../../x",
    "a NUL": "a\0b",
    "other figures": "٣",
    "no number": "nan",
    "a large power": "1e999",
    "half a pair of letters": "\ud800",
}
PARAMETERS = [
    "page",
    "piece",
    "more",
    "q",
    "sort",
    "view",
    "gaps",
    "place",
    "owner",
    "country",
    "currency",
    "series",
    "denomination",
    "mint",
    "motif",
    "decade",
    "grade",
    "metal",
    "type",
    "issuer",
    "holding",
    "as_of",
    "aim",
    "list",
    "stock",
    "first",
    "paper",
    "a",
    "b",
    "year",
    "date",
    "diameter",
    "mass",
    "legend",
    "motifs",
    "next",
    "back",
    "filter",
    "fold",
    "shown_type",
    "coin_type",
    "type_text",
    "date_text",
]

_NAMES = re.compile(r'<(?:input|select|textarea|button)\b[^>]*?\bname="([^"]+)"')


def _address(world: World, row: str) -> str:
    fill = ARGUMENTS.get(row)
    return reverse(row.split(":")[0], kwargs=fill(world) if fill else None)


@pytest.fixture
def browser(cookies: dict[str, SimpleCookie]) -> Client:
    def of(viewer: str) -> Client:
        client = Client(raise_request_exception=False)
        client.cookies = SimpleCookie(cookies[viewer].output(header="", sep=";"))
        return client

    return of  # type: ignore[return-value]


def _ask(client: Client, method: str, address: str, values: Any) -> int:
    with transaction.atomic():
        kind = {"content_type": FORM} if method == "post" else {}
        response = getattr(client, method)(address, values, **kind)
        transaction.set_rollback(True)
    return int(response.status_code)


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
def test_every_address_answers_odd_parameters(world: World, browser: Any, odd: str) -> None:
    asked = dict.fromkeys(PARAMETERS, odd.encode("utf-8", "surrogatepass"))
    rows = sorted({row for method, row, *_ in ROWS if method == "GET"})
    failed = [
        (row, viewer)
        for viewer in ("owner", "visitor")
        for row in rows
        if _ask(browser(viewer), "get", _address(world, row), asked) >= FAILED
    ]
    assert failed == []


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
def test_every_form_answers_odd_fields(world: World, browser: Any, odd: str) -> None:
    failed = []
    for method, row, *answers in ROWS:
        if method != "POST":
            continue
        viewer = "owner" if answers[2] in {"200", "302"} else VIEWER
        client, address = browser(viewer), _address(world, row)
        page = client.get(address)
        text = "" if page.streaming else page.content.decode(errors="replace")
        names = {*_NAMES.findall(text), *PARAMETERS}
        sent = urlencode(dict.fromkeys(sorted(names), odd.encode("utf-8", "surrogatepass")))
        if _ask(client, "post", address, sent) >= FAILED:
            failed.append((row, viewer))
    assert failed == []
