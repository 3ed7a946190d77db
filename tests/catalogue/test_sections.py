"""Which of the main ways is marked at each address."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client, RequestFactory
from django.urls import ResolverMatch

from catalogue.models import Member
from catalogue.site.sections import BY_WORD, section

from .test_access_walk import PATTERNS

MARKED = {
    "account": "account",
    "club": "club invite member member-wants reset-member",
    "countries": """countries country country-motifs country-start country-timeline curation
        currency-edit currency-new denomination denomination-edit denomination-new issue-edit
        issuer-edit issuer-new mint-edit mint-new motif motif-edit motif-new person person-edit
        person-new proposal series series-edit series-new type type-edit type-from-holding
        type-history type-join type-like type-new type-propose""",
    "holdings": """bin change changes date-run holding holding-edit holding-history holding-new
        holding-split holding-status place-history
        holdings holdings-bulk photo-add photo-edit place-edit place-new places quick-entry
        receipt-add saved-search saved-searches showing showing-edit showing-new showing-pieces
        showings talk talk-add talk-captions talk-cards talk-case talk-edit talk-handout talk-new
        talk-notes talk-stop talk-take-along talks""",
    "identify": "identify identify-compare",
    "sheets": """album-of-aim album-of-wants album-sheet labels-sheet ladder-sheet schedule-file
        shared-list-sheet sheet sheets stock-edit stock-new stock-trial wants-sheet""",
    "wants": "aim aim-edit aim-new want-edit want-list want-list-edit want-list-new want-new wants",
    "worth": """price-source-edit price-source-new price-sources schedule schedule-delete
        schedule-new schedules valuation-edit valuation-new worth""",
    "": """account-erase account-password account-second-factor forgot handed-link home
        open-showing open-showing-piece open-showings shared-list shown shown-piece sign-in
        sign-in-code""",
}
BELONGS_TO_NONE = {
    "", "account", "forgot", "health", "link", "list", "open", "promises", "shown", "shown-talk",
}  # fmt: skip


def _section(name: str) -> str:
    route, pattern = next(found for found in PATTERNS if found[1].name == name)
    request = RequestFactory().get("/")
    request.resolver_match = ResolverMatch(pattern.callback, (), {}, url_name=name, route=route)
    return section(request)["section"]


@pytest.mark.parametrize("expected", MARKED)
def test_addresses_belong_to_their_section(expected: str) -> None:
    elsewhere = {name: _section(name) for name in MARKED[expected].split()}
    assert {name: found for name, found in elsewhere.items() if found != expected} == {}


def test_every_first_word_of_an_address_is_of_a_section_or_of_none() -> None:
    first = {route.partition("/")[0] for route, _ in PATTERNS}
    assert first - BY_WORD.keys() == BELONGS_TO_NONE | {"sign-in", "sign-out"}
    assert BY_WORD.keys() <= first


@pytest.mark.django_db
def test_a_page_marks_its_section_and_a_page_that_is_missing_marks_none(client: Any) -> None:
    browser: Client = client
    browser.force_login(
        Member.objects.create_user("somebody"),
        backend="django.contrib.auth.backends.ModelBackend",
    )
    page = browser.get("/places/").content.decode()
    assert page.count('aria-current="true"') == 1
    assert '<a href="/holdings/" aria-current="true">' in page
    for missing in ("/places/1234567/", "/nowhere/"):
        answer = browser.get(missing)
        assert answer.status_code == 404
        assert 'class="main-links"' in answer.content.decode()
        assert 'aria-current="true"' not in answer.content.decode()
