"""The want list on paper, for its owner and behind its secret link."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.members.models import hash_token, new_token
from catalogue.models import Aim, Member, Place, Want, WantList
from catalogue.printing.pdf import PrintingUnavailable
from tests.conftest import Coinage


@pytest.fixture
def wanted(member: Member, coinage: Coinage) -> WantList:
    made = WantList.objects.create(owner=member, title="Looking for", greeting="Thank you")
    made.aims.add(Aim.objects.create(owner=member, name="A", unit="date", series=coinage.series))
    return made


@pytest.fixture
def link(wanted: WantList) -> str:
    token = new_token()
    WantList.objects.filter(pk=wanted.pk).update(token_hash=hash_token(token))
    return f"/list/{token}/wants.pdf"


def test_it_works(as_member: Client, wanted: WantList, read: Any) -> None:
    found = read(as_member.get(f"/lists/{wanted.pk}/sheet/"))
    for said in ("Looking for", "Thank you", "Testland, First", "25 tinne", "page 1 of 1"):
        assert said in found.all
    assert [len(found.places(year)) for year in ("1931", "1947", "1953")] == [1, 1, 1]


def test_what_is_held_is_not_asked_for(
    as_member: Client, wanted: WantList, make_holding: Any, coinage: Coinage, read: Any
) -> None:
    make_holding(issue=coinage.issues[0])
    assert not read(as_member.get(f"/lists/{wanted.pk}/sheet/")).places("1931")


def test_another_members_list_is_not_shown(
    as_member: Client, wanted: WantList, other: Member
) -> None:
    WantList.objects.update(owner=other)
    assert as_member.get(f"/lists/{wanted.pk}/sheet/").status_code == 404


def test_the_link_shows_the_list_and_nothing_else(
    client: Client, link: str, make_holding: Any, member: Member, coinage: Coinage, read: Any
) -> None:
    place = Place.objects.create(owner=member, name="Cellar", path="Cellar")
    make_holding(
        issue=coinage.issues[0], accession="SECRET.1", place=place, note="inherited", price="99"
    )
    answer = client.get(link)
    found = read(answer)
    text = found.all
    assert not found.places("1931")
    assert found.places("1947")
    for hidden in ("SECRET.1", "Cellar", "inherited", "99", "Ana"):
        assert hidden not in text
    assert answer["X-Robots-Tag"] == "noindex, nofollow"
    assert answer["Referrer-Policy"] == "strict-origin"
    assert "no-store" in answer["Cache-Control"]


def test_the_shared_page_leads_to_it(client: Client, link: str) -> None:
    assert link in client.get(link.replace("wants.pdf", "")).content.decode()


def test_a_made_up_or_ended_link_leads_nowhere(client: Client, link: str) -> None:
    assert client.get("/list/made-up/wants.pdf").status_code == 404
    WantList.objects.update(expires_at="2020-01-01T00:00:00Z")
    assert client.get(link).status_code == 404


def test_a_list_too_long_is_not_drawn_for_strangers(
    client: Client, link: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.printing.want_sheets.LINES_SHARED", 2)
    answer = client.get(link)
    assert answer.status_code == 422
    assert b"Take it as CSV" in answer.content


def test_words_of_a_member_fetch_nothing(
    as_member: Client, member: Member, read: Any, caplog: pytest.LogCaptureFixture
) -> None:
    nasty = '<img src="file:///etc/passwd">url(file:///etc/hostname)'
    Want.objects.create(owner=member, text="A token", note=nasty)
    made = WantList.objects.create(owner=member, title="</title><link href=x>", greeting=nasty)
    text = read(as_member.get(f"/lists/{made.pk}/sheet/")).all
    assert text.replace(" ", "").count("&lt;imgsrc=") == 2
    assert "root:" not in text
    assert "Left out of a printed sheet" not in caplog.text


def test_without_pango_a_stranger_reads_why(
    client: Client, link: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing() -> Any:
        raise PrintingUnavailable

    monkeypatch.setattr("catalogue.printing.pdf._weasyprint", missing)
    answer = client.get(link)
    assert answer.status_code == 503
    assert b"Pango" in answer.content
