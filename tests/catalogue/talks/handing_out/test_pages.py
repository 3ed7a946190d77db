"""What is taken along of a talk, as its owner gets it."""

from __future__ import annotations

import html
import io
import re
from collections.abc import Callable

import pikepdf
import pytest
import webvtt
from django.http import HttpResponse
from django.test import Client
from PIL import Image

from catalogue.models import Holding, Member, Photo, Sheet, Stop, Talk
from catalogue.printing.tasks import draw_sheet
from series.picture.pictures import keep_image
from tests.conftest import Coinage
from tests.poppler import pdftotext

Make = Callable[..., Holding]
CARDS = {"distance": "50", "readable": "legible", "paper": "A4"}
CASE = {**CARDS, "case_width": "400", "case_depth": "300", "faces": "both", "cards": "cards"}


@pytest.fixture
def talk(member: Member, make_holding: Make, coinage: Coinage) -> Talk:
    """An opening page, two pieces and a line of text, of which one piece has a photograph."""
    made = Talk.objects.create(owner=member, title="First & last", given_by="Ana")
    first, last = (
        make_holding(
            issue=coinage.issues[n], grade="EF", acquired_from="a quiet dealer", price=45,
            price_currency="EUR", note="kept in the blue tin",
        )
        for n in (0, 2)
    )  # fmt: skip
    Stop.objects.create(talk=made, kind="currency", currency=coinage.currency, position=0)
    Stop.objects.create(
        talk=made, kind="piece", holding=first, position=1, caption="A net & a lamp.",
        notes="Look at the net.\n\nIt has four knots.",
    )  # fmt: skip
    Stop.objects.create(talk=made, kind="piece", holding=last, position=2, caption="The last one.")
    Stop.objects.create(talk=made, kind="text", heading="Thank you", position=3)
    return made


def words_of(answer: HttpResponse) -> str:
    """What is read on a page."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def text_of(answer: HttpResponse) -> str:
    assert answer["Content-Type"] == "application/pdf", answer.content[:2000]
    return " ".join(pdftotext(answer.content).split())


def test_the_page_offers_all_that_can_be_taken_along(as_member: Client, talk: Talk) -> None:
    said = as_member.get(f"/talks/{talk.pk}/take-along/").content.decode()
    at = f"/talks/{talk.pk}/"
    for address in ("handout/?paper=A4", "handout/?paper=Letter", "cards/", "case/", "captions/"):
        assert f'href="{at}{address}"' in said
    assert f'href="{at}notes.txt"' in said
    assert f'href="{at}take-along/"' in as_member.get(at).content.decode()


def test_a_talk_without_stops_offers_nothing(as_member: Client, talk: Talk) -> None:
    talk.stops.all().delete()
    said = words_of(as_member.get(f"/talks/{talk.pk}/take-along/"))
    assert "This talk has no stops" in said
    assert "Hand-out on" not in said


@pytest.mark.parametrize(
    "what", ["take-along/", "handout/", "cards/", "case/", "captions/", "notes.txt"]
)
def test_another_member_gets_none_of_it(
    client: Client, other: Member, talk: Talk, what: str
) -> None:
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    assert client.get(f"/talks/{talk.pk}/{what}").status_code == 404


# ---- the hand-out ----
@pytest.mark.parametrize(("paper", "width"), [("A4", 595.3), ("Letter", 612.0)])
def test_the_hand_out_has_title_language_bookmarks_and_numbers(
    as_member: Client, talk: Talk, paper: str, width: float
) -> None:
    answer = as_member.get(f"/talks/{talk.pk}/handout/?paper={paper}")
    said = text_of(answer)
    for part in ("First & last", "by Ana", "25 tinne, 1931", "A net & a lamp.", "page 1 of 1"):
        assert part in said
    with pikepdf.open(io.BytesIO(answer.content)) as document:
        assert float(document.pages[0].mediabox[2]) == pytest.approx(width, abs=0.1)
        assert document.docinfo["/Title"] == "Hand-out: First & last"
        assert document.Root["/Lang"] == "en-GB"
        with document.open_outline() as outline:
            (title,) = outline.root
            (money,) = title.children
            assert (title.title, money.title) == ("First & last", "Marl")
            stops = [stop.title for stop in money.children]
    assert stops == ["25 tinne, 1931", "25 tinne, 1953", "Thank you"]


def test_nothing_private_and_no_notes_stand_on_any_paper(as_member: Client, talk: Talk) -> None:
    at = f"/talks/{talk.pk}/"
    said = text_of(as_member.get(f"{at}handout/"))
    said += text_of(as_member.post(f"{at}cards/", {**CARDS, "do": "anyway"}))
    said += text_of(as_member.post(f"{at}case/", {**CASE, "do": "anyway"}))
    for private in ("quiet dealer", "45", "blue tin", "T.001", "four knots"):
        assert private not in said


def test_an_unknown_paper_is_the_owners_own(as_member: Client, talk: Talk) -> None:
    answer = as_member.get(f"/talks/{talk.pk}/handout/?paper=vellum")
    with pikepdf.open(io.BytesIO(answer.content)) as document:
        assert float(document.pages[0].mediabox[2]) == pytest.approx(595.3, abs=0.1)


@pytest.mark.parametrize("trimmed", [True, False])
def test_a_photograph_is_printed_if_it_is_trimmed_to_its_coin(
    as_member: Client, talk: Talk, trimmed: bool
) -> None:
    kept = keep_image(Image.new("RGB", (60, 60), "#806040"))
    Photo.objects.create(
        holding=talk.stops.filter(kind="piece")[0].holding, side="obverse", digest=kept.digest,
        width=60, height=60, trimmed=trimmed,
    )  # fmt: skip
    answer = as_member.get(f"/talks/{talk.pk}/handout/")
    with pikepdf.open(io.BytesIO(answer.content)) as document:
        assert (len(document.pages[0].get_images()) > 0) == trimmed


def test_a_long_hand_out_is_drawn_by_a_task(
    as_member: Client, talk: Talk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.talks.handing_out.sheets.STOPS_AT_ONCE", 2)
    address = f"/talks/{talk.pk}/handout/"
    assert as_member.get(address)["Content-Type"].startswith("text/html")
    assert as_member.post(address).status_code == 302
    sheet = Sheet.objects.get()
    draw_sheet.call(sheet.pk)
    sheet.refresh_from_db()
    assert (sheet.state, sheet.done, sheet.total) == ("ready", 4, 4)


# ---- cards and the case ----
def test_cards_are_drawn_in_type_for_their_distance(as_member: Client, talk: Talk) -> None:
    address = f"/talks/{talk.pk}/cards/"
    asked = words_of(as_member.get(address))
    assert "Read from 50 cm: 26.2 pt so that everybody can read it, 13.7 pt" in asked
    said = text_of(as_member.post(address, CARDS))
    assert "25 tinne, 1931" in said
    assert "A net & a lamp." in said


def test_what_breaks_the_guidelines_is_said_with_its_stop_and_drawn_on_asking(
    as_member: Client, talk: Talk
) -> None:
    long = " ".join(["knot"] * 26)
    talk.stops.filter(position=1).update(caption=f"{long}.")
    address = f"/talks/{talk.pk}/cards/"
    said = words_of(as_member.post(address, CARDS))
    assert "2. 25 tinne, 1931: a sentence of 26 words (at most 25)" in said
    assert text_of(as_member.post(address, {**CARDS, "do": "anyway"})).count("knot") == 26


@pytest.mark.parametrize("distance", ["", "5", "501", "far"])
def test_a_distance_that_cannot_be_is_refused_at_its_field(
    as_member: Client, talk: Talk, distance: str
) -> None:
    answer = as_member.post(f"/talks/{talk.pk}/cards/", {**CARDS, "distance": distance})
    assert answer.context["form"].errors.keys() == {"distance"}


def test_the_plan_of_a_case_is_drawn_to_scale(as_member: Client, talk: Talk) -> None:
    said = text_of(as_member.post(f"/talks/{talk.pk}/case/", CASE))
    assert "400 × 300 mm inside · drawn at 1:2" in said
    assert "stops 1 to 4" in said


def test_too_few_trays_are_said_before_the_plan_is_drawn(as_member: Client, talk: Talk) -> None:
    small = {**CASE, "cards": "numbers", "case_width": "80", "case_depth": "60", "trays": "1"}
    said = words_of(as_member.post(f"/talks/{talk.pk}/case/", small))
    assert "2 trays are needed and there is one: what lies from stop 3 on has no place." in said
    drawn = text_of(as_member.post(f"/talks/{talk.pk}/case/", {**small, "do": "anyway"}))
    assert "one tray more than there is" in drawn


def test_with_numbers_alone_only_coins_lie_in_the_case(as_member: Client, talk: Talk) -> None:
    asked = {**CASE, "cards": "numbers", "faces": "reverse"}
    assert "stops 2 to 3" in text_of(as_member.post(f"/talks/{talk.pk}/case/", asked))


def test_a_case_in_which_nothing_fits_is_refused_in_words(as_member: Client, talk: Talk) -> None:
    small = {**CASE, "case_width": "50", "case_depth": "50", "do": "anyway"}
    assert "give a larger tray" in words_of(as_member.post(f"/talks/{talk.pk}/case/", small))


# ---- captions, times and notes ----
def lines_of(answer: HttpResponse) -> list[str]:
    assert answer["Content-Disposition"].startswith("attachment; filename=")
    return answer.content.decode().splitlines()


def test_captions_take_the_rehearsed_times(as_member: Client, talk: Talk) -> None:
    for stop, seconds in zip(talk.stops.all(), (10, 60, 30, 5), strict=True):
        Stop.objects.filter(pk=stop.pk).update(rehearsed_seconds=seconds)
    answer = as_member.post(f"/talks/{talk.pk}/captions/", {"written": "captions"})
    assert answer["Content-Type"] == "text/vtt; charset=utf-8"
    assert "NOTE The times were taken in a rehearsal." in lines_of(answer)
    found = webvtt.from_buffer(io.StringIO(answer.content.decode())).captions
    second = next(caption for caption in found if caption.identifier == "stop-2")
    assert (second.start, second.lines[0]) == ("00:00:10.000", "25 tinne, 1931")
    assert found[-1].end == "00:01:45.000"
    assert "A net &amp; a lamp." in answer.content.decode()


def test_times_that_were_only_planned_are_said_to_be(as_member: Client, talk: Talk) -> None:
    address = f"/talks/{talk.pk}/captions/"
    assert "as planned, not measured" in words_of(as_member.get(address))
    lines = lines_of(as_member.post(address, {"written": "captions", "do": "times"}))
    assert lines[:2] == ["First & last", "The times are as planned, not measured."]
    assert lines[3].startswith("0:00 1. ")


def test_marks_of_a_recording_are_taken_as_they_were_typed(as_member: Client, talk: Talk) -> None:
    asked = {"written": "captions", "marks_text": "0:30\n1:00 net\n2:15.5\n3:00\n3:20"}
    answer = as_member.post(f"/talks/{talk.pk}/captions/", {**asked, "do": "times"})
    assert [line.split(" ")[0] for line in lines_of(answer)[3:]] == ["0:30", "1:00", "2:15", "3:00"]
    captions = as_member.post(f"/talks/{talk.pk}/captions/", asked).content.decode()
    found = webvtt.from_buffer(io.StringIO(captions)).captions
    assert (found[0].start, found[-1].end) == ("00:00:30.000", "00:03:20.000")


@pytest.mark.parametrize(
    ("marks", "said"),
    [
        ("0:00\n1:00", "There are 2 times for 4 stops"),
        ("0:00\nsoon\n2:00\n3:00", "Line 2, “soon”, does not begin with a time"),
        ("0:00\n2:00\n1:00\n3:00", "Line 3: 1:00 is not later than 2:00"),
        ("0:00\n0:61\n2:00\n3:00", "Line 2, “0:61”"),
    ],
)
def test_marks_that_cannot_be_read_are_named_and_stay_in_the_form(
    as_member: Client, talk: Talk, marks: str, said: str
) -> None:
    asked = {"written": "captions", "marks_text": marks}
    answer = as_member.post(f"/talks/{talk.pk}/captions/", asked)
    assert said in words_of(answer)
    assert answer.context["form"]["marks_text"].value() == marks


def test_what_is_said_may_be_written_instead(as_member: Client, talk: Talk) -> None:
    text = as_member.post(f"/talks/{talk.pk}/captions/", {"written": "notes"}).content.decode()
    assert "Look at the net. It has four knots." in text
    assert "A net" not in text


def test_the_notes_are_plain_text_in_their_order(as_member: Client, talk: Talk) -> None:
    answer = as_member.get(f"/talks/{talk.pk}/notes.txt")
    assert answer["Content-Type"] == "text/plain; charset=utf-8"
    lines = lines_of(answer)
    assert lines[0] == "First & last"
    at = lines.index("Look at the net.")
    assert lines[at - 2].startswith("2. 25 tinne, 1931 (")
    assert lines[at + 2] == "It has four knots."
