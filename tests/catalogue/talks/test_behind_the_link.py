"""Behind the secret link of a talk: what its owner left ticked, and nothing that is private."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from catalogue import access
from catalogue.members.models import hash_token
from catalogue.models import Holding, Member, Photo, Place, Stop, Talk
from catalogue.talks.drafting import draft
from catalogue.talks.queries import shown_talk
from series.models import CoinType, Face

SECRET = "Unverkennbar"


class Listener:
    """A door of whoever has the link, with addresses that say what they lead to."""

    own = False

    def photo(self, photo: Photo) -> str:
        return f"photo-{photo.pk}"

    def face(self, coin_type: CoinType, face: Face) -> str:
        return f"face-{coin_type.key}-{face.side}"


def _kept(talk: Talk) -> list[Any]:
    return [stop.kind for stop in shown_talk(talk, Listener()).stops]


def test_nothing_private_is_shown(talk: Talk, pieces: list[Holding], member: Member) -> None:
    place = Place.objects.create(owner=member, name=SECRET, path=SECRET)
    Holding.objects.filter(owner=member).update(
        place=place, note=SECRET, acquired_from=SECRET, price="73519.48", title=SECRET
    )
    talk.says_worth = True
    talk.save()
    draft(talk)
    for stop in talk.stops.all():
        stop.notes += f" {SECRET}"
        stop.save()
    told = shown_talk(talk, Listener())
    plain = json.dumps(told.plain(notes=False), default=str)
    assert SECRET not in plain
    assert "73519" not in plain
    assert (told.minutes, told.pace) == (0, 0)
    assert all(stop.notes == () and stop.seconds == 0 for stop in told.stops)


def test_a_stop_that_is_not_ticked_stays_away(talk: Talk) -> None:
    talk.stops.filter(kind="type").update(shown=False)
    assert _kept(talk) == ["currency", "piece", "piece", "piece", "text"]


def test_a_piece_kept_to_its_owner_is_shown_only_where_that_was_said(
    talk: Talk, pieces: list[Holding]
) -> None:
    Holding.objects.filter(pk=pieces[0].pk).update(visibility="private")
    assert _kept(talk).count("piece") == 2
    talk.stops.filter(holding=pieces[0]).update(though_private=True)
    assert _kept(talk).count("piece") == 3


def test_so_is_a_picture_of_one(talk: Talk, pieces: list[Holding]) -> None:
    photo = Photo.objects.create(holding=pieces[0], side="other", digest="d", width=9, height=9)
    talk.stops.filter(kind="text").update(photo=photo)
    assert "text" in _kept(talk)
    Holding.objects.filter(pk=pieces[0].pk).update(visibility="private")
    assert "text" not in _kept(talk)


@pytest.mark.parametrize("change", [{"status": "sold"}, {"deleted_at": timezone.now()}])
def test_what_is_held_no_more_is_shown_no_more(
    talk: Talk, pieces: list[Holding], change: dict[str, Any]
) -> None:
    Holding.objects.filter(pk=pieces[0].pk).update(**change)
    assert _kept(talk).count("piece") == 2


def test_only_photographs_of_both_sides_and_chosen_ones_are_open(
    talk: Talk, pieces: list[Holding], make_holding: Callable[..., Holding], other: Member
) -> None:
    def photo(holding: Holding, side: str) -> Photo:
        return Photo.objects.create(holding=holding, side=side, digest="d", width=9, height=9)

    shown, paper = photo(pieces[0], "reverse"), photo(pieces[0], "other")
    chosen = photo(pieces[1], "edge")
    away, theirs = photo(make_holding(), "reverse"), photo(make_holding(owner=other), "reverse")
    talk.stops.filter(kind="text").update(photo=chosen)
    found = set(access.photos_of_stops(talk, access.stops_shown(talk)))
    assert found == {shown, chosen}
    assert not found & {paper, away, theirs}


def test_an_ended_link_leads_to_no_talk(talk: Talk) -> None:
    token = talk.new_link(timezone.now() + timedelta(days=1))
    assert list(access.shared_talks(hash_token(token))) == [talk]
    Talk.objects.filter(pk=talk.pk).update(expires_at=timezone.now() - timedelta(seconds=1))
    assert not access.shared_talks(hash_token(token)).exists()
    assert not access.shared_talks("").exists()


def test_what_changed_is_told_only_since_what_is_shown(talk: Talk) -> None:
    draft(talk)
    assert shown_talk(talk, Listener()).stops[4].changed
    talk.stops.filter(position=3).update(shown=False)
    assert shown_talk(talk, Listener()).stops[3].changed == ""
    Stop.objects.filter(talk=talk).update(notes="")
    assert all(stop.changed == "" for stop in shown_talk(talk, Listener()).stops)
