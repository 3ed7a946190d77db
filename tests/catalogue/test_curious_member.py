"""What a curious fellow member tries beside asking for records: words, orders, counts, files.

The owner of ``secret_world`` keeps to themselves a piece, places, prices, papers, lists and a type
they proposed. The other member is shown three pieces of theirs less one, and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from django.test import Client, override_settings
from django.urls import reverse

from catalogue.holdings.changes import note_holdings
from catalogue.holdings.finding import type_index
from catalogue.holdings.search import index
from catalogue.identifying import tables
from catalogue.models import Holding, Place, Proposal
from series.models import CoinType
from valuation.models import Valuation

from .access_addresses import ARGUMENTS, ASKED
from .secret_world import MARK, SecretWorld, make_secret_world
from .test_access_walk import ROWS, cookies, media, world_media
from .test_parameter_walk import _differences, _secrets_in, _text, _without

__all__ = ["cookies", "media", "world_media"]

pytestmark = pytest.mark.django_db
Ask = Callable[..., Any]
SEEN_BY_OTHER = sorted(
    row for method, row, _visitor, other, *_ in ROWS if method == "GET" and other == "200"
)
LISTS = (
    "home",
    "holdings",
    "holdings-export",
    "holdings-export:json",
    "holdings-export:jsonld",
    "club",
    "member",
    "wants",
    "countries",
    "country",
    "country-timeline",
    "country-motifs",
    "denomination",
    "series",
    "type",
    "motif",
    "curation",
    "identify",
    "worth",
    "price-sources",
    "sheets",
    "labels-sheet",
    "album-sheet:series",
    "open-showings",
    "bin",
    "want-new",
    "aim-new",
    "quick-entry",
    "date-run",
    "type-new",
    "valuation-new:type",
)


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: Any, media: Path) -> Iterator[SecretWorld]:
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=media), transaction.atomic():
        yield make_secret_world()
        transaction.set_rollback(True)


@pytest.fixture
def other(cookies: dict[str, SimpleCookie]) -> Client:
    client = Client()
    client.cookies = SimpleCookie(cookies["other"].output(header="", sep=";"))
    return client


def _address(world: SecretWorld, row: str) -> str:
    fill = ARGUMENTS.get(row)
    address = reverse(row.split(":")[0], kwargs=fill(world.world) if fill else None)
    return address + ("?" + ASKED[row](world.world) if row in ASKED else "")


@pytest.mark.parametrize("row", SEEN_BY_OTHER)
def test_no_page_tells_another_member_a_secret(world: SecretWorld, other: Client, row: str) -> None:
    assert _secrets_in(_text(other.get(_address(world, row)))) == []


def _forget() -> None:
    index.forget()
    type_index.forget()
    tables.forget()


def test_lists_and_counts_are_as_if_nothing_were_kept_to_its_owner(
    world: SecretWorld, other: Client
) -> None:
    asked = [_address(world, row) for row in LISTS]
    asked += ["/holdings/?owner=any", f"/holdings/?owner={world.owner.pk}", "/holdings/?view=dates"]
    there = {address: _without(_text(other.get(address)), {}) for address in asked}
    with transaction.atomic():
        Valuation.objects.filter(holding__owner=world.owner).delete()
        world.private.photos.all().delete()
        Holding.objects.filter(pk=world.private.pk).delete()
        Holding.objects.filter(owner=world.owner).update(place=None, price=None, acquired_from="")
        Place.everything.filter(owner=world.owner).delete()
        Proposal.objects.all().delete()
        CoinType.objects.filter(pk=world.proposed.pk).delete()
        note_holdings(list(Holding.objects.values_list("pk", flat=True)))
        _forget()
        gone = {address: _without(_text(other.get(address)), {}) for address in asked}
        transaction.set_rollback(True)
    _forget()
    differing = {each: _differences(there[each], gone[each]) for each in asked}
    assert {each: lines for each, lines in differing.items() if lines} == {}


def _found(answer: Any) -> list[str]:
    return sorted(set(re.findall(r'href="/holdings/(\d+)/"', answer.content.decode())))


@pytest.mark.parametrize("words", [MARK, "UNVERKENNBAR.7", f"{MARK} dealer", f"{MARK} place"])
def test_words_of_what_is_hidden_find_nothing(
    world: SecretWorld, other: Client, words: str
) -> None:
    answer = other.get("/holdings/", {"q": words, "owner": "any", "status": "any"})
    assert _found(answer) == []
    assert answer.context["browse"].result.total == 0


def test_a_slip_in_a_hidden_word_is_not_put_right(world: SecretWorld, other: Client) -> None:
    """While its owner is told what was meant."""
    asked = {"q": MARK.replace("nn", "n"), "owner": "any", "status": "any"}
    assert MARK.lower() not in other.get("/holdings/", asked).content.decode().lower()
    other.force_login(world.owner, backend="django.contrib.auth.backends.ModelBackend")
    assert MARK.lower() in other.get("/holdings/", asked).content.decode().lower()


def test_what_is_typed_for_a_coin_offers_no_type_that_is_hidden(
    world: SecretWorld, other: Client
) -> None:
    for text in (MARK, MARK[:5], "1977 25 tinne"):
        options = other.get("/holdings/quick/types/", {"q": text}).content.decode()
        assert MARK not in options.replace(text, "")


def _order(other: Client, sort: str) -> list[int]:
    answer = other.get("/holdings/", {"owner": "any", "status": "any", "sort": sort})
    return [holding.pk for holding in answer.context["browse"].holdings]


@pytest.mark.parametrize("sort", ["worth", "-worth", "face", "-added", "accession", "price"])
def test_no_order_tells_the_value_or_price_of_anothers_piece(
    world: SecretWorld, other: Client, sort: str
) -> None:
    first = _order(other, sort)
    with transaction.atomic():
        for amount, piece in ((1, world.holding), (9000, world.public)):
            Valuation.objects.filter(holding=piece).delete()
            Valuation.objects.create(
                holding=piece,
                single=amount,
                on="2024-04-01",
                source=world.source,
                entered_by=world.owner,
            )
            Holding.objects.filter(pk=piece.pk).update(price=amount)
        note_holdings([world.holding.pk, world.public.pk])
        second = _order(other, sort)
        transaction.set_rollback(True)
    _forget()
    assert first == second


@pytest.mark.parametrize("size", ["small", "medium", "full"])
def test_a_browser_that_says_it_has_a_photograph_is_told_no_more(
    world: SecretWorld, other: Client, size: str
) -> None:
    """Neither by a stored copy nor by the answer to one is it told from a photograph never made."""
    claims = {"If-Modified-Since": "Thu, 01 Jan 1970 00:00:00 GMT", "If-None-Match": "*"}
    for pk in (world.private_photo.pk, 10**15):
        assert other.get(f"/photos/{pk}/{size}.webp", headers=claims).status_code == 404


def test_stored_files_have_no_address_of_their_own(world: SecretWorld, other: Client) -> None:
    """A picture's or a paper's name on disk leads nowhere, below no folder."""
    names = [world.receipt.file, world.private_photo.digest, f"{world.private_photo.digest}.webp"]
    for folder in ("media", "static", "static/../media", "static/%2e%2e/media", "web", "var/media"):
        for name in names:
            assert other.get(f"/{folder}/{name}").status_code == 404


def test_the_old_address_of_a_joined_type_leads_to_none_that_is_hidden(
    world: SecretWorld, other: Client
) -> None:
    """The key of a proposed type is made of its name."""
    with transaction.atomic():
        CoinType.objects.create(
            key="was-joined",
            series=world.coinage.series,
            denomination=world.coinage.denomination,
            standing=CoinType.Standing.JOINED,
            joined_to=world.proposed,
        )
        answer = other.get("/types/was-joined/")
        other.force_login(world.owner, backend="django.contrib.auth.backends.ModelBackend")
        own = other.get("/types/was-joined/")
        transaction.set_rollback(True)
    assert (answer.status_code, "Location" in answer.headers) == (404, False)
    assert own["Location"] == world.proposed.get_absolute_url()
