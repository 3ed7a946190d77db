"""The wall and the speaker's window of one's own, and the wall behind the secret link."""

from __future__ import annotations

import datetime
import re
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.models import Holding, Member, Photo, Stop, Talk
from catalogue.talks.giving import _spotted, wall
from catalogue.talks.shown import Light, ShownFace, ShownStop, ShownTalk
from tests.catalogue.talks.giving_world import LOOK, SAID, Given, give, picture
from tests.markup import markup

pytestmark = pytest.mark.django_db


@pytest.fixture
def given(member: Member, coinage: Any, make_holding: Any) -> Given:
    return give(member, coinage, make_holding)


@pytest.fixture
def secret(given: Given) -> str:
    token = given.talk.new_link(timezone.now() + datetime.timedelta(days=1))
    return f"/shown-talk/{token}/"


def _page(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, address
    return answer.content.decode()


def test_the_wall_shows_every_stop_and_nothing_that_the_speaker_says(
    as_member: Client, given: Given
) -> None:
    page = _page(as_member, f"/talks/{given.talk.pk}/wall/")
    assert page.count("data-stop=") == 5
    assert SAID not in page
    assert "Not in the collection" in page
    assert "Found in a drawer." in page


def test_without_a_script_each_stop_has_an_address_and_ways_on(
    as_member: Client, given: Given
) -> None:
    wall = f"/talks/{given.talk.pk}/wall/"
    second = _page(as_member, f"{wall}2/")
    shown = [part for part in second.split("<article")[1:] if "\n    hidden" not in part[:500]]
    assert len(shown) == 1
    assert f'href="{wall}1/"' in shown[0]
    assert f'href="{wall}3/"' in shown[0]
    assert as_member.get(f"{wall}6/").status_code == 404
    assert as_member.get(f"{wall}0/").status_code == 404


def test_a_talk_without_a_stop_has_a_wall(as_member: Client, member: Member) -> None:
    empty = Talk.objects.create(owner=member, title="Empty")
    for name in ("wall", "speaker", "rehearse"):
        assert as_member.get(f"/talks/{empty.pk}/{name}/").status_code == 200


def test_the_speaker_reads_the_notes_with_what_a_light_belongs_to(
    as_member: Client, given: Given
) -> None:
    page = _page(as_member, f"/talks/{given.talk.pk}/speaker/2/")
    assert f"{SAID} of it." in page
    assert "Light on the reverse at 3 o&#x27;clock" in page
    assert "What came after" in page


def test_a_sentence_with_a_spot_is_marked_in_the_notes() -> None:
    marked = _spotted(f"Before <it>. {LOOK} After.", [Light("reverse", 3, words=LOOK)])
    assert marked == (
        'Before &lt;it&gt;. <span class="spot" data-light="0">'
        "Look at three o&#x27;clock: a small D.</span> After."
    )


def test_a_sentence_of_the_notes_does_not_reach_the_wall_by_its_light() -> None:
    face = ShownFace("reverse", "A net", 20.0)
    light = Light("reverse", 3.0, 80, LOOK)
    stop = ShownStop(0, "piece", "25 tinne", faces=(face,), lights=(light,), notes=(LOOK,))
    for notes in (True, False):
        laid = wall(ShownTalk("T", stops=(stop,)), str, notes=notes)
        assert ("a small D" in laid.stops[0].faces[0].svg) is notes
        assert 'data-light="0"' in laid.stops[0].faces[0].svg


def test_behind_the_link_are_the_chosen_stops_alone(
    client: Client, given: Given, secret: str
) -> None:
    page = _page(client, secret)
    assert page.count("data-stop=") == 4
    assert SAID not in page
    assert "Found in a drawer." in page
    assert "What came after" in page
    assert client.get(f"{secret}4/").status_code == 200
    assert client.get(f"{secret}5/").status_code == 404


def test_behind_the_link_are_the_pictures_of_the_chosen_stops_alone(
    client: Client, given: Given, secret: str, coinage: Any
) -> None:
    hidden = Photo.objects.create(
        holding=given.second.holding, side="obverse", digest=picture(50), width=50, height=50
    )
    assert client.get(f"{secret}photos/{given.photo.pk}.webp").status_code == 200
    assert client.get(f"{secret}photos/{hidden.pk}.webp").status_code == 404
    assert client.get(f"{secret}faces/{coinage.type.key}/reverse.webp").status_code == 200
    Stop.objects.filter(pk=given.first.pk).update(shown=False)
    assert client.get(f"{secret}photos/{given.photo.pk}.webp").status_code == 404
    assert client.get(f"{secret}faces/{coinage.type.key}/reverse.webp").status_code == 404


def test_every_picture_of_the_secret_wall_can_be_had_behind_the_link(
    client: Client, given: Given, secret: str
) -> None:
    page = _page(client, secret)
    addresses = {part.split('"')[0] for part in page.split('<image href="')[1:]}
    assert len(addresses) == 2
    assert all(address.startswith(secret) for address in addresses)
    assert {client.get(address).status_code for address in addresses} == {200}


def test_a_link_that_ended_leads_nowhere(client: Client, given: Given, secret: str) -> None:
    Talk.objects.update(expires_at=timezone.now() - datetime.timedelta(minutes=1))
    for address in (secret, f"{secret}1/", f"{secret}photos/{given.photo.pk}.webp"):
        assert client.get(address).status_code == 404


def test_a_link_is_made_shown_once_and_ended(
    as_member: Client, client: Client, given: Given
) -> None:
    link = f"/talks/{given.talk.pk}/link/"
    as_member.post(f"/talks/{given.talk.pk}/share/", {"days": "30"})
    page = _page(as_member, link)
    found = re.search(r"/shown-talk/[^/<]+/", page)
    assert found
    path = found[0]
    assert Client().get(path).status_code == 200
    assert path not in _page(as_member, link)
    assert "1 stop is not shown behind it" in markup(page)
    as_member.post(f"/talks/{given.talk.pk}/unshare/")
    assert Client().get(path).status_code == 404


def test_what_is_in_the_bin_is_on_no_secret_wall(client: Client, given: Given, secret: str) -> None:
    Holding.objects.get(pk=given.first.holding_id).bin()
    assert "Found in a drawer." not in _page(client, secret)


# ---- a rehearsal ----
def test_a_rehearsal_keeps_the_seconds_and_tells_the_pace(as_member: Client, given: Given) -> None:
    rehearse = f"/talks/{given.talk.pk}/rehearse/"
    Stop.objects.filter(pk=given.first.pk).update(notes="word " * 60)
    answer = as_member.post(rehearse, {"seconds": "0 38 0 0 0"})
    assert answer.url == f"/talks/{given.talk.pk}/rehearsed/"
    given.talk.refresh_from_db()
    given.first.refresh_from_db()
    given.opening.refresh_from_db()
    assert given.talk.pace == 120  # 60 words in 38 s, of which 8 are for looking
    assert given.first.rehearsed_seconds == 38
    assert given.opening.rehearsed_seconds is None
    page = markup(_page(as_member, answer.url))
    assert "It took 38 s" in page
    assert "Your pace is 120 words a minute" in page


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("1 2 3", "has 5 stops, but these are 3 numbers"),
        ("1 2 3 four 5", "Give whole numbers of seconds"),
        ("1 2 3 -4 5", "Give whole numbers of seconds"),
        ("1 2 3 99999999999999999999 5", "Give whole numbers of seconds"),
        ("0 0 0 0 0", "No time was taken"),
        ("", "This field is required"),
    ],
)
def test_a_rehearsal_that_cannot_be_read_says_why_and_changes_nothing(
    typed: str, told: str, as_member: Client, given: Given
) -> None:
    answer = as_member.post(f"/talks/{given.talk.pk}/rehearse/", {"seconds": typed})
    assert answer.status_code == 200
    assert told in markup(answer.content.decode())
    assert not Stop.objects.filter(rehearsed_seconds__isnull=False).exists()


def test_a_talk_leafed_through_tells_no_pace(as_member: Client, given: Given) -> None:
    as_member.post(f"/talks/{given.talk.pk}/rehearse/", {"seconds": "0 3 3 3 0"})
    given.talk.refresh_from_db()
    assert given.talk.pace is None


def test_a_talk_not_rehearsed_says_so(as_member: Client, given: Given) -> None:
    assert "not rehearsed yet" in _page(as_member, f"/talks/{given.talk.pk}/rehearsed/")
