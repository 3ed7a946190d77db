"""One stop: what is said and shown, its drafts and what they rest on, and a stale edit."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Holding, HoldingProblem, Photo, Stop, Talk
from catalogue.talks.doors import OwnDoor
from catalogue.talks.drafting import draft, told
from catalogue.talks.queries import shown_talk
from series.models import CoinType
from tests.markup import markup

COIN = {"light_radius": "80", "shown": "on"}


def _address(talk: Talk, stop: Stop, name: str = "talk-stop") -> str:
    return reverse(name, args=[talk.pk, stop.pk])


def _piece(talk: Talk) -> Stop:
    found: Stop = talk.stops.filter(kind="piece").first()
    return found


# ---- drafts ----
def test_every_stop_is_drafted_from_its_records(talk: Talk) -> None:
    assert draft(talk) == 5  # of a text nothing is told
    notes = " ".join(talk.stops.values_list("notes", flat=True))
    assert "copper-nickel" in notes
    assert draft(talk) == 0


def test_a_changed_record_is_marked_shown_and_drafted_again(
    as_member: Client, talk: Talk, coinage: Any
) -> None:
    draft(talk)
    stop = _piece(talk)
    mine = f"{stop.notes} I found it in a drawer."
    Stop.objects.filter(pk=stop.pk).update(notes=mine)
    CoinType.objects.filter(pk=coinage.type.pk).update(metal="brass", composition="CuZn20")
    page = markup(as_member.get(talk.get_absolute_url()).content.decode())
    assert "The records have changed since" in page
    page = markup(as_member.get(_address(talk, stop)).content.decode())
    assert "Drafted as" in page
    assert "Would now be" in page
    as_member.post(_address(talk, stop, "talk-stop-draft"))
    stop.refresh_from_db()
    assert "brass" in stop.notes
    assert "copper-nickel" not in stop.notes
    assert stop.notes.endswith("I found it in a drawer.")
    assert told(talk).changed(1) == []


def test_an_edited_sentence_is_not_marked_nor_overwritten(
    as_member: Client, talk: Talk, coinage: Any
) -> None:
    draft(talk)
    Stop.objects.filter(talk=talk).update(notes="All in words of my own.")
    CoinType.objects.filter(pk=coinage.type.pk).update(metal="brass", composition="CuZn20")
    page = as_member.get(talk.get_absolute_url()).content.decode()
    assert "The records have changed since" not in page
    as_member.post(reverse("talk-draft", args=[talk.pk]))
    for notes in talk.stops.values_list("notes", flat=True):
        assert notes == "All in words of my own."


def test_what_would_be_said_besides_is_shown_before_it_is_drafted(
    as_member: Client, talk: Talk, coinage: Any
) -> None:
    draft(talk)
    stop = _piece(talk)
    coinage.type.faces.filter(side="reverse").update(description="A gull on a bollard.")
    page = as_member.get(_address(talk, stop))
    assert ["gull" in each.text for each in page.context["added"]] == [True]
    assert "gull on a bollard" in markup(page.content.decode())
    Stop.objects.filter(pk=stop.pk).update(notes="All in words of my own.")
    assert as_member.get(_address(talk, stop)).context["added"] == []


def test_each_draft_can_be_opened_to_the_records_it_rests_on(
    as_member: Client, talk: Talk, coinage: Any
) -> None:
    draft(talk)
    stop = _piece(talk)
    page = as_member.get(_address(talk, stop))
    assert {s.sentence.text for s in page.context["sourced"]} == {
        s.text for s in told(talk).tellings[1].sentences
    }
    cited = [one for each in page.context["sourced"] for one in each.cited]
    assert cited
    assert coinage.type.get_absolute_url() in {one.address for one in cited}
    assert all(one.words for one in cited)


def test_worth_is_said_only_where_the_owner_wants_it(talk: Talk) -> None:
    draft(talk)
    assert not any("worth" in notes for notes in talk.stops.values_list("notes", flat=True))


# ---- the form ----
def test_what_is_said_and_shown_is_saved(as_member: Client, talk: Talk) -> None:
    stop = _piece(talk)
    sent = COIN | {
        "heading": "A quarter",
        "caption": "The first of them.",
        "notes": "One.\n\nTwo.",
        "look_seconds": "20",
        "light_side": "reverse",
        "light_clock": "6.25",
        "light_radius": "70",
    }
    as_member.post(_address(talk, stop), sent)
    shown = shown_talk(talk, OwnDoor()).stops[1]
    assert (shown.heading, shown.caption) == ("A quarter", "The first of them.")
    assert shown.notes == ("One.", "Two.")
    light = shown.lights[0]
    assert (light.side, light.clock, light.radius) == ("reverse", 6.25, 70)
    assert shown.seconds == 22  # two words at the usual pace, and the looking


def test_saved_and_on_to_the_next(as_member: Client, talk: Talk) -> None:
    first, second = list(talk.stops.filter(kind="piece"))[:2]
    answer = as_member.post(_address(talk, first), COIN | {"do": "next"})
    assert answer["Location"] == _address(talk, second)


def test_an_edit_of_an_older_stop_is_refused_and_both_are_shown(
    as_member: Client, talk: Talk
) -> None:
    stop = _piece(talk)
    seen = stop.row_version
    as_member.post(_address(talk, stop), COIN | {"notes": "Hers.", "row_version": seen})
    page = as_member.post(_address(talk, stop), COIN | {"notes": "Mine.", "row_version": seen})
    said = page.content.decode()
    assert "Someone changed this record" in said
    assert "Hers." in said
    assert "Mine." in said
    assert Stop.objects.get(pk=stop.pk).notes == "Hers."


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"light_side": "reverse"}, "at which hour of the clock"),
        ({"light_clock": "6"}, "Choose the side"),
        ({"light_side": "reverse", "light_clock": "6.1"}, "whole hours and quarters"),
        ({"light_side": "reverse", "light_clock": "13"}, "less than or equal to 12"),
        ({"light_radius": "101"}, "less than or equal to 100"),
        ({"look_seconds": "601"}, "less than or equal to 600"),
        ({"notes": "x" * 10_001}, "at most 10000 characters"),
        ({"heading": "x" * 121}, "at most 120 characters"),
    ],
)
def test_what_cannot_be_read_is_said_at_its_field(
    as_member: Client, talk: Talk, sent: dict[str, str], said: str
) -> None:
    page = as_member.post(_address(talk, _piece(talk)), COIN | sent)
    assert said in page.content.decode()


def test_a_picture_stands_beside_a_text(
    as_member: Client, talk: Talk, pieces: list[Holding]
) -> None:
    text = talk.stops.get(kind="text")
    number = pieces[0].accession
    page = as_member.post(_address(talk, text), {"heading": "x", "picture_of": number})
    assert "no such photograph" in page.content.decode()
    photo = Photo.objects.create(holding=pieces[0], side="edge", digest="d", width=9, height=9)
    sent = {"heading": "x", "picture_of": number, "picture_side": "edge"}
    as_member.post(_address(talk, text), sent)
    text.refresh_from_db()
    assert text.photo == photo
    (face,) = shown_talk(talk, OwnDoor()).stops[-1].faces
    assert face.src == reverse("photo", args=[photo.pk, "full"])
    as_member.post(_address(talk, text), {"heading": "x", "picture_of": ""})
    text.refresh_from_db()
    assert text.photo is None


# ---- the form of giving ----
def test_faces_are_photographed_else_pictured_else_drawn(
    talk: Talk, pieces: list[Holding], coinage: Any
) -> None:
    Photo.objects.create(
        holding=pieces[0], side="reverse", digest="d", width=900, height=900, trimmed=True
    )
    coinage.type.faces.filter(side="obverse").update(picture="e" * 64)
    first, second = shown_talk(talk, OwnDoor()).stops[1:3]
    assert [bool(face.svg) for face in first.faces] == [False, False]
    assert first.faces[1].px == 900
    assert second.faces[0].src.startswith(f"/types/{coinage.type.key}/")
    assert second.faces[1].svg.startswith("<g")
    assert {face.width_mm for face in (*first.faces, *second.faces)} == {23.5}
    assert "id=" not in second.faces[1].svg  # so that it can stand on a page twice


def test_a_gap_is_not_held_and_an_opening_is_a_chapter(talk: Talk) -> None:
    stops = shown_talk(talk, OwnDoor()).stops
    assert [stop.held for stop in stops] == [True, True, True, True, False, True]
    assert [stop.chapter for stop in stops] == [True, False, False, False, False, False]
    assert stops[0].lines == ("1 marl = 100 tinne",)
    assert stops[1].where == ("Testland", "Marl", "First, 1931–1959")
    assert stops[1].heading == "25 tinne, 1931"
    assert stops[4].heading == "25 tinne, 1943–1944"


def test_what_changed_is_told_since_a_stop_that_stands_before(
    talk: Talk, make_holding: Callable[..., Holding]
) -> None:
    draft(talk)
    stops = shown_talk(talk, OwnDoor()).stops
    assert (stops[4].before, stops[4].changed) == (3, "zinc where it was copper-nickel")
    talk.stops.filter(position=3).delete()
    assert shown_talk(talk, OwnDoor()).stops[3].changed == ""


def test_what_was_kept_by_another_program_is_no_draft(talk: Talk) -> None:
    Stop.objects.filter(talk=talk).update(drafted=[{"key": 3}, "x", {"text": None}], notes="x")
    assert shown_talk(talk, OwnDoor()).stops[1].notes == ("x",)
    assert draft(talk) == 6  # what was kept with the text goes too


def test_problems_and_grade_are_the_speakers_alone(talk: Talk, pieces: list[Holding]) -> None:
    HoldingProblem.objects.create(holding=pieces[0], kind="holed")
    draft(talk)
    stop = shown_talk(talk, OwnDoor()).stops[1]
    assert "holed" in " ".join(stop.notes)
    assert "holed" not in stop.changed + stop.caption + stop.under
