"""Who gets what at every address: the site is walked and compared with access_table.txt.

A row: the method, the address by its name (and which sample object, after a colon), then the
answer for a visitor, another member, the owner of the sample object, a curator and an
administrator. ``sign-in`` stands for being sent to the sign-in page.

To add an address: add its row; if it has parts, say in access_addresses.py how they are filled.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from django.test import Client, override_settings
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from .access_addresses import ARGUMENTS, ASKED, SENT
from .access_world import World, make_world

TABLE = Path(__file__).with_name("access_table.txt")
pytestmark = pytest.mark.django_db
VIEWERS = ("visitor", "other", "owner", "curator", "administrator")


def _rows() -> list[list[str]]:
    lines = (line.split("#")[0].split() for line in TABLE.read_text().splitlines())
    return [cells for cells in lines if cells]


ROWS = _rows()


def _patterns(resolver: URLResolver, route: str = "") -> Iterator[tuple[str, URLPattern]]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLResolver):
            yield from _patterns(entry, route + str(entry.pattern))
        else:
            yield route + str(entry.pattern), entry


PATTERNS = list(_patterns(get_resolver()))


@pytest.fixture(scope="module")
def media(tmp_path_factory: Any) -> Path:
    folder: Path = tmp_path_factory.mktemp("media")
    return folder


@pytest.fixture(autouse=True)
def world_media(own_media: None, settings: Any, media: Path) -> None:
    """The files of the world are there in every test of this module."""
    settings.MEDIA_ROOT = media


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: Any, media: Path) -> Iterator[World]:
    """Made once for all rows, since whatever a request changes is undone."""
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=media), transaction.atomic():
        yield make_world()
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def cookies(world: World) -> dict[str, SimpleCookie]:
    """The cookies of each viewer's browser."""
    found = {"visitor": SimpleCookie()}
    for viewer in VIEWERS[1:]:
        client = Client()
        client.force_login(
            getattr(world, viewer), backend="django.contrib.auth.backends.ModelBackend"
        )
        found[viewer] = client.cookies
    return found


Walk = Callable[[str, str, str], str]


@pytest.fixture
def answer(world: World, cookies: dict[str, SimpleCookie]) -> Walk:
    """What a viewer gets for a method and a row; whatever the request changes is undone."""

    def ask(viewer: str, method: str, row: str) -> str:
        client = Client(raise_request_exception=False)
        client.cookies = SimpleCookie(cookies[viewer].output(header="", sep=";"))
        fill = ARGUMENTS.get(row)
        address = reverse(row.split(":")[0], kwargs=fill(world) if fill else None)
        if row in ASKED:
            address += "?" + ASKED[row](world)
        with transaction.atomic():
            if method == "POST":
                response = client.post(address, SENT[row](world) if row in SENT else {})
            else:
                response = client.get(address)
            if response.streaming:
                b"".join(response.streaming_content)  # type: ignore[attr-defined]
            transaction.set_rollback(True)
        if response.status_code == 302 and response["Location"].startswith("/sign-in/?next="):
            return "sign-in"
        return str(response.status_code)

    return ask


def test_every_address_has_a_name() -> None:
    assert [route for route, pattern in PATTERNS if not pattern.name] == []


def test_every_name_stands_for_one_address() -> None:
    names = [pattern.name for _, pattern in PATTERNS]
    assert sorted(name for name in set(names) if names.count(name) > 1) == []


def test_the_table_names_every_address_and_no_other() -> None:
    walked = {row.split(":")[0] for method, row, *_ in ROWS if method == "GET"}
    named = {str(pattern.name): route for route, pattern in PATTERNS}
    missing = sorted(f"GET {name}    (/{named[name]})" for name in set(named) - walked)
    gone = sorted({row.split(":")[0] for _, row, *_ in ROWS} - set(named))
    assert (missing, gone) == ([], []), (
        "\nmissing in access_table.txt:\n  "
        + "\n  ".join(missing or ["-"])
        + "\nin access_table.txt, but no longer an address:\n  "
        + "\n  ".join(gone or ["-"])
    )


def test_rows_are_whole_and_stand_once() -> None:
    assert [cells for cells in ROWS if len(cells) != 2 + len(VIEWERS)] == []
    keys = [tuple(cells[:2]) for cells in ROWS]
    assert sorted(key for key in set(keys) if keys.count(key) > 1) == []


@pytest.mark.parametrize("cells", ROWS, ids=lambda cells: " ".join(cells[:2]))
def test_everybody_gets_what_the_table_says(answer: Walk, cells: list[str]) -> None:
    method, row, *expected = cells
    got = [answer(viewer, method, row) for viewer in VIEWERS]
    assert " ".join(got) == " ".join(expected), " ".join(VIEWERS)


def test_what_takes_a_post_has_a_row_for_it(answer: Walk) -> None:
    """Without a row for POST an address refuses it, to the owner and to an administrator."""
    with_post = {row.split(":")[0] for method, row, *_ in ROWS if method == "POST"}
    taken = {}
    for name in sorted({row.split(":")[0] for _, row, *_ in ROWS} - with_post):
        answers = [answer(viewer, "POST", name) for viewer in ("owner", "administrator")]
        if set(answers) != {"405"}:
            taken[name] = " ".join(answers)
    assert taken == {}
