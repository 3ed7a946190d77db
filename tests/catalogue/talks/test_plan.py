"""The plan of a talk: its stops in order, moved, put in, taken out; what it takes; what became."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.models import Deed, Holding, Member, Stop, Talk
from catalogue.talks.changing import move, put_in, take_out
from catalogue.talks.doors import OwnDoor
from catalogue.talks.drafting import draft
from catalogue.talks.plan import plan_of
from catalogue.talks.queries import shown_talk
from series.records import StaleEdit
from series.types.joining import join_types


def _order(talk: Talk) -> list[int]:
    return list(talk.stops.values_list("pk", flat=True))


def _numbers(talk: Talk, **places: int) -> dict[str, Any]:
    sent: dict[str, Any] = {"row_version": Talk.objects.get(pk=talk.pk).row_version}
    for number, pk in enumerate(_order(talk), start=1):
        sent[f"place-{pk}"] = number
    return sent


# ---- order ----
@pytest.mark.parametrize(("at", "to"), [(1, 4), (4, 1), (6, 2), (2, 6), (3, 3), (5, 0)])
def test_a_number_typed_beside_a_stop_is_the_place_it_comes_to(
    as_member: Client, talk: Talk, at: int, to: int
) -> None:
    before = _order(talk)
    moved = before[at - 1]
    sent = _numbers(talk) | {f"place-{moved}": to}
    as_member.post(reverse("talk-order", args=[talk.pk]), sent)
    after = _order(talk)
    assert after.index(moved) == max(to, 1) - 1
    assert [pk for pk in after if pk != moved] == [pk for pk in before if pk != moved]


def test_an_order_of_an_older_page_is_refused(as_member: Client, talk: Talk) -> None:
    sent = _numbers(talk)
    first = _order(talk)[0]
    as_member.post(reverse("talk-stop-remove", args=[talk.pk, _order(talk)[-1]]))
    after = _order(talk)
    page = as_member.post(
        reverse("talk-order", args=[talk.pk]), sent | {f"place-{first}": 3}, follow=True
    )
    assert "changed since this page was opened" in page.content.decode()
    assert _order(talk) == after
    with pytest.raises(StaleEdit):
        move(talk, 0, {first: 3})


@pytest.mark.parametrize("text", ["x", "-1", "9999999", "1.5", "²", "9" * 40])
def test_what_is_no_place_is_said(as_member: Client, talk: Talk, text: str) -> None:
    before = _order(talk)
    sent = _numbers(talk) | {f"place-{before[0]}": text}
    page = as_member.post(reverse("talk-order", args=[talk.pk]), sent, follow=True)
    assert "is no place in the talk" in page.content.decode()
    assert _order(talk) == before


# ---- put in, taken out ----
@pytest.mark.parametrize(("after", "place"), [(0, 0), (2, 2), (None, 6), (99, 6)])
def test_a_stop_is_put_in_after_another(talk: Talk, after: int | None, place: int) -> None:
    text = Stop(kind="text", heading="A word")
    put_in(talk, [text], after)
    assert _order(talk).index(text.pk) == place
    assert list(talk.stops.values_list("position", flat=True)) == list(range(7))


def test_pieces_pages_and_gaps_are_added(
    as_member: Client, talk: Talk, make_holding: Callable[..., Holding], coinage: Any
) -> None:
    piece = make_holding()
    Stop.objects.filter(kind="type").delete()
    address = reverse("talk-add", args=[talk.pk])
    form = as_member.get(address).context["form"]
    offered = [value for value, _words in form.fields["pages"].choices]
    assert f"country:{coinage.issuer.pk}" in offered
    assert f"currency:{coinage.currency.pk}" not in offered  # it is there
    gap = form.fields["missing"].queryset.get()
    sent = {
        "after": 1,
        "heading": "A word",
        "numbers": piece.accession,
        "pages": [f"country:{coinage.issuer.pk}"],
        "missing": [gap.pk],
    }
    as_member.post(address, sent)
    kinds = list(talk.stops.values_list("kind", flat=True))
    assert kinds == [
        "currency",
        "country",
        "text",
        "piece",
        "type",
        "piece",
        "piece",
        "piece",
        "text",
    ]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Say what to add"),
        ({"numbers": "T.999"}, "You have no piece with the number T.999"),
        ({"numbers": ", ".join(f"N.{n}" for n in range(201))}, "at most 200 numbers"),
        ({"heading": "x" * 121}, "at most 120 characters"),
        ({"pages": "country:0", "heading": "x"}, "country:0"),
        ({"after": "-1", "heading": "x"}, "greater than or equal to 0"),
    ],
)
def test_what_cannot_be_added_is_said_and_nothing_is(
    as_member: Client, talk: Talk, sent: dict[str, str], said: str
) -> None:
    page = as_member.post(reverse("talk-add", args=[talk.pk]), sent or {"numbers": ""})
    assert page.status_code == 200
    assert said in page.content.decode()
    assert talk.stops.count() == 6


def test_another_members_piece_is_no_piece(
    as_member: Client, talk: Talk, other: Member, make_holding: Callable[..., Holding]
) -> None:
    theirs = make_holding(owner=other)
    page = as_member.post(reverse("talk-add", args=[talk.pk]), {"numbers": theirs.accession})
    assert "You have no piece with the number" in page.content.decode()


def test_a_stop_that_was_taken_out_is_put_back_with_its_notes(
    as_member: Client, talk: Talk
) -> None:
    gone = _order(talk)[2]
    Stop.objects.filter(pk=gone).update(notes="Look at the rim.")
    as_member.post(reverse("talk-stop-remove", args=[talk.pk, gone]))
    assert gone not in _order(talk)
    deed = Deed.objects.order_by("pk").last()
    assert deed is not None
    as_member.post(reverse("change-take-back", args=[deed.pk]))
    assert Stop.objects.get(pk=gone).notes == "Look at the rim."


# ---- time ----
def test_what_is_left_out_makes_it_fit(as_member: Client, talk: Talk) -> None:
    talk.stops.filter(kind__in=Stop.COINS).update(look_seconds=30)
    talk.minutes = 1
    talk.save()
    plan = plan_of(talk)
    assert (plan.seconds, plan.over) == (120, 60)  # a heading is not said
    assert plan.leave_out is not None
    numbers = [row.stop.pk for row in plan.leave_out]
    assert len(numbers) == 2
    as_member.post(reverse("talk-leave-out", args=[talk.pk]), {"stop": numbers})
    assert plan_of(talk).over <= 0


def test_what_does_not_fit_without_any_coin_is_said(as_member: Client, talk: Talk) -> None:
    talk.stops.filter(kind="text").update(notes="word " * 400)
    talk.minutes = 1
    talk.save()
    assert plan_of(talk).leave_out is None
    page = as_member.get(talk.get_absolute_url()).content.decode()
    assert "does not fit even without a single coin" in page


def test_before_a_rehearsal_the_time_is_said_to_be_a_guess(as_member: Client, talk: Talk) -> None:
    assert "A guess:" in as_member.get(talk.get_absolute_url()).content.decode()
    Talk.objects.filter(pk=talk.pk).update(pace=96)
    page = as_member.get(talk.get_absolute_url()).content.decode()
    assert "your own pace of 96 words" in page
    assert "A guess:" not in page


# ---- what became of what is shown ----
def test_a_stop_says_what_became_of_its_piece(
    as_member: Client, talk: Talk, pieces: list[Holding]
) -> None:
    pieces[0].bin()
    Holding.objects.filter(pk=pieces[1].pk).update(status="sold")
    Holding.everything.filter(pk=pieces[2].pk).delete()
    page = as_member.get(talk.get_absolute_url()).content.decode()
    for said in ("It lies in the bin.", "You hold it no more: sold.", "gone for good"):
        assert said in page
    for stop in talk.stops.all():
        assert as_member.get(reverse("talk-stop", args=[talk.pk, stop.pk])).status_code == 200
    assert len(shown_talk(talk, OwnDoor()).stops) == 6


@pytest.mark.parametrize("how", ["bin", "gone"])
def test_a_stop_outlives_its_type_its_money_and_its_words_stay(
    as_member: Client, talk: Talk, absent: Any, how: str
) -> None:
    stop = talk.stops.get(kind="type")
    Stop.objects.filter(pk=stop.pk).update(notes="I never found it.")
    if how == "bin":
        absent.bin()
    else:
        type(absent).everything.filter(pk=absent.pk).delete()
    said = "lies in the bin" if how == "bin" else "gone for good"
    assert said in as_member.get(talk.get_absolute_url()).content.decode()
    assert Stop.objects.get(pk=stop.pk).notes == "I never found it."
    assert draft(talk) > 0
    assert Stop.objects.get(pk=stop.pk).notes.startswith("I never found it.")


def test_a_stop_follows_its_type_when_that_is_joined(talk: Talk, absent: Any, coinage: Any) -> None:
    join_types(absent, coinage.type)
    assert talk.stops.get(kind="type").coin_type == coinage.type


def test_a_talk_in_the_bin_comes_back_with_its_stops(as_member: Client, talk: Talk) -> None:
    talk.new_link(timezone.now())
    as_member.post(reverse("talk-remove", args=[talk.pk]))
    gone = Talk.everything.get(pk=talk.pk)
    assert gone.deleted_at is not None
    assert not gone.token_hash
    assert "The quay" in as_member.get(reverse("bin")).content.decode()
    gone.take_back()
    assert plan_of(gone).rows[0].heading == "Marl"


def test_the_number_of_queries_does_not_grow(
    as_member: Client,
    talk: Talk,
    make_holding: Callable[..., Holding],
    coinage: Any,
    django_assert_max_num_queries: Any,
    django_assert_num_queries: Any,
) -> None:
    draft(talk)
    with django_assert_max_num_queries(25) as few:
        shown_talk(talk, OwnDoor())
    more = [make_holding(issue=coinage.issues[n % 3]) for n in range(30)]
    put_in(talk, [Stop(kind="piece", holding=piece) for piece in more])
    draft(talk)
    with django_assert_num_queries(len(few)):
        shown_talk(talk, OwnDoor())


def test_what_was_taken_out_takes_no_place(talk: Talk) -> None:
    take_out(talk, talk.stops.filter(kind="piece"))
    assert [stop.number for stop in shown_talk(talk, OwnDoor()).stops] == [0, 1, 2]
